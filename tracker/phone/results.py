"""An inspector's result, entered by the lead on the lot."""

from datetime import datetime
from typing import Any

from inspections.actions import Found, record_result
from phases.log import Who
from phases.models import LotPhase
from phases.refresh import local_date
from tracker.errors import Refused
from tracker.phone.operations import Op
from tracker.sites.models import InspectionKind

RESULTS = (
    "passed",
    "partly_passed",
    "failed",
    "not_ready",
    "no_access",
    "not_on_test",
)
MOST_PARTS = 20


def record(op: Op, phase: LotPhase, *, who: Who, now: datetime) -> None:
    """One result; each line of what the inspector found becomes a correction.

    A photo goes with the first of them. `fault_of` says who kept the inspector from
    looking, `passed_parts` which systems passed of a partial.
    """
    lot = phase.lot
    result = op.payload.get("result")
    if result not in RESULTS:
        raise Refused("unknown_kind", value=str(result)[:40])
    kind = InspectionKind.objects.filter(
        jurisdiction=lot.subdivision.jurisdiction_id,
        code=str(op.payload.get("inspection", ""))[:40],
    ).first()
    if kind is None:
        raise Refused("no_such", what="inspection")
    record_result(
        lot,
        kind,
        result=result,
        on=local_date(who.happened_at or now, lot),
        who=who,
        now=now,
        found=_found(op),
        fault_of=str(op.payload.get("fault_of", ""))[:40],
        passed_parts=_words(op, "passed_parts")[:MOST_PARTS],
        id=op.id,
    )


def _found(op: Op) -> list[Found]:
    lines = [line.strip()[:400] for line in _words(op, "corrections")]
    found = [Found(words=line) for line in lines if line]
    if op.sha and found:
        found[0] = Found(words=found[0].words, photo=op.sha)
    return found


def _words(op: Op, name: str) -> list[str]:
    given: Any = op.payload.get(name, [])
    if not isinstance(given, list):
        raise Refused("bad_value", field=name, value=str(given)[:40])
    return [one for one in given if isinstance(one, str)]
