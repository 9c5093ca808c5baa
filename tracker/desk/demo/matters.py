"""What a season leaves on the office's desk: extras, changes, measures that differ."""

from datetime import date, datetime, timedelta
from decimal import Decimal
from random import Random

from phases.actions.corrections import Finding, open_correction
from phases.actions.lots import choose_plan
from phases.actions.money import price_extra
from phases.actions.work import say_part
from phases.log import Who, writing
from phases.models import Charge, CheckItem, LotPhase, PhotoUse, ReadyPart
from tracker.desk.demo.build import World
from tracker.desk.demo.calendar import at, plus
from tracker.sites.models import Lot

# sort, phase, what was done, dollars
EXTRAS = (
    (Charge.EXTRA, "topout", "Gas stub for a grill on the patio", "385.00"),
    (Charge.EXTRA, "rough", "Tub drain moved for a longer tub", "240.00"),
    (Charge.BACKCHARGE, "topout", "Stub-out torn out with the drywall", "165.50"),
    (Charge.EXTRA, "underground", "Sewer lowered: footing deeper than drawn", "610.00"),
    (Charge.BACKCHARGE, "trim", "Closet chipped by the tile setter", "212.75"),
)  # fmt: skip
CREDIT = (Charge.EXTRA, "trim", "Second hose bibb at the patio", "145.00")


def leave_matters(world: World, rng: Random, *, now: datetime, today: date) -> None:
    """Before the books are kept, so that the older extras are billed like draws."""
    _price_extras(world, rng, now=now, today=today)
    _change_plans(world, now=now)
    _measure_twice(world, now=now, today=today)
    _let_corrections_grow_old(world, now=now, today=today)


def _price_extras(world: World, rng: Random, *, now: datetime, today: date) -> None:
    who = Who(member=world.office)
    phases = LotPhase.objects.exclude(passed_on=None).select_related(
        "lot__superintendent", "kind"
    )
    for n, (sort, code, text, dollars) in enumerate((*EXTRAS, CREDIT)):
        of_kind = list(phases.filter(kind__code=code).order_by("passed_on", "pk"))
        if not of_kind:
            continue
        # From long ago up to this week: some are billed, some are not.
        phase = of_kind[min(len(of_kind) - 1, n * len(of_kind) // 5)]
        used = PhotoUse.objects.filter(lot=phase.lot, item__lot_phase=phase)
        photo = used.order_by("pk").values_list("photo_sha", flat=True).first()
        price_extra(
            phase.lot,
            sort=sort,
            text=text,
            amount=Decimal(dollars),
            signer=phase.lot.superintendent.name,
            on=min(phase.passed_on + timedelta(days=1), today),
            phase=phase,
            photo=photo or "",
            who=who,
            now=now,
        )


def _change_plans(world: World, *, now: datetime) -> None:
    """Two buyers choose an option after the walls were done: it has to be priced."""
    who = Who(member=world.office)
    late = Lot.objects.filter(
        phases__kind__code="topout", phases__work__in=("done", "proven"), closed_on=None
    ).exclude(plan=None)
    changed = 0
    for lot in late.select_related("plan").order_by("-pk"):
        chosen = list(lot.options.all())
        more = lot.plan.options.exclude(pk__in=[option.pk for option in chosen])
        option = more.order_by("pk").first()
        if option is None or changed == 2:
            continue
        choose_plan(lot, plan=lot.plan, options=[*chosen, option], who=who, now=now)
        changed += 1


def _measure_twice(world: World, *, now: datetime, today: date) -> None:
    """A lead measures what his plumber measured, and finds something else."""
    items = CheckItem.objects.filter(
        proof="measure",
        state=CheckItem.PROVEN,
        lot_phase__work__in=("working", "done"),
        spec__unit="in16",
        removed_at=None,
    ).select_related("lot_phase__lot", "lot_phase__crew")
    item = items.order_by("-answered_at", "pk").first()
    if item is None:
        return
    phase = item.lot_phase
    lead = world.leads[phase.crew_id]
    other = lead if item.proven_by_id != lead.pk else world.plumbers[phase.crew_id]
    who = Who(member=other, happened_at=min(now, at(plus(today, -1), 16)))
    with writing(now=now) as log:
        log.append(
            "entry",
            lot=phase.lot,
            phase=phase,
            item=item,
            who=who,
            version=item.version,
            answer="measure",
            value=item.answer["value"] + 3,
            unit="in16",
        )


def _let_corrections_grow_old(world: World, *, now: datetime, today: date) -> None:
    """One for us and one for another trade, both over their day."""
    begun = LotPhase.objects.filter(work="working", kind__code__in=("rough", "topout"))
    found = (
        ("us", "Strap the washer box", "Sujetar la caja de la lavadora"),
        ("framer", "Stud cut at the stack", "Montante cortado en la bajante"),
    )  # fmt: skip
    for phase, (owed_by, text, text_es) in zip(
        begun.select_related("lot", "crew").order_by("pk"), found, strict=False
    ):
        day = plus(today, -4)
        who = Who(member=world.leads[phase.crew_id], happened_at=at(day, 15))
        finding = Finding(
            text=text,
            text_es=text_es,
            owed_by=owed_by,
            phase=phase,
            due_on=plus(today, -2),
        )
        open_correction(phase.lot, finding, who=who, now=now)


def say_more_ready(world: World, *, now: datetime) -> None:
    """Since the plan was published three more lots were said ready: nobody is sent."""
    waiting = LotPhase.objects.filter(
        work="not_ready", planned_start=None, work_reason__code="parts_unsaid"
    ).exclude(lot__plan=None)
    rows = waiting.select_related("kind", "lot__superintendent").order_by("pk")
    for phase in rows[:3]:
        for part in ReadyPart.objects.filter(kind=phase.kind, is_required=True):
            ours = part.owed_by != "builder"
            who = Who(
                member=world.office if ours else None,
                superintendent=None if ours else phase.lot.superintendent,
            )
            say_part(phase, part.code, ready=True, who=who, now=now)
