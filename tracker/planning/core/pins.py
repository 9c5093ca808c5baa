"""Pins that contradict the problem or each other, each with its pair."""

from collections import defaultdict
from collections.abc import Iterator
from itertools import combinations
from typing import Any

from .plain import after_drive, blocked_day
from .problem import OPEN, QUARTERS, Crew, Job, Pin, Problem

Fact = dict[str, Any]  # a code with its fields; days and quarters are numbers


def pin_conflicts(problem: Problem) -> list[Fact]:
    """One fact per contradiction; an empty list when pins can be kept.

    Looks at each pin alone, at each two of one crew, and at each pin with the phases
    ahead of it on its lot. What only a search could show is not looked for.
    """
    found: list[Fact] = []
    seen: dict[tuple[str, str], Pin] = {}
    usable: list[tuple[Pin, Job]] = []
    for pin in problem.pins:
        name = (pin.lot, pin.phase)
        if name in seen and seen[name] != pin:
            found.append(_fact("pin_twice", pin, other=told(seen[name])))
            continue
        seen[name] = pin
        reason = why_impossible(problem, pin)
        if reason:
            found.append(reason)
        else:
            usable.append((pin, problem.jobs[problem.job_index[name]]))
    found.extend(_behind_gates(problem, usable))
    found.extend(_on_one_crew(problem, usable))
    return found


def told(pin: Pin) -> Fact:
    """The pin itself, as a field of what is said of it."""
    fields = {"lot": pin.lot, "phase": pin.phase, "crew": pin.crew, "day": pin.day}
    return {"code": "pin_told", **fields}


def _fact(code: str, pin: Pin, **fields: object) -> Fact:
    return {"code": code, "pin": told(pin), "crew": pin.crew, **fields}


def why_impossible(problem: Problem, pin: Pin) -> Fact | None:
    """Why the pin cannot be kept even if it were the only one."""
    index = problem.job_index.get((pin.lot, pin.phase))
    if index is None or problem.jobs[index].phase.status != OPEN:
        return _fact("pin_done", pin)
    job = problem.jobs[index]
    crew = problem.crews[problem.crew_index[pin.crew]]
    if pin.phase not in crew.phases:
        return _fact("pin_not_qualified", pin, phase=pin.phase)
    if pin.day < job.phase.ready_day:
        return _fact("pin_before_ready", pin, ready=job.phase.ready_day)
    starts = list(_starts(problem, pin, job))
    if starts:
        return None
    if crew.free_from_quarter >= QUARTERS * (pin.day + 1):
        return _fact("pin_crew_busy", pin, free_quarter=crew.free_from_quarter)
    takes = crew.quarters(job.phase.crew_quarters)
    off = blocked_day(problem, crew, job, QUARTERS * pin.day, takes)
    if off is None:
        return _fact("pin_drive", pin)
    return _fact("pin_off" if off in crew.days_off else "pin_rain", pin, off=off)


def _starts(problem: Problem, pin: Pin, job: Job) -> Iterator[int]:
    """The quarters in which the pinned work could start, looked at alone."""
    crew = problem.crews[problem.crew_index[pin.crew]]
    takes = crew.quarters(job.phase.crew_quarters)
    there = after_drive(problem, job, crew.at, crew.free_from_quarter)
    for start in range(QUARTERS * pin.day, QUARTERS * (pin.day + 1)):
        if start >= there and blocked_day(problem, crew, job, start, takes) is None:
            yield start


def _behind_gates(problem: Problem, pinned: list[tuple[Pin, Job]]) -> Iterator[Fact]:
    for pin, job in pinned:
        day, ahead = 0, None
        for phase in job.lot.phases:
            if phase.phase == job.phase.phase:
                break
            if (job.lot.id, phase.phase) not in problem.job_index:
                continue
            before = Job(job.lot, phase)
            ahead = before
            passed = _soonest_pass(problem, before, day)
            day = passed + 1 + phase.builder_days_after_pass
        if ahead is not None and pin.day < day:
            other = problem.pin_of.get(ahead.name)
            what = told(other) if other else _job(ahead)
            yield _fact("pin_gate", pin, other=what, opens=day)


def _job(job: Job) -> Fact:
    return {"code": "pin_job", "lot": job.lot.id, "phase": job.phase.phase}


def _soonest_pass(problem: Problem, job: Job, day: int) -> int:
    """The first day on which `job` could pass with every crew free from `day` on."""
    end = 0
    if job.is_open:
        day = max(0, day, job.phase.ready_day)
        pin = problem.pin_of.get(job.name)
        if pin:
            day = max(day, pin.day)
        able = [crew for crew in problem.crews if job.phase.phase in crew.phases]
        pinned = [crew for crew in able if pin and pin.crew == crew.id]
        end = min(_soonest_end(problem, crew, job, day) for crew in pinned or able)
    if not job.phase.inspected:
        return (end - 1) // QUARTERS
    place = problem.subdivisions[problem.subdivision_index[job.lot.subdivision]]
    rules = problem.jurisdictions[problem.jurisdiction_index[place.jurisdiction]]
    visit = max(0, -(-(end - rules.cutoff_quarter) // QUARTERS)) + rules.lead_days
    while not problem.inspects(rules, visit):
        visit += 1
    return visit


def _soonest_end(problem: Problem, crew: Crew, job: Job, day: int) -> int:
    takes = crew.quarters(job.phase.crew_quarters)
    start = max(QUARTERS * day, crew.free_from_quarter)
    while (off := blocked_day(problem, crew, job, start, takes)) is not None:
        start = QUARTERS * (off + 1)
    return start + takes


def _on_one_crew(problem: Problem, pinned: list[tuple[Pin, Job]]) -> Iterator[Fact]:
    lines: dict[str, list[tuple[Pin, Job]]] = defaultdict(list)
    for one in pinned:
        lines[one[0].crew].append(one)
    for name, line in lines.items():
        crew = problem.crews[problem.crew_index[name]]
        ends = [
            next(_starts(problem, *one)) + crew.quarters(one[1].phase.crew_quarters)
            for one in line
        ]
        for second, first in combinations(range(len(line)), 2):
            pairs = ((first, second), (second, first))
            if any(ends[a] <= QUARTERS * line[b][0].day for a, b in pairs):
                continue  # one is done before the day of the other begins
            if not any(_fits(problem, line[a], line[b]) for a, b in pairs):
                yield _fact("pin_both", line[second][0], other=told(line[first][0]))


def _fits(problem: Problem, before: tuple[Pin, Job], after: tuple[Pin, Job]) -> bool:
    """Could the crew start `after` on its day with `before` ahead of it?"""
    crew = problem.crews[problem.crew_index[before[0].crew]]
    first = next(_starts(problem, *before))
    end = first + crew.quarters(before[1].phase.crew_quarters)
    there = after_drive(problem, after[1], before[1].lot.subdivision, end)
    return any(start >= there for start in _starts(problem, *after))
