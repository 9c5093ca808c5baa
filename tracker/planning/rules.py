"""Who may do what with plans, and when. A reason to refuse, or None for yes."""

from datetime import date

from phases.rules import why_not_office, why_not_owner
from tracker.errors import Refused
from tracker.people.models import Member
from tracker.planning.adapter import Joined, Keys
from tracker.planning.adapter.labels import Label
from tracker.planning.carrying import TRUTHS
from tracker.planning.core.judge import judge
from tracker.planning.core.problem import QUARTERS
from tracker.planning.core.problem_write import write_problem
from tracker.planning.models import CrewNotice, PlanVersion


def why_not_edit(
    version: PlanVersion, *, member: Member | None, revision: int | None = None
) -> Refused | None:
    """`revision` is the one the planner saw; another one has been made since."""
    if refused := why_not_office(member):
        return refused
    if version.status != PlanVersion.DRAFT:
        return Refused("plan_no_draft")
    if version.plan is None:
        return Refused("plan_empty")
    if revision is not None and revision != version.revision:
        return Refused("plan_changed", who=version.changed_by)
    return None


def why_not_publish(
    version: PlanVersion,
    current: PlanVersion | None,
    *,
    member: Member | None,
    revision: int | None = None,
) -> Refused | None:
    """The owner publishes, and only a plan that keeps every rule."""
    if refused := why_not_owner(member):
        return refused
    if refused := why_not_edit(version, member=member, revision=revision):
        return refused
    if (current and current.pk) != version.base_id:
        number = current.number if current else 0
        who = str(current.published_by) if current else ""
        return Refused("plan_overtaken", number=number, who=who)
    verdict = judge(version.problem, version.plan)
    if verdict.breaches:
        return Refused("plan_breaks_rules", count=len(verdict.breaches))
    return None


def why_not_true(
    version: PlanVersion, now: Joined, *, until: date | None
) -> Refused | None:
    """A plan that cannot be as it says, by what is known now.

    Looks at work told by publishing, which starts by `until` (None: at all work). What
    began or passed meanwhile is left as it is.
    """
    begun = now.keys.begun - Keys.read(version.keys).begun
    last = None if until is None else now.calendar.number_of(until, back=True)
    starts = {
        (job["lot"], job["phase"]): job["start_quarter"] for job in version.plan["jobs"]
    }
    for breach in judge(write_problem(now.problem), version.plan).breaches:
        name = (breach.lot, breach.phase)
        start = starts.get(name)
        if breach.code not in TRUTHS or name in begun or start is None:
            continue
        if last is None or start // QUARTERS <= last:
            code = "plan_what_if" if version.what_if else "plan_holds_no_more"
            return Refused(code, lot=Label(breach.lot), phase=breach.phase)
    return None


def why_not_old(version: PlanVersion, *, day0: date) -> Refused | None:
    """A plan made on another day counts from another morning."""
    if version.day0 != day0:
        return Refused("plan_old", date=version.day0.isoformat())
    return None


def why_not_acknowledge(notice: CrewNotice, member: Member | None) -> Refused | None:
    if member is None or not member.is_active:
        return Refused("not_yours")
    own = member.is_lead and member.crew_id == notice.crew_id
    if not (own or member.is_office):
        return Refused("not_yours")
    return None
