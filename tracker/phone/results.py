"""An inspector's result, entered by the lead on the lot."""

from datetime import datetime

from inspections.actions import Found, record_result
from phases.log import Who
from phases.models import LotPhase
from phases.refresh import local_date
from tracker.errors import Refused
from tracker.phone.operations import Op
from tracker.sites.models import InspectionKind

RESULTS = ("passed", "failed", "not_ready", "no_access", "not_on_test")


def record(op: Op, phase: LotPhase, *, who: Who, now: datetime) -> None:
    """One result; each line of what the inspector found becomes a correction."""
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
    lines = op.payload.get("corrections", [])
    if not isinstance(lines, list):
        raise Refused("bad_value", field="corrections", value=str(lines)[:40])
    said = [line.strip()[:400] for line in lines if isinstance(line, str)]
    record_result(
        lot,
        kind,
        result=result,
        on=local_date(who.happened_at or now, lot),
        who=who,
        now=now,
        found=[Found(words=line) for line in said if line],
        id=op.id,
    )
