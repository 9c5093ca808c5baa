"""Lots: made with the phases of their route, changed, retired."""

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any

from phases import rules
from phases.actions.items import sync_items
from phases.log import Who, writing
from phases.models import LotPhase, PhaseKind, Route
from tracker.errors import Refused
from tracker.sites.models import Lot, Option, Plan, Subdivision

EDITABLE = frozenset(
    {
        "label",
        "block",
        "unit",
        "address",
        "parcel",
        "mirrored",
        "foundation",
        "permit_number",
        "permit_issued_on",
        "permit_expires_on",
        "gate_code",
        "key_note",
        "superintendent",
        "position",
        "map_x",
        "map_y",
        "warranty_until",
    }
)


def create_lot(
    subdivision: Subdivision,
    *,
    who: Who,
    now: datetime,
    plan: Plan | None = None,
    options: Iterable[Option] = (),
    **fields: Any,
) -> Lot:
    """A new lot with its phases and, where a plan is known, its check items."""
    rules.check(rules.why_not_office(who.member))
    check_fields(fields)
    options = list(options)
    _check_plan(subdivision, plan, options)
    with writing(now=now) as log:
        lot = Lot(subdivision=subdivision, plan=plan, **fields)
        # The log writes who did it; the row's own history is for later changes.
        lot.save()
        if options:
            lot.options.set(options)
        _lay_route(lot)
        log.append("lot_made", lot=lot, who=who, plan=plan.code if plan else None)
        # Without a plan there is nothing to list; ten thousand lots come at once.
        if plan is not None:
            sync_items(log, lot, who=who)
        return lot


def update_lot(lot: Lot, *, who: Who, now: datetime, **fields: Any) -> Lot:
    """Change columns of a lot; the fact keeps each old and new value."""
    rules.check(rules.why_not_office(who.member))
    check_fields(fields)
    with writing(now=now) as log:
        lot = _locked(lot)
        changed = {
            name: [_plain(getattr(lot, name)), _plain(value)]
            for name, value in fields.items()
            if getattr(lot, name) != value
        }
        if not changed:
            return lot
        for name, value in fields.items():
            setattr(lot, name, value)
        lot.save()
        log.append("lot_changed", lot=lot, who=who, changed=changed)
        # The permit's date decides which code book sizes the pipes.
        if changed.keys() & {"mirrored", "foundation", "permit_issued_on"}:
            sync_items(log, lot, who=who)
        return lot


def choose_plan(
    lot: Lot,
    *,
    plan: Plan | None,
    options: Iterable[Option],
    who: Who,
    now: datetime,
) -> Lot:
    """Set plan and options; answered items stay, changes are said (design 5)."""
    rules.check(rules.why_not_office(who.member))
    options = list(options)
    _check_plan(lot.subdivision, plan, options)
    with writing(now=now) as log:
        lot = _locked(lot)
        before = [lot.plan.code if lot.plan else None, *_codes(lot.options.all())]
        lot.plan = plan
        lot.save(update_fields=["plan"])
        lot.options.set(options)
        after = [plan.code if plan else None, *_codes(options)]
        if before != after:
            log.append("plan_chosen", lot=lot, who=who, before=before, after=after)
        sync_items(log, lot, who=who)
        return lot


def retire_lot(lot: Lot, *, reason: str, who: Who, now: datetime) -> Lot:
    """Take a lot off the street; nothing of it is deleted."""
    rules.check(rules.why_not_office(who.member))
    if not reason.strip():
        raise Refused("reason_needed")
    with writing(now=now) as log:
        lot = _locked(lot)
        lot.retired_at = now
        lot.save(update_fields=["retired_at"])
        log.append("lot_retired", lot=lot, who=who, reason=reason)
        return lot


def restore_lot(lot: Lot, *, reason: str, who: Who, now: datetime) -> Lot:
    """Put a retired lot back on the street."""
    rules.check(rules.why_not_office(who.member))
    if not reason.strip():
        raise Refused("reason_needed")
    with writing(now=now) as log:
        lot = _locked(lot)
        if lot.retired_at is not None:
            lot.retired_at = None
            lot.save(update_fields=["retired_at"])
            log.append("lot_restored", lot=lot, who=who, reason=reason)
        return lot


def route_of(lot: Lot) -> list[PhaseKind]:
    """The phases a lot passes, by the most special route that fits it."""
    cases = [
        (lot.subdivision.builder_id, lot.stands_on),
        (lot.subdivision.builder_id, ""),
        (None, lot.stands_on),
        (None, ""),
    ]
    routes = {(r.builder_id, r.foundation): r for r in Route.objects.all()}
    for case in cases:
        if case in routes:
            steps = routes[case].steps.select_related("kind")
            return [step.kind for step in steps]
    return list(PhaseKind.objects.all())


def _lay_route(lot: Lot) -> None:
    LotPhase.objects.bulk_create(
        LotPhase(lot=lot, kind=kind, position=place)
        for place, kind in enumerate(route_of(lot), start=1)
    )


def _locked(lot: Lot) -> Lot:
    return Lot.objects.select_related("subdivision", "plan").get(pk=lot.pk)


def check_fields(fields: dict[str, Any]) -> None:
    """Refuse a column of a lot that no page changes."""
    for name in fields:
        if name not in EDITABLE:
            raise Refused("unknown_kind", value=name)


def _check_plan(
    subdivision: Subdivision, plan: Plan | None, options: list[Option]
) -> None:
    if plan is not None and plan.builder_id != subdivision.builder_id:
        raise Refused("no_such", what="plan")
    for option in options:
        if plan is None or option.plan_id != plan.pk:
            raise Refused("no_such", what=f"option {option.code}")


def _codes(options: Iterable[Option]) -> list[str]:
    return sorted(option.code for option in options)


def _plain(value: Any) -> Any:
    if isinstance(value, date):
        return value.isoformat()
    return getattr(value, "pk", value)
