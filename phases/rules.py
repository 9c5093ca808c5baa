"""Who may do what, and when. Each answers a reason to refuse, or None for yes."""

from phases.log import Who
from phases.models import CheckItem, Correction, Hold, LotPhase
from tracker.errors import Refused
from tracker.people.models import Member
from tracker.sites.models import Company


def check(refusal: Refused | None) -> None:
    """Raise the refusal, if there is one."""
    if refusal is not None:
        raise refusal


def why_not_work(member: Member | None) -> Refused | None:
    """Proving items: everybody of ours who is active."""
    if member is None or not member.is_active:
        return Refused("not_yours")
    return None


def why_not_lead(member: Member | None) -> Refused | None:
    """Walks, work done, on test, rejecting a proof, results: lead, office, owner."""
    if member is None or not (member.is_lead or member.is_office):
        return Refused("not_yours")
    return None


def why_not_office(member: Member | None) -> Refused | None:
    if member is None or not member.is_office:
        return Refused("not_yours")
    return None


def why_not_owner(member: Member | None) -> Refused | None:
    if member is None or not member.is_owner:
        return Refused("owner_only")
    return None


def why_not_walk(items: list[CheckItem], member: Member) -> Refused | None:
    """A lead walks, but not over what he proved himself unless the owner allows it."""
    if refused := why_not_lead(member):
        return refused
    own = any(item.proven_by_id == member.pk for item in items)
    if own and not Company.get().walk_own_work:
        return Refused("own_walk")
    return None


def why_not_lift(hold: Hold, who: Who) -> Refused | None:
    if hold.lifted_on is not None:
        return Refused("already_lifted")
    if who.superintendent is not None:
        if hold.owed_by != "builder":
            return Refused("not_builder_hold")
        return None
    return why_not_lead(who.member)


def why_not_close(correction: Correction, who: Who) -> Refused | None:
    if correction.state == "closed":
        return Refused("already_closed")
    if who.superintendent is not None:
        return None
    return why_not_lead(who.member)


def why_not_call_in(phase: LotPhase) -> Refused | None:
    """Our own proofs must stand before the inspector is asked to come."""
    if phase.call_in_missing:
        return Refused("call_in_blocked", missing=phase.call_in_missing)
    return None
