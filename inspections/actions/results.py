"""Recording what the inspector said."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID, uuid4

from inspections.actions.fees import charge_for_visit
from inspections.actions.pipe import append_inspected
from inspections.models import (
    Finding as FindingRow,
)
from inspections.models import (
    InspectionRequest,
    InspectionResult,
    WalkHint,
)
from inspections.rules import SYSTEMS, phases_proved
from phases.actions.corrections import Finding, append_correction
from phases.actions.inspection_facts import RESULTS, append_result
from phases.log import Log, Who, writing
from phases.models import CheckItem, LotPhase
from phases.rules import check, why_not_lead
from tracker.errors import Refused
from tracker.people.models import Crew
from tracker.sites.models import InspectionKind, Lot

CORRECTION_DAYS = 2  # common practice: put right within two days of a failure
# The inspector judged the work; other results say that he could not.
JUDGED = ("passed", "partly_passed", "failed")


@dataclass(frozen=True)
class Found:
    """One thing the inspector found wrong, in his own words."""

    words: str
    item: CheckItem | None = None
    owed_by: str = "us"
    photo: str = ""
    due_on: date | None = None
    crew: Crew | None = None


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
    pays: str = "us",
    id: UUID | None = None,
) -> InspectionResult:
    """Record a result at once, whatever our own proofs say.

    A failure opens one correction for each thing found, in the inspector's words; a
    failure with nothing named opens one that says so, so that it is not forgotten.
    `fault_of` says who kept the inspector from looking ("us", "builder", "office", a
    trade); `passed_parts` what passed of a partial ("item:7", "system:gas"); `pays`
    who pays the fee that the office's rule may bring.
    """
    check(why_not_lead(who.member))
    if result not in RESULTS:
        raise Refused("unknown_kind", value=result)
    _check_parts(lot, kind, passed_parts)
    with writing(now=now) as log:
        phases = _phases(lot, kind)
        row = InspectionResult(
            id=id or uuid4(),
            request=_close_request(lot, kind, now=now),
            lot=lot,
            kind=kind,
            result=result,
            on=on,
            inspector=inspector,
            words=words,
            fault_of=fault_of[:40],
            passed_parts=list(passed_parts),
            first_visit=result in JUDGED and not _judged_before(lot, kind),
            recorded_by=who.name,
            recorded_at=now,
        )
        row.save(force_insert=True)
        _append(log, row, phases, who=who)
        _follow_up(log, row, phases, found, who=who)
        charge_for_visit(row, pays=pays, who=who)
        return row


def _phases(lot: Lot, kind: InspectionKind) -> list[LotPhase]:
    phases = phases_proved(lot, kind)
    if not phases:
        raise Refused("no_such", what=f"phase for {kind.name_en}")
    return phases


def _follow_up(
    log: Log,
    row: InspectionResult,
    phases: Sequence[LotPhase],
    found: Sequence[Found],
    *,
    who: Who,
) -> None:
    # An op id marks one fact only; what follows from the result carries none.
    plain = Who(member=who.member, device=who.device, happened_at=who.happened_at)
    _open_corrections(log, row.lot, phases, row, found, who=plain)
    _tests_seen(log, row, phases, who=plain)


def _close_request(
    lot: Lot, kind: InspectionKind, *, now: datetime
) -> InspectionRequest | None:
    """The request that this result answers, if it was asked for."""
    request = InspectionRequest.objects.waiting().filter(lot=lot, kind=kind).first()
    if request is not None:
        request.status = InspectionRequest.RESULTED
        request.sequence += 1
        request.changed_at = now
        request.save(update_fields=["status", "sequence", "changed_at"])
    return request


def _append(
    log: Log, row: InspectionResult, phases: Sequence[LotPhase], *, who: Who
) -> None:
    append_result(
        log,
        phases,
        inspection=row.kind.code,
        result=row.result,
        on=row.on,
        who=who,
        words=row.words,
        inspector=row.inspector,
        request=str(row.request_id) if row.request_id else None,
    )


def _tests_seen(
    log: Log, row: InspectionResult, phases: Sequence[LotPhase], *, who: Who
) -> None:
    if row.result not in JUDGED:
        return
    systems = {SYSTEMS.get(word, word) for word in row.kind.on_test}
    for phase in phases:
        append_inspected(log, phase, systems=systems, who=who)


def _judged_before(lot: Lot, kind: InspectionKind) -> bool:
    return InspectionResult.objects.filter(
        lot=lot, kind=kind, result__in=JUDGED
    ).exists()


def _check_parts(lot: Lot, kind: InspectionKind, parts: Sequence[str]) -> None:
    """A part that passed is a system on test or an item of a phase that is proved."""
    items = (
        {
            f"item:{pk}"
            for pk in CheckItem.objects.filter(
                lot_phase__lot=lot, lot_phase__kind__code__in=kind.proves
            ).values_list("pk", flat=True)
        }
        if parts
        else set()
    )
    for part in parts:
        system = part.removeprefix("system:")
        if part not in items and (system == part or system not in SYSTEMS):
            raise Refused("bad_value", field="passed part", value=part)


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
    for thing in found:
        phase = thing.item.lot_phase if thing.item else phases[0]
        correction = append_correction(
            log,
            lot,
            Finding(
                text=thing.words,
                source="inspector",
                owed_by=thing.owed_by,
                phase=phase,
                item=thing.item,
                crew=thing.crew,
                photo=thing.photo,
                due_on=thing.due_on or row.on + timedelta(days=CORRECTION_DAYS),
            ),
            who=who,
        )
        FindingRow.objects.create(
            result=row,
            correction=correction.pk,
            words=thing.words[:400],
            item=thing.item,
            demand=demand_of(thing.item) if thing.item else "",
            owed_by=thing.owed_by[:40],
        )
        if thing.item is not None and thing.owed_by == "us":
            _offer_hint(thing.item, now=log.now)


def demand_of(item: CheckItem) -> str:
    """The row of the catalogue behind an item: its key without room and fixture."""
    return item.key.rsplit("/", 1)[-1].split(".", 1)[0]


def _offer_hint(item: CheckItem, *, now: datetime) -> None:
    """What failed is offered as a place to look at first on walks of that phase."""
    WalkHint.objects.get_or_create(
        phase_kind_id=item.lot_phase.kind_id,
        demand=demand_of(item),
        defaults={
            "text_en": item.spec.get("text_en", "")[:400],
            "text_es": item.spec.get("text_es", "")[:400],
            "offered_at": now,
        },
    )


def decide_hint(hint: WalkHint, *, take: bool, who: Who) -> WalkHint:
    """A lead or the office takes the hint into the walks, or leaves it."""
    check(why_not_lead(who.member))
    hint.state = WalkHint.TAKEN if take else WalkHint.DECLINED
    hint.decided_by = who.name
    hint.save(update_fields=["state", "decided_by"])
    return hint
