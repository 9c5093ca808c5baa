"""A published plan carried into what is known now: what breaks, and what it comes to.

Two plans can be held against each other only by one problem. So the published one is
put into the draft's: the same crews in the same order, nothing sooner than told, and
what rain, a builder or a crew's day off no longer allows pushed on, as it would be
where nobody planned again. Pure.
"""

from collections import Counter
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from typing import Any

from .core.judge import Breach, judge
from .core.plain import after_drive, blocked_day, earliest, visit_day
from .core.plan import Plan, PlannedJob, Score, score_jobs, write_plan
from .core.problem import QUARTERS, Job, Problem

Name = tuple[str, str]

# What may have become otherwise since a plan was made. Its lengths are estimates, and
# hours that have gone by since bind nobody.
TRUTHS = frozenset(
    ("unknown_crew", "not_qualified", "day_off", "rain", "before_ready", "before_gate")
    + ("pin_crew", "pin_day")
)


@dataclass(frozen=True)
class Carried:
    """The plan's score, pushed on where there are breaches; jobs that it lacked."""

    score: Score
    breaches: tuple[Breach, ...]
    new: int


def carried(
    problem: Problem,
    raw: Mapping[str, Any],
    plan: Plan,
    draft: Plan,
    *,
    begun: Collection[Name] = (),
) -> Carried:
    """`plan`, counted from the problem's day 0, held against the problem of `draft`.

    `raw` is the problem's JSON. Jobs that the plan did not know are as in the draft, so
    that both have the same work. What has begun is as it is, whatever was told.
    """
    standing = _standing(problem, plan, draft)
    new = len(problem.job_index.keys() - plan.by_name().keys())
    verdict = judge(raw, write_plan(replace(draft, jobs=standing)))
    missed = [job for job in standing if (job.start_quarter or 0) < 0]
    past = [_not_begun(job) for job in missed if job.name not in begun]
    settled = {*begun, *(job.name for job in missed)}
    broken = [
        one
        for one in verdict.breaches
        if one.code in TRUTHS and (one.lot, one.phase) not in settled
    ]
    if not past and not broken:
        return Carried(score_jobs(problem, standing), (), new)
    return Carried(pushed(problem, plan, draft).score, (*past, *broken), new)


def _not_begun(job: PlannedJob) -> Breach:
    return Breach("not_begun", *job.name, f"lot {job.lot} {job.phase}: not begun.")


def pushed(problem: Problem, plan: Plan, draft: Plan) -> Plan:
    """The plan as it would go on by itself; it differs only where it must."""
    made = draft.by_name()
    planned = {
        job.name: job if _able(problem, job) else made[job.name]
        for job in _standing(problem, plan, draft)
    }
    stands = {crew.id: (crew.at, crew.free_from_quarter) for crew in problem.crews}
    taken: Counter[tuple[str, int]] = Counter()
    dated: dict[Name, PlannedJob] = {}
    for job in _in_order(problem, planned):
        old = planned[job.name]
        new = PlannedJob(*job.name, None, None, 0, None)
        if old.crew is not None:
            crew = problem.crews[problem.crew_index[old.crew]]
            start = max(earliest(problem, job, dated, False), old.start_quarter or 0)
            start = max(start, after_drive(problem, job, *stands[crew.id]))
            takes = crew.quarters(job.phase.crew_quarters)
            while (off := blocked_day(problem, crew, job, start, takes)) is not None:
                start = QUARTERS * (off + 1)
            stands[crew.id] = (job.lot.subdivision, start + takes)
            new = PlannedJob(*job.name, crew.id, start, start + takes, None)
        asked = max(new.end_quarter, _last_call(problem, job, old))
        visit = visit_day(problem, job, asked, taken)
        dated[job.name] = replace(new, inspection_day=visit)
    jobs = tuple(dated[job.name] for job in problem.jobs)
    return replace(draft, jobs=jobs, score=score_jobs(problem, jobs))


def _standing(problem: Problem, plan: Plan, draft: Plan) -> tuple[PlannedJob, ...]:
    """The plan's own jobs in the order of the problem's; what it lacks by the draft."""
    old, new = plan.by_name(), draft.by_name()
    found = []
    for job in problem.jobs:
        was, now = old.get(job.name), new[job.name]
        if was is None or (job.is_open and was.crew is None):
            was = now
        elif not job.is_open:
            was = replace(was, crew=None, start_quarter=None, end_quarter=0)
        if job.phase.inspected and was.inspection_day is None:
            was = replace(was, inspection_day=now.inspection_day)
        elif not job.phase.inspected:
            was = replace(was, inspection_day=None)
        found.append(was)
    return tuple(found)


def _able(problem: Problem, job: PlannedJob) -> bool:
    """Is its crew still there, and may it do that?"""
    if job.crew is None:
        return True
    place = problem.crew_index.get(job.crew)
    return place is not None and job.phase in problem.crews[place].phases


def _in_order(problem: Problem, planned: Mapping[Name, PlannedJob]) -> list[Job]:
    """By start, but a lot's phases never before the phase ahead of them."""
    keys: dict[Name, int] = {}
    last: dict[str, int] = {}
    for job in problem.jobs:
        start = planned[job.name].start_quarter
        key = max(-1 if start is None else start, last.get(job.lot.id, -1))
        keys[job.name] = last[job.lot.id] = key
    return sorted(problem.jobs, key=lambda job: keys[job.name])


def _last_call(problem: Problem, job: Job, old: PlannedJob) -> int:
    """The first quarter whose call leads to the day of the old visit, not before it."""
    if old.inspection_day is None:
        return 0
    place = problem.subdivisions[problem.subdivision_index[job.lot.subdivision]]
    office = problem.jurisdictions[problem.jurisdiction_index[place.jurisdiction]]
    call = old.inspection_day - office.lead_days
    return QUARTERS * (call - 1) + office.cutoff_quarter + 1
