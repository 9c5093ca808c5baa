"""Solving a joined problem so that the offices' exact rules agree to the plan."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

from .adapter import Joined
from .adapter.offices import tighten
from .core.judge import judge
from .core.plan import Plan, score_jobs, write_plan
from .core.problem import Problem
from .core.problem_write import write_problem
from .core.season import buffers
from .core.solve import Aim, Effort, Progress, never, solve
from .exact import Disagreement, disagreements

ROUNDS = 8
LATEST = 15  # working days by which a visit is put off at most
AGAIN = 0.15  # share of the effort for each further round


def aim_of(joined: Joined, level: float) -> Aim:
    return Aim(buffer=buffers(joined.problem, level, joined.season))


def shifted(plan: Plan, days: int) -> Plan:
    """The same plan, counted from a day 0 that is `days` working days later."""
    jobs = tuple(
        replace(
            job,
            start_quarter=None
            if job.start_quarter is None
            else job.start_quarter - 4 * days,
            end_quarter=job.end_quarter - 4 * days if job.crew else job.end_quarter,
            inspection_day=None
            if job.inspection_day is None
            else job.inspection_day - days,
        )
        for job in plan.jobs
    )
    return replace(plan, jobs=jobs)


def solve_exactly(
    joined: Joined,
    effort: Effort,
    *,
    now: datetime,
    start: Plan | None = None,
    level: float = 0.0,
    trusted: frozenset[str] = frozenset(),
    threshold: float | None = None,
    stop: Callable[[], bool] = never,
    progress: Callable[[Progress], None] | None = None,
) -> tuple[Joined, Plan, list[Disagreement]]:
    """A plan, the problem as tightened until the exact rules agreed, and what is left.

    What offices in `trusted` say is not asked: a what-if changes them. Raises
    BadProblem for pins that contradict, NoPlan where none was found.
    """

    def wrong(made: Plan) -> list[Disagreement]:
        found = disagreements(joined, made, now=now)
        return [one for one in found if one.office not in trusted]

    aim = aim_of(joined, level)
    plan = solve(
        joined.problem,
        effort,
        start=start,
        aim=aim,
        threshold=threshold,
        stop=stop,
        progress=progress,
    )
    less = _less(effort)
    plan, left = put_off(joined.problem, plan, wrong)
    for _ in range(ROUNDS):
        if not left:
            break
        joined = replace(joined, problem=_tightened(joined.problem, left))
        plan = solve(joined.problem, less, start=plan, aim=aim, threshold=0, stop=stop)
        plan, left = put_off(joined.problem, plan, wrong)
    return joined, plan, left


def put_off(
    problem: Problem, plan: Plan, wrong: Callable[[Plan], list[Disagreement]]
) -> tuple[Plan, list[Disagreement]]:
    """Visits that an office does not give, put off to its next days where that breaks
    no other rule; with those for which no such day was found.
    """
    raw = write_problem(problem)
    offices = {line.id: line for line in problem.jurisdictions}
    left, stuck = wrong(plan), set()
    while todo := [one for one in left if (one.lot, one.phase) not in stuck]:
        one = todo[0]
        for day in range(one.number + 1, one.number + 1 + LATEST):
            if not problem.inspects(offices[one.office], day):
                continue
            later = _on_day(problem, plan, (one.lot, one.phase), day)
            if judge(raw, write_plan(later)).breaches:
                continue
            found = wrong(later)
            if len(found) < len(left):
                plan, left = later, found
                break
        else:
            stuck.add((one.lot, one.phase))
    return plan, left


def _on_day(problem: Problem, plan: Plan, name: tuple[str, str], day: int) -> Plan:
    jobs = {job.name: job for job in plan.jobs}
    jobs[name] = replace(jobs[name], inspection_day=day)
    score = score_jobs(problem, tuple(jobs[job.name] for job in problem.jobs))
    return replace(plan, jobs=tuple(jobs.values()), score=score)


def _less(effort: Effort) -> Effort:
    return replace(
        effort,
        seconds=None if effort.seconds is None else effort.seconds * AGAIN,
        iterations=None
        if effort.iterations is None
        else max(1, int(effort.iterations * AGAIN)),
    )


def _tightened(problem: Problem, found: list[Disagreement]) -> Problem:
    """Each office that disagreed, stricter on the days it disagreed about."""
    lines = {line.id: line for line in problem.jurisdictions}
    for one in {(d.office, d.number): d for d in found}.values():
        lines[one.office] = tighten(lines[one.office], day=one.number)
    return replace(problem, jurisdictions=tuple(lines.values()))
