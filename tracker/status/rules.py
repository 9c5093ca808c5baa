"""What a superintendent may change, and which published job that would move."""

from collections.abc import Iterable
from datetime import date, timedelta

from phases import rules as house_rules
from phases.models import Correction, LotPhase
from tracker.errors import Refused
from tracker.people.models import Member
from tracker.sites.models import Builder, Subdivision, Superintendent

FARTHEST = timedelta(days=730)
LONGEST_DAYS = 400
MOVABLE = ("ready", "cover")
BEFORE_WORK = ("not_ready", "ready", "planned")


def current_date(phase: LotPhase, what: str) -> date | None:
    return phase.ready_date if what == "ready" else phase.cover_date


def why_not_dated(phase: LotPhase, what: str) -> Refused | None:
    """May this date of the phase still be said by the builder?"""
    if what not in MOVABLE:
        return Refused("unknown_kind", value=what)
    if what == "ready" and phase.work not in BEFORE_WORK:
        return Refused("work_begun")
    if what == "cover" and not phase.kind.conceals_en:
        return Refused("nothing_covers")
    if what == "cover" and phase.covered_on is not None:
        return Refused("covered_already")
    return None


def why_not_say_date(
    phase: LotPhase, *, what: str, date: date, was: date | None, today: date
) -> Refused | None:
    """`was` is the date the person saw: what moved meanwhile is looked at again."""
    if refused := why_not_dated(phase, what):
        return refused
    if current_date(phase, what) != was:
        return Refused("date_changed")
    if date < today:
        return Refused("date_gone_by")
    if date - today > FARTHEST:
        return Refused("date_too_far")
    return None


def job_moved(
    phases: Iterable[LotPhase], phase: LotPhase, *, what: str, date: date
) -> LotPhase | None:
    """The first published job on the lot that this date touches, or None.

    Confirming what was said moves nothing. A changed date of a planned phase moves
    it; a first date does where it does not fit the plan; and the job of a later phase
    is moved by a date on or behind its start.
    """
    was = current_date(phase, what)
    if was == date:
        return None
    for other in sorted(phases, key=lambda p: p.position):
        if other.planned_start is None or other.work not in ("planned", "working"):
            continue
        if other.pk == phase.pk and (was or _does_not_fit(other, what, date)):
            return other
        later = other.position > phase.position and other.work == "planned"
        if later and date >= other.planned_start:
            return other
    return None


def _does_not_fit(phase: LotPhase, what: str, date: date) -> bool:
    if what == "ready":
        return date > phase.planned_start
    return date <= (phase.planned_end or phase.planned_start)


def may_accept(correction: Correction, *, finished: bool) -> bool:
    """Put right, and the builder's to accept.

    Our own walk before the final is not his; after it a walk is on his list too.
    """
    if correction.state != "done":
        return False
    if correction.source in ("inspector", "change", "builder_walk", "call_back"):
        return True
    return finished and correction.source == "walk"


def why_not_accept(correction: Correction, *, finished: bool) -> Refused | None:
    if correction.state == "closed":
        return Refused("already_closed")
    if not may_accept(correction, finished=finished):
        return Refused("not_to_accept")
    return None


def why_not_make_link(
    member: Member | None,
    *,
    builder: Builder,
    subdivision: Subdivision | None,
    superintendent: Superintendent | None,
    days: int,
) -> Refused | None:
    if refused := house_rules.why_not_office(member):
        return refused
    if subdivision is not None and subdivision.builder_id != builder.pk:
        return Refused("no_such", what="subdivision")
    person = superintendent
    if person is not None and (person.builder_id != builder.pk or not person.is_active):
        return Refused("no_such", what="superintendent")
    if not 1 <= days <= LONGEST_DAYS:
        return Refused("link_days", most=LONGEST_DAYS)
    return None
