"""What we have of one builder, as the comparison with a list needs it."""

from django.db.models import Prefetch

from tracker.sites.lotlist.meaning import Known, KnownLot, KnownPlan, squeeze
from tracker.sites.models import (
    Builder,
    BuilderDate,
    Lot,
    LotImportRow,
    Option,
    Plan,
    Subdivision,
    SubdivisionAlias,
    Superintendent,
)


def known_of(builder: Builder) -> Known:
    """Lots, plans, people and spellings of the builder, in nine SQL statements."""
    names = {
        squeeze(name): name
        for name in Subdivision.objects.filter(builder=builder).values_list(
            "name", flat=True
        )
    }
    aliases = SubdivisionAlias.objects.filter(builder=builder)
    for spelling, name in aliases.values_list("spelling", "subdivision__name"):
        names.setdefault(squeeze(spelling), name)
    people = Superintendent.objects.filter(builder=builder, is_active=True)
    return Known(
        lots=_lots(builder),
        plans=_plans(builder),
        superintendents=list(people.values_list("name", flat=True)),
        subdivisions=names,
    )


def _plans(builder: Builder) -> list[KnownPlan]:
    plans = Plan.objects.filter(builder=builder).prefetch_related("options")
    return [
        KnownPlan(
            code=plan.code,
            name=plan.name,
            options={option.code: option.name for option in plan.options.all()},
        )
        for plan in plans
    ]


def _lots(builder: Builder) -> list[KnownLot]:
    lots = (
        Lot.objects.filter(subdivision__builder=builder)
        .select_related("subdivision", "plan", "superintendent")
        .prefetch_related(Prefetch("options", Option.objects.order_by("code")))
        .order_by("pk")
    )
    said = _latest_dates(builder)
    undone = _undone(builder)
    return [_known(lot, said, undone) for lot in lots]


def _latest_dates(builder: Builder) -> dict[tuple[int, str], object]:
    dates = BuilderDate.objects.filter(
        lot__subdivision__builder=builder, what__in=("start", "closing"), phase=""
    ).order_by("fact_no")
    return {
        (lot, what): day for lot, what, day in dates.values_list("lot", "what", "date")
    }


def _undone(builder: Builder) -> set[int]:
    """Lots that an import made and its undoing took off the street."""
    rows = LotImportRow.objects.filter(
        lot_import__builder=builder,
        lot_import__undone_at__isnull=False,
        status="new",
        lot__retired_at__isnull=False,
    )
    return set(rows.values_list("lot", flat=True))


def _known(lot: Lot, said: dict[tuple[int, str], object], undone: set[int]) -> KnownLot:
    gone = ""
    if lot.retired_at is not None:
        gone = "undone" if lot.pk in undone else "retired"
    return KnownLot(
        pk=lot.pk,
        subdivision=lot.subdivision.name,
        label=lot.label,
        block=lot.block,
        unit=lot.unit,
        values={
            "address": lot.address,
            "parcel": lot.parcel,
            "permit": lot.permit_number,
            "issued": lot.permit_issued_on,
            "mirrored": lot.mirrored,
            "foundation": lot.foundation,
            "gate_code": lot.gate_code,
            "superintendent": lot.superintendent.name if lot.superintendent else "",
            "plan": lot.plan.code if lot.plan else "",
            "options": tuple(option.code for option in lot.options.all()),
            "start": said.get((lot.pk, "start")),
            "closing": said.get((lot.pk, "closing")),
        },
        gone=gone,
    )
