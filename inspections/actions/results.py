"""Recording what the inspector said."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID, uuid4

from inspections.models import InspectionRequest, InspectionResult
from inspections.rules import phases_proved
from phases.actions.corrections import Finding, append_correction
from phases.actions.inspection_facts import RESULTS, append_result
from phases.log import Log, Who, writing
from phases.models import CheckItem, LotPhase
from phases.rules import check, why_not_lead
from tracker.errors import Refused
from tracker.sites.models import InspectionKind, Lot

CORRECTION_DAYS = 2  # common practice: put right within two days of a failure


@dataclass(frozen=True)
class Found:
    """One thing the inspector found wrong, in his own words."""

    words: str
    item: CheckItem | None = None
    owed_by: str = "us"
    photo: str = ""
    due_on: date | None = None


def record_result(
    lot: Lot,
    kind: InspectionKind,
    *,
    result: str,
    on: date,
    who: Who,
    now: datetime,
    found: Sequence[Found] = (),
    inspector: str = "",
    words: str = "",
    fault_of: str = "",
    passed_parts: Sequence[str] = (),
    id: UUID | None = None,
) -> InspectionResult:
    """Record a result at once, whatever our own proofs say.

    A failure opens one correction for each thing found, in the inspector's words; a
    failure with nothing named opens one that says so, so that it is not forgotten.
    """
    check(why_not_lead(who.member))
    if result not in RESULTS:
        raise Refused("unknown_kind", value=result)
    with writing(now=now) as log:
        phases = phases_proved(lot, kind)
        if not phases:
            raise Refused("no_such", what=f"phase for {kind.name_en}")
        request = InspectionRequest.objects.waiting().filter(lot=lot, kind=kind).first()
        if request is not None:
            request.status = InspectionRequest.RESULTED
            request.save(update_fields=["status"])
        row = InspectionResult.objects.create(
            id=id or uuid4(),
            request=request,
            lot=lot,
            kind=kind,
            result=result,
            on=on,
            inspector=inspector,
            words=words,
            fault_of=fault_of,
            passed_parts=list(passed_parts),
            recorded_by=who.name,
            recorded_at=now,
        )
        append_result(
            log,
            phases,
            inspection=kind.code,
            result=result,
            on=on,
            who=who,
            words=words,
            inspector=inspector,
            request=str(request.pk) if request else None,
        )
        _open_corrections(log, lot, phases, row, found, who=who)
        return row


def _open_corrections(
    log: Log,
    lot: Lot,
    phases: Sequence[LotPhase],
    row: InspectionResult,
    found: Sequence[Found],
    *,
    who: Who,
) -> None:
    if row.result not in ("failed", "partly_passed"):
        return
    if not found and row.result == "failed":
        found = [Found(words=row.words or "Failed; the inspector named nothing.")]
    follower = Who(member=who.member, device=who.device, happened_at=who.happened_at)
    for thing in found:
        phase = thing.item.lot_phase if thing.item else phases[0]
        append_correction(
            log,
            lot,
            Finding(
                text=thing.words,
                source="inspector",
                owed_by=thing.owed_by,
                phase=phase,
                item=thing.item,
                photo=thing.photo,
                due_on=thing.due_on or row.on + timedelta(days=CORRECTION_DAYS),
            ),
            who=follower,
        )
