"""What a row of a list does to a lot, through the actions that own lots."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime
from typing import Any

from phases.actions.bare_lots import BareLot, create_bare_lots
from phases.actions.dates import say_date
from phases.actions.lots import choose_plan, create_lot, restore_lot, update_lot
from phases.log import Who
from tracker.sites.lotlist.matching import Judged
from tracker.sites.lotlist.record import CHANGED, NEW
from tracker.sites.lotlist.report import row_as_json
from tracker.sites.models import (
    Builder,
    Lot,
    LotImport,
    LotImportRow,
    Option,
    Plan,
    Subdivision,
    Superintendent,
)

COLUMNS = {
    "address": "address",
    "parcel": "parcel",
    "permit": "permit_number",
    "issued": "permit_issued_on",
    "mirrored": "mirrored",
    "foundation": "foundation",
    "gate_code": "gate_code",
}
DATES = ("start", "closing")
SAID_BY = "lot list"


def places_of(
    ones: Iterable[Judged], streets: Mapping[str, Subdivision]
) -> dict[int, int]:
    """Where new lots stand on their streets, by row: last, in the order of the list."""
    next_place: dict[str, int] = {}
    places = {}
    for one in ones:
        if one.row.status == NEW and one.pk is None:
            street = streets[one.subdivision]
            place = next_place.get(street.name) or street.lots.count() + 1
            places[one.row.row] = place
            next_place[street.name] = place + 1
    return places


def make_lot(
    one: Judged, subdivision: Subdivision, *, position: int, who: Who, now: datetime
) -> Lot:
    """A new lot of the list."""
    values = one.values
    plan, options = _chosen(subdivision.builder, values)
    fields = _fields(subdivision.builder, values)
    lot = create_lot(
        subdivision,
        who=who,
        now=now,
        plan=plan,
        options=options,
        label=one.label,
        block=one.block,
        unit=one.unit,
        position=position,
        **fields,
    )
    _say_dates(lot, values, who=who, now=now)
    return lot


def make_bare_lots(
    ones: Sequence[Judged],
    streets: Mapping[str, Subdivision],
    places: Mapping[int, int],
    *,
    who: Who,
    now: datetime,
) -> list[Lot]:
    """New lots that the list gives no plan, in order."""
    new = []
    for one in ones:
        street = streets[one.subdivision]
        named = {"label": one.label, "block": one.block, "unit": one.unit}
        new.append(
            BareLot(
                street,
                {
                    **named,
                    "position": places[one.row.row],
                    **_fields(street.builder, one.values),
                },
                {
                    what: day
                    for what in DATES
                    if (day := _day(what, one.values.get(what)))
                },
            )
        )
    return create_bare_lots(new, said_by=SAID_BY, who=who, now=now)


def put_back(one: Judged, *, who: Who, now: datetime) -> Lot:
    """A lot that an undone list had made comes back with this list's values."""
    lot = Lot.objects.get(pk=one.pk)
    restore_lot(lot, reason="It stands on a lot list again.", who=who, now=now)
    changed = {name: new for name, (_, new) in one.changes.items()}
    return with_values(lot, changed, who=who, now=now)


def change_lot(one: Judged, *, who: Who, now: datetime) -> Lot:
    """Bring a lot up to what the list says of it."""
    lot = Lot.objects.select_related("subdivision__builder", "plan").get(pk=one.pk)
    changed = {name: new for name, (_, new) in one.changes.items()}
    return with_values(lot, changed, who=who, now=now)


def with_values(lot: Lot, values: Mapping[str, Any], *, who: Who, now: datetime) -> Lot:
    """Set the given fields of a list on a lot; dates are said, plans chosen."""
    lot = Lot.objects.select_related("subdivision__builder", "plan").get(pk=lot.pk)
    builder = lot.subdivision.builder
    if fields := _fields(builder, values):
        lot = update_lot(lot, who=who, now=now, **fields)
    if values.keys() & {"plan", "options"}:
        codes = {
            "plan": lot.plan.code if lot.plan else "",
            "options": [option.code for option in lot.options.all()],
        }
        plan, options = _chosen(builder, codes | dict(values))
        choose_plan(lot, plan=plan, options=options, who=who, now=now)
    _say_dates(lot, values, who=who, now=now)
    return lot


def _fields(builder: Builder, values: Mapping[str, Any]) -> dict[str, Any]:
    empty = {"issued": None, "mirrored": False}
    fields = {
        column: _day(name, values[name]) or empty.get(name, "")
        for name, column in COLUMNS.items()
        if name in values
    }
    if "superintendent" in values:
        fields["superintendent"] = _superintendent(
            builder.pk, values["superintendent"] or ""
        )
    return fields


def _superintendent(builder_id: int, name: str) -> Superintendent | None:
    return Superintendent.objects.filter(builder=builder_id, name=name).first()


def _day(name: str, value: Any) -> Any:
    # A value that was kept for the undo has its day as text.
    if isinstance(value, str) and name in ("issued", *DATES) and value:
        return date.fromisoformat(value)
    return value


def _chosen(
    builder: Builder, values: Mapping[str, Any]
) -> tuple[Plan | None, list[Option]]:
    if not values.get("plan"):
        return None, []
    plan = Plan.objects.get(builder=builder, code=values["plan"])
    codes = values.get("options") or ()
    return plan, list(plan.options.filter(code__in=codes))


def _say_dates(lot: Lot, values: Mapping[str, Any], *, who: Who, now: datetime) -> None:
    for what in DATES:
        if what in values:
            day = _day(what, values[what]) or None
            say_date(lot, what=what, date=day, who=who, now=now, said_by=SAID_BY)


def write_rows(
    lot_import: LotImport,
    some: Sequence[Judged],
    streets: Mapping[str, Subdivision],
    places: Mapping[int, int],
    *,
    who: Who,
    now: datetime,
) -> list[LotImportRow]:
    """Do what the rows ask and write down what was done."""
    bare = [one for one in some if one.row.row in places and not one.values.get("plan")]
    lots = make_bare_lots(bare, streets, places, who=who, now=now)
    made = {one.row.row: lot for one, lot in zip(bare, lots, strict=True)}
    entries = []
    for one in some:
        lot: Lot | None = made.get(one.row.row)
        before: dict[str, object] = {}
        if lot is not None:
            pass
        elif one.row.row in places:
            street, place = streets[one.subdivision], places[one.row.row]
            lot = make_lot(one, street, position=place, who=who, now=now)
        elif one.row.status == NEW:
            lot = put_back(one, who=who, now=now)
        elif one.row.status == CHANGED:
            before = {name: old for name, (old, _) in one.changes.items()}
            lot = change_lot(one, who=who, now=now)
        elif one.pk is not None:
            lot = Lot(pk=one.pk)
        entries.append(
            LotImportRow(
                lot_import=lot_import,
                row=one.row.row,
                status=one.row.status,
                lot_id=lot.pk if lot else None,
                said=row_as_json(one.row),
                before=before,
            )
        )
    return entries
