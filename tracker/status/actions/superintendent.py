"""What a superintendent does through his personal link, each a fact under his name."""

from datetime import date, datetime

from phases import rules as house_rules
from phases.actions.corrections import close_correction
from phases.actions.dates import say_date
from phases.actions.holds import lift_hold
from phases.actions.work import say_part
from phases.loaded import local_date
from phases.log import Who, writing
from phases.models import Correction, Fact, Hold, LotPhase, ReadyPart
from tracker.errors import Refused
from tracker.sites.models import BuilderDate, Superintendent
from tracker.status import rules
from tracker.status.actions.proposals import drop_open_proposals, propose_date
from tracker.status.models import DateProposal


def say_or_propose_date(
    phase: LotPhase,
    *,
    what: str,
    date: date,
    was: date | None,
    by: Superintendent,
    now: datetime,
) -> Fact | DateProposal:
    """Confirm or move a ready or cover date.

    Returns the fact where it counts at once, the proposal where a published job
    leans on the date and the office is asked first.
    """
    who = Who(superintendent=by)
    with writing(now=now) as log:
        # Read under the log's lock: the plan may have been published meanwhile.
        phases = _phases_of(phase)
        phase = next(p for p in phases if p.pk == phase.pk)
        today = local_date(now, phase.lot)
        house_rules.check(
            rules.why_not_say_date(phase, what=what, date=date, was=was, today=today)
        )
        job = rules.job_moved(phases, phase, what=what, date=date)
        if job is not None:
            return propose_date(
                log, phase, job=job, what=what, date=date, was=was, who=who
            )
        drop_open_proposals(phase, what=what, now=now)
        return say_date(
            phase.lot,
            what=what,
            date=date,
            phase=phase,
            status=BuilderDate.REVISED if was else BuilderDate.PREDICTED,
            who=who,
            now=now,
        )


def say_part_there(
    phase: LotPhase, part: str, *, ready: bool, by: Superintendent, now: datetime
) -> Fact:
    """He says that a part of readiness is there, or not there after all."""
    with writing(now=now):
        phase = next(p for p in _phases_of(phase) if p.pk == phase.pk)
        if phase.work not in rules.BEFORE_WORK:
            raise Refused("work_begun")
        row = ReadyPart.objects.filter(kind=phase.kind_id, code=part).first()
        if row is None or row.owed_by == "us":
            raise Refused("no_such", what=part)
        who = Who(superintendent=by)
        return say_part(phase, part, ready=ready, who=who, now=now)


def lift_builder_hold(hold: Hold, *, by: Superintendent, now: datetime) -> Hold:
    """What the lot waited for from the builder is there."""
    return lift_hold(hold, who=Who(superintendent=by), now=now)


def accept_correction(
    correction: Correction, *, by: Superintendent, now: datetime
) -> Correction:
    """The builder's person accepts what was put right."""
    with writing(now=now):
        correction = Correction.objects.select_related("lot__subdivision").get(
            pk=correction.pk
        )
        finished = not correction.lot.phases.filter(passed_on=None).exists()
        house_rules.check(rules.why_not_accept(correction, finished=finished))
        return close_correction(correction, who=Who(superintendent=by), now=now)


def _phases_of(phase: LotPhase) -> list[LotPhase]:
    return list(
        LotPhase.objects.filter(lot=phase.lot_id).select_related(
            "kind", "lot__subdivision"
        )
    )
