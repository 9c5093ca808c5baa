"""The demo's look-ahead: its next weeks planned and published."""

from datetime import datetime

from phases.log import Who
from tracker.desk.doing import office_today
from tracker.people.models import Crew, Member, Role
from tracker.planning.actions.drafts import start_draft
from tracker.planning.actions.publishing import acknowledge, publish
from tracker.planning.actions.running import ask_run, work_on
from tracker.planning.models import PlanningRules, PlanVersion, SolveRun

TRIALS = 60_000  # a number of trials: the same demo every time
TOLD_DAYS = 7  # what is ready now and comes later than that stays untold


def plan_the_season(owner: Member, *, now: datetime) -> PlanVersion:
    """Solve and publish; all leads but two have read what is new for their crew.

    Nothing is queued: the demo is made before a worker runs.
    """
    who = Who(member=owner)
    PlanningRules.objects.create(told_days=TOLD_DAYS)
    draft = start_draft(who=who, now=now, today=office_today(now))
    run = ask_run(draft, who=who, now=now, seconds=None, iterations=TRIALS, queue=False)
    state = work_on(run.pk, clock=lambda: now)
    if state != SolveRun.DONE:
        run.refresh_from_db()
        raise RuntimeError(f"the demo could not be planned: {run.trouble}")
    draft.refresh_from_db()
    version = publish(draft, who=who, now=now)
    for notice in version.notices.order_by("crew__name")[2:]:
        acknowledge(notice, who=_lead(notice.crew), now=now)
    return version


def _lead(crew: Crew) -> Who:
    return Who(member=crew.members.filter(role=Role.LEAD).first())
