"""Solving a joined problem so that the offices' exact rules agree to the plan."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

from .adapter import Joined
from .adapter.offices import tighten
from .core.plan import Plan
from .core.problem import Problem
from .core.season import buffers
from .core.solve import Aim, Effort, Progress, never, solve
from .exact import Disagreement, disagreements

ROUNDS = 8
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

    def wrong() -> list[Disagreement]:
        found = disagreements(joined, plan, now=now)
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
    left = wrong()
    for _ in range(ROUNDS):
        if not left:
            break
        joined = replace(joined, problem=_tightened(joined.problem, left))
        plan = solve(joined.problem, less, start=plan, aim=aim, threshold=0, stop=stop)
        left = wrong()
    return joined, plan, left


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
    for one in {(d.office, d.number, d.full): d for d in found}.values():
        lines[one.office] = tighten(lines[one.office], day=one.number, full=one.full)
    return replace(problem, jurisdictions=tuple(lines.values()))
