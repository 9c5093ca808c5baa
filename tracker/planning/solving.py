"""Solving a joined problem so that the offices' exact rules agree to the plan."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime

from .adapter import Joined
from .adapter.keys import Name
from .adapter.offices import tighten
from .core.judge import judge
from .core.plan import Plan, score_jobs, write_plan
from .core.problem import Lot, Problem
from .core.problem_write import write_problem
from .core.season import buffers
from .core.solve import Aim, Effort, Progress, never, solve
from .exact import Disagreement, disagreements
from .redating import re_dated

ROUNDS = 4
LATEST = 10  # working days by which a visit is put off at most
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
    if not wrong(plan):
        return joined, plan, []
    made = _agreed(joined, plan, _less(effort), aim=aim, wrong=wrong, stop=stop)
    # In an office that is full for weeks, going through the plan once can be better.
    simple = re_dated(joined, plan, now=now)
    if (
        wrong(simple)
        or judge(write_problem(joined.problem), write_plan(simple)).breaches
    ):
        return made
    if made[2] or simple.score.total < made[1].score.total:
        return joined, simple, []
    return made


def _agreed(
    joined: Joined,
    plan: Plan,
    effort: Effort,
    *,
    aim: Aim,
    wrong: Callable[[Plan], list[Disagreement]],
    stop: Callable[[], bool],
) -> tuple[Joined, Plan, list[Disagreement]]:
    """The plan made to agree with the offices, in as many rounds as it takes."""
    plan, left, later = put_off(joined.problem, plan, wrong)
    seen: set[tuple[str, int]] = set()
    for _ in range(ROUNDS):
        if not left:
            break
        # A day that is wrong a second time is shut for the office.
        known = {
            (d.lot, d.phase)
            for d in left
            if (d.lot, d.phase) in later and (d.office, d.number) not in seen
        }
        seen |= {(d.office, d.number) for d in left}
        later = {name: later[name] for name in known}
        joined = replace(joined, problem=_tightened(joined.problem, left, later))
        plan = solve(
            joined.problem, effort, start=plan, aim=aim, threshold=0, stop=stop
        )
        plan, left, later = put_off(joined.problem, plan, wrong)
    return joined, plan, left


def put_off(
    problem: Problem, plan: Plan, wrong: Callable[[Plan], list[Disagreement]]
) -> tuple[Plan, list[Disagreement], dict[Name, int]]:
    """Visits that an office does not give, put off to its next days where that breaks
    no other rule; those for which that was not so; and days that would do for these if
    the lot's next phase began later.
    """
    raw = write_problem(problem)
    offices = {line.id: line for line in problem.jurisdictions}
    left, stuck = wrong(plan), set()
    later: dict[Name, int] = {}
    while todo := [one for one in left if (one.lot, one.phase) not in stuck]:
        one, name = todo[0], (todo[0].lot, todo[0].phase)
        for day in range(one.number + 1, one.number + 1 + LATEST):
            if not problem.inspects(offices[one.office], day):
                continue
            moved = _on_day(problem, plan, name, day)
            found = wrong(moved)
            if len(found) >= len(left):
                continue
            breaches = judge(raw, write_plan(moved)).breaches
            if not breaches:
                plan, left = moved, found
                break
            if all(b.code == "before_gate" and b.lot == one.lot for b in breaches):
                later.setdefault(name, day)
        else:
            stuck.add(name)
    return plan, left, later


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


def _tightened(
    problem: Problem, left: list[Disagreement], later: Mapping[Name, int]
) -> Problem:
    """The next phase of a lot not before its visit can be; else the day is shut."""
    days = {name: later[name] for d in left if (name := (d.lot, d.phase)) in later}
    lots = tuple(_begun_later(lot, days) for lot in problem.lots)
    lines = {line.id: line for line in problem.jurisdictions}
    for one in left:
        if (one.lot, one.phase) not in days:
            lines[one.office] = tighten(lines[one.office], day=one.number)
    return replace(problem, lots=lots, jurisdictions=tuple(lines.values()))


def _begun_later(lot: Lot, passes: Mapping[Name, int]) -> Lot:
    """A lot whose phases wait for the pass days given of those ahead of them."""
    opens, phases = 0, []
    for phase in lot.phases:
        phases.append(replace(phase, ready_day=max(phase.ready_day, opens)))
        day = passes.get((lot.id, phase.phase))
        opens = 0 if day is None else day + 1 + phase.builder_days_after_pass
    return replace(lot, phases=tuple(phases))
