"""When an inspection may be called in. A reason to refuse, or None for yes."""

from collections.abc import Collection

from inspections.models import InspectionRequest, InspectionResult
from phases.models import LotPhase
from tracker.errors import Refused
from tracker.sites.models import InspectionKind, Lot


def phases_proved(lot: Lot, kind: InspectionKind) -> list[LotPhase]:
    """The lot's phases that this kind of inspection proves."""
    return list(
        lot.phases.filter(kind__code__in=kind.proves).select_related(
            "kind", "lot__subdivision"
        )
    )


def passed_kinds(lot: Lot) -> set[str]:
    """Codes of the kinds whose latest result on this lot is a pass."""
    latest: dict[str, str] = {}
    for code, result in InspectionResult.objects.filter(lot=lot).values_list(
        "kind__code", "result"
    ):
        latest[code] = result
    return {code for code, result in latest.items() if result == "passed"}


def why_not_call_in(
    lot: Lot,
    kind: InspectionKind,
    phases: Collection[LotPhase],
    *,
    passed: Collection[str],
) -> Refused | None:
    if not phases:
        return Refused("no_such", what=f"phase for {kind.name_en}")
    missing = [reason for phase in phases for reason in phase.call_in_missing]
    if missing:
        return Refused("call_in_blocked", missing=missing)
    first = [code for code in kind.after if code not in passed]
    if first:
        return Refused("kinds_first", kinds=first)
    asked = InspectionRequest.objects.waiting().filter(lot=lot, kind=kind).first()
    if asked is not None:
        return Refused("already_called", date=asked.for_date.isoformat())
    return None
