"""A moved date waits for the office where a published job leans on it."""

from datetime import date, datetime

from phases import rules as house_rules
from phases.actions.dates import say_date
from phases.log import Log, Who, writing
from phases.models import LotPhase
from tracker.errors import Refused
from tracker.people.models import Member
from tracker.sites.models import BuilderDate
from tracker.status.models import DateProposal


def propose_date(
    log: Log,
    phase: LotPhase,
    *,
    job: LotPhase,
    what: str,
    date: date,
    was: date | None,
    who: Who,
) -> DateProposal:
    """Store what a superintendent said; his earlier word on it is replaced."""
    drop_open_proposals(phase, what=what, now=log.now)
    proposal = DateProposal.objects.create(
        lot=phase.lot,
        lot_phase=phase,
        job=job,
        what=what,
        date=date,
        was=was,
        superintendent=who.superintendent,
        made_at=log.now,
    )
    _append(log, "date_proposed", proposal, who)
    return proposal


def drop_open_proposals(phase: LotPhase, *, what: str, now: datetime) -> int:
    return DateProposal.objects.filter(
        lot_phase=phase, what=what, state=DateProposal.OPEN
    ).update(state=DateProposal.REPLACED, decided_at=now)


def accept_proposal(
    proposal: DateProposal, *, by: Member, now: datetime
) -> DateProposal:
    """The date counts from now on, as the superintendent's word."""
    house_rules.check(house_rules.why_not_office(by))
    with writing(now=now) as log:
        proposal = _locked(proposal)
        _settle(proposal, DateProposal.ACCEPTED, by=by, now=now)
        _append(log, "date_proposal_accepted", proposal, Who(member=by))
        say_date(
            proposal.lot,
            what=proposal.what,
            date=proposal.date,
            phase=proposal.lot_phase,
            status=BuilderDate.REVISED,
            who=Who(superintendent=proposal.superintendent),
            now=now,
        )
        return proposal


def decline_proposal(
    proposal: DateProposal, *, reason: str, by: Member, now: datetime
) -> DateProposal:
    """The date stays as it was; the superintendent reads why."""
    house_rules.check(house_rules.why_not_office(by))
    if not reason.strip():
        raise Refused("reason_needed")
    with writing(now=now) as log:
        proposal = _locked(proposal)
        _settle(proposal, DateProposal.DECLINED, by=by, now=now, reason=reason)
        _append(log, "date_proposal_declined", proposal, Who(member=by), reason=reason)
        return proposal


def _locked(proposal: DateProposal) -> DateProposal:
    return DateProposal.objects.select_related(
        "lot__subdivision", "lot_phase__kind", "superintendent"
    ).get(pk=proposal.pk)


def _settle(
    proposal: DateProposal, state: str, *, by: Member, now: datetime, reason: str = ""
) -> None:
    if proposal.state != DateProposal.OPEN:
        raise Refused("already_closed")
    proposal.state, proposal.decided_by, proposal.decided_at = state, by, now
    proposal.reason = reason.strip()[:300]
    proposal.save(update_fields=["state", "decided_by", "decided_at", "reason"])


def _append(
    log: Log, kind: str, proposal: DateProposal, who: Who, **payload: object
) -> None:
    log.append(
        kind,
        lot=proposal.lot,
        phase=proposal.lot_phase,
        who=who,
        proposal=str(proposal.pk),
        what=proposal.what,
        date=proposal.date.isoformat(),
        was=proposal.was.isoformat() if proposal.was else None,
        **payload,
    )
