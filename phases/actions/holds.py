"""Holds: the lot waits for somebody else."""

from datetime import datetime
from uuid import UUID, uuid4

from phases import rules
from phases.loaded import local_date
from phases.log import Log, Who, writing
from phases.models import Hold, LotPhase
from tracker.errors import Refused
from tracker.sites.models import Lot


def set_hold(
    lot: Lot,
    *,
    owed_by: str,
    text: str,
    who: Who,
    now: datetime,
    phase: LotPhase | None = None,
    id: UUID | None = None,
) -> Hold:
    if who.superintendent is None:
        rules.check(rules.why_not_work(who.member))
    if not text.strip():
        raise Refused("reason_needed")
    with writing(now=now) as log:
        return append_hold(
            log, lot, owed_by=owed_by, text=text, who=who, phase=phase, id=id
        )


def append_hold(
    log: Log,
    lot: Lot,
    *,
    owed_by: str,
    text: str,
    who: Who,
    phase: LotPhase | None = None,
    id: UUID | None = None,
) -> Hold:
    hold = Hold.objects.create(
        id=id or uuid4(),
        lot=lot,
        lot_phase=phase,
        owed_by=owed_by[:40],
        text=text[:400],
        since=local_date(who.happened_at or log.now, lot),
        set_by=who.name,
    )
    log.append(
        "hold_set",
        lot=lot,
        phase=phase,
        who=who,
        hold=str(hold.pk),
        owed_by=owed_by,
        text=text,
    )
    return hold


def lift_hold(hold: Hold, *, who: Who, now: datetime, note: str = "") -> Hold:
    with writing(now=now) as log:
        hold = Hold.objects.select_for_update().get(pk=hold.pk)
        rules.check(rules.why_not_lift(hold, who))
        hold.lifted_on = local_date(who.happened_at or now, hold.lot)
        hold.lifted_by = who.name
        hold.save(update_fields=["lifted_on", "lifted_by"])
        log.append(
            "hold_lifted",
            lot=hold.lot,
            phase=hold.lot_phase,
            who=who,
            hold=str(hold.pk),
            note=note,
        )
        return hold
