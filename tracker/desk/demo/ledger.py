"""The demo's money and closed houses: invoices, pay, closings and call-backs."""

from datetime import date, datetime, timedelta
from random import Random

from phases.actions.after_final import WARRANTY_DAYS, add_walk_item, open_call_back
from phases.actions.corrections import close_correction
from phases.actions.dates import say_date
from phases.actions.lots import update_lot
from phases.actions.money import bill, pay_piece, record_payment, why_not_pay
from phases.log import Who, writing
from phases.models import Charge, CheckItem, LotPhase
from tracker.desk.demo.build import World
from tracker.desk.demo.calendar import plus
from tracker.sites.models import Builder

WALK_ITEMS = ("Stop under the sink drips", "Escutcheon loose at the shower")
# What does not work, and the kind of fixture that it is at.
CALL_BACKS = (
    ("No hot water at the far bath", "lavatory"),
    ("Closet rocks", "closet"),
    ("Drip at the washer box", "washer_box"),
)


def keep_books(world: World, rng: Random, *, now: datetime, today: date) -> None:
    """Bill what was earned up to last week, pay crews up to two weeks ago."""
    who = Who(member=world.office)
    with writing(now=now):
        for builder in Builder.objects.all():
            _bill_months(builder, who, now=now, today=today)
        phases = LotPhase.objects.exclude(passed_on=None).select_related("lot")
        for phase in phases.filter(passed_on__lt=plus(today, -10)):
            if why_not_pay(phase) is None:
                pay_piece(phase, on=plus(today, -5), who=who, now=now)
        _close_houses(world, rng, now=now, today=today)


def _bill_months(builder: Builder, who: Who, *, now: datetime, today: date) -> None:
    """One invoice a month; those older than thirty days are paid."""
    charges = Charge.objects.filter(lot__subdivision__builder=builder, invoice=None)
    months: dict[tuple[int, int], list[Charge]] = {}
    for charge in charges.filter(earned_on__lt=plus(today, -5)):
        month = (charge.earned_on.year, charge.earned_on.month)
        months.setdefault(month, []).append(charge)
    for n, month in enumerate(sorted(months), start=1):
        on = max(charge.earned_on for charge in months[month])
        number = f"{builder.name[:1]}-{month[0] % 100}{month[1]:02}{n:02}"
        invoice = bill(builder, months[month], number=number, on=on, who=who, now=now)
        if on < today - timedelta(days=30):
            record_payment(invoice, on=on + timedelta(days=28), who=who, now=now)


def _close_houses(world: World, rng: Random, *, now: datetime, today: date) -> None:
    """Houses that passed their final some time ago are closed; a few call back."""
    who = Who(member=world.office)
    finals = LotPhase.objects.filter(kind__code="trim", passed_on__lt=plus(today, -8))
    for final in finals.select_related("lot__subdivision", "kind", "crew"):
        lot, closed_on = final.lot, plus(final.passed_on, 6)
        found = add_walk_item(
            lot,
            text=rng.choice(WALK_ITEMS),
            phase=final,
            who=who,
            now=now,
            due_on=closed_on,
        )
        close_correction(found, who=who, now=now)
        say_date(lot, what="closing", status="actual", date=closed_on, who=who, now=now)
        until = closed_on + timedelta(days=WARRANTY_DAYS)
        update_lot(lot, who=who, now=now, warranty_until=until)
        if rng.random() < 0.25:
            text, fixture = rng.choice(CALL_BACKS)
            items = CheckItem.objects.filter(lot_phase=final, spec__kind=fixture)
            open_call_back(
                lot,
                text=text,
                item=items.order_by("walk_order", "pk").first(),
                phase=final,
                who=who,
                now=now,
                today=today,
                due_on=plus(today, 2),
            )
