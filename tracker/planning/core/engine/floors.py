# The tables hold integers that the checker cannot see through.
# mypy: disable-error-code="no-any-return"
"""What no plan can save of a job's cost, so that the search looks where it can win."""

from typing import Any

import numpy as np

from . import columns as k
from .compiled import allocating, compiled

NOBODY = 1 << 29


@compiled
def first_start(fixed: k.Fixed, crew: int, job: int, start: int) -> int:
    """The first quarter from `start` on in which the crew could do the job."""
    line = crew + fixed.jobs[job, k.EXPOSED] * fixed.sizes[k.CREWS]
    takes, last = fixed.quarters[crew, job], fixed.sizes[k.REACH] - 1
    while True:
        blocked = fixed.next_off[line, min(start // 4, last)]
        if blocked >= last or start + takes <= 4 * blocked:
            return start
        start = 4 * (blocked + 1)


@compiled
def changes_for_sure(fixed: k.Fixed, free: Any, job: int, release: int) -> int:
    """What the changes against the published plan cost at least."""
    facts, sizes = fixed.jobs, fixed.sizes
    told, day = facts[job, k.TOLD_CREW], facts[job, k.TOLD_DAY]
    if told < 0:
        return 0
    own, any_crew = False, False
    for crew in range(sizes[k.CREWS]):
        if fixed.quarters[crew, job] > 0:
            start = max(release, free[crew], 4 * day)
            if first_start(fixed, crew, job, start) // 4 == day:
                any_crew = True
                own = own or crew == told
    if own:
        return 0
    if fixed.quarters[told, job] == 0:
        return sizes[k.CREW_CHANGE] + (0 if any_crew else sizes[k.DAY_CHANGE])
    if any_crew:
        return min(sizes[k.CREW_CHANGE], sizes[k.DAY_CHANGE])
    return sizes[k.DAY_CHANGE]


@compiled
def soonest_end(fixed: k.Fixed, free: Any, job: int, release: int) -> int:
    """The first quarter by which any crew could have done the work; 0 if none need."""
    soonest = NOBODY
    for crew in range(fixed.sizes[k.CREWS]):
        takes = fixed.quarters[crew, job]
        if takes > 0:
            start = first_start(fixed, crew, job, max(release, free[crew]))
            soonest = min(soonest, start + takes)
    return 0 if soonest == NOBODY else soonest


@compiled
def soonest_visit(fixed: k.Fixed, job: int, end: int) -> int:
    """The day of a pass with no slot taken."""
    line = fixed.jobs[job, k.JUR]
    if line < 0:
        return (end - 1) // 4
    call = max(0, (end - fixed.rules[line, k.CUTOFF] + 3) // 4)
    last = fixed.sizes[k.REACH] - 1
    return fixed.next_visit[line, min(call + fixed.rules[line, k.LEAD], last)]


@allocating
def note_floors(fixed: k.Fixed, free: Any) -> None:
    """Note per job what it costs even with every crew free and no slot taken."""
    facts, n = fixed.jobs, fixed.sizes[k.N]
    passes = np.zeros(n, np.int64)
    for job in range(n):
        release, pred = facts[job, k.RELEASE], facts[job, k.PRED]
        if pred >= 0:
            gate = passes[pred] + 1 + facts[pred, k.BUILDER]
            release = max(release, 4 * gate)
        end = soonest_end(fixed, free, job, release)
        passed = soonest_visit(fixed, job, end)
        passes[job] = passed
        need = facts[job, k.NEED]
        floor = facts[job, k.PRICE] * max(0, passed - need)
        inside = min(passed, need) - facts[job, k.AIM]
        floor += facts[job, k.AIM_PRICE] * max(0, inside)
        facts[job, k.FLOOR] = floor + changes_for_sure(fixed, free, job, release)
