"""Moving one job of a plan by hand, and what the judge says of it. Pure."""

from collections import Counter
from dataclasses import dataclass, replace
from typing import Any

from .core.judge import Breach, judge
from .core.plain import visit_day
from .core.plan import Engine, Plan, PlannedJob, score_jobs, write_plan
from .core.problem import Problem

HALF = 2  # quarters


@dataclass(frozen=True)
class Moved:
    plan: Plan
    breaches: tuple[Breach, ...]


def move_job(
    problem: Problem,
    raw: Any,
    plan: Plan,
    name: tuple[str, str],
    *,
    crew: str,
    half: int,
) -> Moved:
    """The plan with one job on another crew or half-day (counted from day 0).

    Nothing else moves, but its inspection: the judge says what does not fit. Of the two
    quarters of the half-day the first without a breach is taken. `raw` is the problem's
    JSON. Raises KeyError for an unknown job or crew.
    """
    first: Moved | None = None
    for quarter in range(HALF * half, HALF * half + HALF):
        moved = _moved(problem, plan, name, crew, quarter)
        verdict = judge(raw, write_plan(moved))
        found = Moved(moved, verdict.breaches)
        if not verdict.breaches:
            return found
        first = first or found
    assert first is not None
    return first


def _moved(
    problem: Problem, plan: Plan, name: tuple[str, str], crew: str, start: int
) -> Plan:
    job = problem.jobs[problem.job_index[name]]
    takes = problem.crews[problem.crew_index[crew]].quarters(job.phase.crew_quarters)
    place = {lot.id: lot.subdivision for lot in problem.lots}
    taken: Counter[tuple[str, int]] = Counter()
    for other in plan.jobs:
        if other.inspection_day is not None and other.name != name:
            where = problem.subdivision_index[place[other.lot]]
            taken[problem.subdivisions[where].jurisdiction, other.inspection_day] += 1
    visit = visit_day(problem, job, start + takes, taken)
    new = PlannedJob(*name, crew, start, start + takes, visit)
    jobs = tuple(new if one.name == name else one for one in plan.jobs)
    in_order = {one.name: one for one in jobs}
    dated = tuple(in_order[one.name] for one in problem.jobs)
    score = score_jobs(problem, dated)
    # The engine's order led to the other plan; by start is what stands now.
    return replace(plan, jobs=jobs, score=score, engine=Engine())
