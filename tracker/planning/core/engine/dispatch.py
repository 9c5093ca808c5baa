# The tables hold integers that the checker cannot see through.
# mypy: disable-error-code="no-any-return"
"""A first plan at once: each crew, when free, takes the most urgent near job."""

import math
from typing import Any

import numpy as np

from . import columns as k
from .compiled import allocating, compiled
from .decoder import cost_of, start_of, visit_days
from .slots import enter

FAR = 1 << 29


@allocating
def due_quarters(fixed: k.Fixed) -> Any:
    """Per job the quarter by which its work should end, for its own or a pin's sake."""
    n, facts = fixed.sizes[k.N], fixed.jobs
    due = np.empty(n, np.int64)
    for job in range(n - 1, -1, -1):
        day = facts[job, k.AIM]
        succ = facts[job, k.SUCC]
        if succ >= 0:
            limit = due[succ] // 4 - 1 - facts[job, k.BUILDER]
            if facts[succ, k.PIN_DAY] >= 0:
                # Far ahead of all else: a pin must hold.
                limit = facts[succ, k.PIN_DAY] - 1 - facts[job, k.BUILDER] - 1000
            day = min(day, limit)
        line = facts[job, k.JUR]
        if line >= 0:
            day -= fixed.rules[line, k.LEAD]
        due[job] = 4 * (day + 1) - 2
    return due


@compiled
def urgency(
    fixed: k.Fixed,
    job: int,
    crew: int,
    slack: int,
    waits: int,
    moved: bool,
    rule: Any,
) -> float:
    """Apparent tardiness cost with set-ups: weight by slack, wait and move."""
    takes = fixed.quarters[crew, job]
    value = math.log((1.0 + fixed.jobs[job, k.PRICE]) / takes)
    value -= max(0, slack - takes) / rule[0]
    if moved:
        value -= rule[1]
    return value - waits * rule[2]


@compiled
def choose(
    fixed: k.Fixed,
    live: k.Live,
    crew: int,
    clock: int,
    todo: Any,
    due: Any,
    rule: Any,
) -> tuple[int, int]:
    """The job `crew` takes by `clock`, or -1 and the quarter to ask again."""
    jobs, facts = live.jobs, fixed.jobs
    tail = live.lists[k.TRAIL, crew]
    wall = wall_of(fixed, todo, crew, clock)
    soonest, choice, best = FAR, -1, -1e18
    for place in range(todo[0]):
        job = todo[1 + place]
        if fixed.quarters[crew, job] == 0:
            continue
        pred = facts[job, k.PRED]
        if pred >= 0 and jobs[pred, k.PASS] < 0:
            continue
        jobs[job, k.CREW], jobs[job, k.PREV] = crew, tail
        start = start_of(fixed, live, job)
        pinned = facts[job, k.PIN_DAY] >= 0
        end = start + fixed.quarters[crew, job]
        # Nothing may run into the crew's next pin.
        if (4 * facts[job, k.PIN_DAY] if pinned else end) > wall:
            continue
        soonest = min(soonest, start)
        if start > clock + 1:
            continue
        moved = facts[tail, k.SUB] != facts[job, k.SUB]
        value = urgency(fixed, job, crew, due[job] - start, start - clock, moved, rule)
        if pinned:
            value += 1e6
        if value > best:
            best, choice = value, job
    return choice, soonest


@compiled
def wall_of(fixed: k.Fixed, todo: Any, crew: int, clock: int) -> int:
    """The quarter at which the crew's next pin starts; a missed one walls no more."""
    wall, today = FAR, clock // 4
    for place in range(todo[0]):
        job = todo[1 + place]
        if fixed.jobs[job, k.PIN_CREW] == crew and fixed.jobs[job, k.PIN_DAY] >= today:
            wall = min(wall, 4 * fixed.jobs[job, k.PIN_DAY])
    return wall


@compiled
def append(fixed: k.Fixed, live: k.Live, job: int, place: int) -> None:
    """Put `job` behind all its crew has, with the next key, and date it."""
    jobs = live.jobs
    crew = jobs[job, k.CREW]
    jobs[job, k.KEY] = ((place + 1) * k.ORDER_STEP << k.ORDER_BITS) | job
    jobs[job, k.NEXT], jobs[job, k.HOLD] = -1, 0
    start, end = 0, 0
    if crew >= 0:
        jobs[job, k.PREV] = live.lists[k.TRAIL, crew]
        jobs[live.lists[k.TRAIL, crew], k.NEXT] = job
        live.lists[k.TRAIL, crew] = job
        start = start_of(fixed, live, job)
        end = start + fixed.quarters[crew, job]
    asked, passed = visit_days(fixed, live, job, end)
    jobs[job, k.START], jobs[job, k.END], jobs[job, k.ASKED] = start, end, asked
    jobs[job, k.PASS] = passed
    jobs[job, k.COST] = cost_of(fixed, job, crew, start, passed)
    enter(fixed, live, job, passed)


@compiled
def clean(fixed: k.Fixed, live: k.Live, free: Any) -> None:
    """No job dated, every crew at its own head row."""
    n, crews = fixed.sizes[k.N], fixed.sizes[k.CREWS]
    live.days[k.COUNT] = 0
    live.days[k.HEAD] = -1
    live.days[k.SKIP] = 0
    live.jobs[:] = 0
    live.jobs[:n, k.PASS] = -1
    live.jobs[n:, k.KEY] = -1
    for crew in range(crews):
        live.lists[k.TRAIL, crew] = n + crew
        live.jobs[n + crew, k.NEXT] = -1
        live.jobs[n + crew, k.END] = free[crew]


@allocating
def dispatch(fixed: k.Fixed, live: k.Live, free: Any, rule: Any) -> None:
    """Fill `live` with a first plan; decode it afterwards for its score."""
    clean(fixed, live, free)
    due = due_quarters(fixed)
    todo = np.empty(fixed.sizes[k.N] + 1, np.int64)
    todo[0] = 0
    place = todo[0]
    for job in np.argsort(due):
        if fixed.quarters[:, job].max() > 0:
            todo[1 + todo[0]] = job
            todo[0] += 1
        else:
            live.jobs[job, k.CREW] = -1
            append(fixed, live, job, place)
            place += 1
    clocks = free.astype(np.int64)
    while todo[0] > 0:
        crew = int(np.argmin(clocks))
        clock = clocks[crew]
        job, soonest = choose(fixed, live, crew, clock, todo, due, rule)
        if job < 0:
            # Nothing yet: ask again when something can start or a pass opens a gate.
            clocks[crew] = max(clock + 1, soonest) if soonest < FAR else clock + 4
            continue
        live.jobs[job, k.CREW] = crew
        append(fixed, live, job, place)
        place += 1
        clocks[crew] = live.jobs[job, k.END]
        take_out(todo, job)


@compiled
def take_out(todo: Any, job: int) -> None:
    """Strike `job` off the list; the order of the rest stays."""
    size, place = todo[0], 1
    while todo[place] != job:
        place += 1
    for later in range(place, size):
        todo[later] = todo[later + 1]
    todo[0] = size - 1
