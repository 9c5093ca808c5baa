"""Corrections: opened on a walk, by the inspector or a change; done; closed."""

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID, uuid4

from phases import rules
from phases.log import Log, Who, writing
from phases.models import CheckItem, Correction, LotPhase, PhotoUse
from tracker.errors import Refused
from tracker.people.models import Crew
from tracker.sites.models import Lot

SOURCES = ("walk", "inspector", "change", "builder_walk", "call_back", "work")


@dataclass(frozen=True)
class Finding:
    """What is wrong, where, and who owes it (`us` or another trade)."""

    text: str
    text_es: str = ""
    source: str = "walk"
    owed_by: str = "us"
    phase: LotPhase | None = None
    item: CheckItem | None = None
    room_key: str = ""
    crew: Crew | None = None
    photo: str = ""
    due_on: date | None = None
    billable: bool = False
    id: UUID | None = None


def open_correction(
    lot: Lot, finding: Finding, *, who: Who, now: datetime
) -> Correction:
    if who.superintendent is None:
        rules.check(rules.why_not_work(who.member))
    with writing(now=now) as log:
        return append_correction(log, lot, finding, who=who)


def append_correction(log: Log, lot: Lot, finding: Finding, *, who: Who) -> Correction:
    if not finding.text.strip():
        raise Refused("reason_needed")
    if finding.source not in SOURCES:
        raise Refused("unknown_kind", value=finding.source)
    phase = finding.phase or (finding.item.lot_phase if finding.item else None)
    correction = Correction.objects.create(
        id=finding.id or uuid4(),
        lot=lot,
        lot_phase=phase,
        item=finding.item,
        room_key=finding.room_key or (finding.item.room_key if finding.item else ""),
        text=finding.text[:400],
        text_es=finding.text_es[:400],
        source=finding.source,
        owed_by=finding.owed_by[:40],
        crew=finding.crew or (phase.crew if phase else None),
        photo=finding.photo,
        due_on=finding.due_on,
        billable=finding.billable,
        opened_at=log.now,
        opened_by=who.name,
    )
    fact = log.append(
        "correction_opened",
        lot=lot,
        phase=phase,
        item=finding.item,
        who=who,
        correction=str(correction.pk),
        text=finding.text,
        source=finding.source,
        owed_by=finding.owed_by,
        photo=finding.photo,
    )
    if finding.photo:
        PhotoUse.objects.create(
            photo_sha=finding.photo, lot=lot, correction=correction.pk, fact=fact
        )
    return correction


def correction_done(
    correction: Correction, *, who: Who, now: datetime, photo: str = "", note: str = ""
) -> Correction:
    """Our crew says it is put right; a lead still has to accept it."""
    rules.check(rules.why_not_work(who.member))
    with writing(now=now) as log:
        correction = Correction.objects.select_for_update().get(pk=correction.pk)
        if correction.state == "closed":
            raise Refused("already_closed")
        correction.state, correction.done_at = "done", now
        correction.save(update_fields=["state", "done_at"])
        fact = _append(log, "correction_done", correction, who, photo=photo, note=note)
        if photo:
            PhotoUse.objects.create(
                photo_sha=photo,
                lot=correction.lot,
                correction=correction.pk,
                fact=fact,
            )
        return correction


def close_correction(
    correction: Correction, *, who: Who, now: datetime, note: str = ""
) -> Correction:
    """A lead, the office or the superintendent accepts it."""
    with writing(now=now) as log:
        correction = Correction.objects.select_for_update().get(pk=correction.pk)
        rules.check(rules.why_not_close(correction, who))
        correction.state, correction.closed_at = "closed", now
        correction.closed_by = who.name
        correction.save(update_fields=["state", "closed_at", "closed_by"])
        _append(log, "correction_closed", correction, who, note=note)
        return correction


def reopen_correction(
    correction: Correction, *, who: Who, now: datetime, reason: str
) -> Correction:
    rules.check(rules.why_not_lead(who.member))
    if not reason.strip():
        raise Refused("reason_needed")
    with writing(now=now) as log:
        correction = Correction.objects.select_for_update().get(pk=correction.pk)
        correction.state, correction.done_at, correction.closed_at = "open", None, None
        correction.save(update_fields=["state", "done_at", "closed_at"])
        _append(log, "correction_reopened", correction, who, reason=reason)
        return correction


def _append(log: Log, kind: str, correction: Correction, who: Who, **payload: object):
    return log.append(
        kind,
        lot=correction.lot,
        phase=correction.lot_phase,
        item=correction.item,
        who=who,
        correction=str(correction.pk),
        **payload,
    )
