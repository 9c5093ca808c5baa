"""What a row of a list does to a lot, through the actions that own lots."""

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from phases.actions.dates import say_date
from phases.actions.lots import choose_plan, create_lot, restore_lot, update_lot
from phases.log import Who
from tracker.sites.lotlist.matching import Judged
from tracker.sites.models import Builder, Lot, Option, Plan, Subdivision, Superintendent

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


def make_lot(one: Judged, subdivision: Subdivision, *, who: Who, now: datetime) -> Lot:
    """A new lot of the list, last on its street."""
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
        position=subdivision.lots.count() + 1,
        **fields,
    )
    _say_dates(lot, values, who=who, now=now)
    return lot


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
        fields["superintendent"] = Superintendent.objects.filter(
            builder=builder, name=values["superintendent"] or ""
        ).first()
    return fields


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
