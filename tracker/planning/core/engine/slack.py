# The tables hold integers that the checker cannot see through.
# mypy: disable-error-code="no-any-return"
"""How late each job may start at no cost, so that trials without hope end early.

Noted once a round: a guess for the trials of that round, never part of a score.
"""

from typing import Any

from . import columns as k
from .compiled import compiled
from .decoder import cost_of, free_behind, start_from
from .floors import soonest_visit

AGES = 1 << 40  # for what no crew does
FAR = 12  # jobs looked at between the old place and the new one
UNKNOWN = -1


@compiled
def latest_end(fixed: k.Fixed, live: k.Live, job: int) -> tuple[int, int]:
    """The last quarter by which the work may end for the pass to cost nothing more.

    And what a day later costs then.
    """
    facts, jobs = fixed.jobs, live.jobs
    due, price = facts[job, k.NEED], facts[job, k.PRICE]
    if facts[job, k.AIM_PRICE] > 0 and jobs[job, k.PASS] < due:
        due, price = facts[job, k.AIM], facts[job, k.AIM_PRICE]
    due = max(due, jobs[job, k.PASS])
    succ = facts[job, k.SUCC]
    if succ >= 0:
        gate = jobs[succ, k.LATEST] // 4 - 1 - facts[job, k.BUILDER]
        if gate < due:
            due, price = max(jobs[job, k.PASS], gate), jobs[succ, k.LATER]
    line = facts[job, k.JUR]
    if line < 0:
        return 4 * (due + 1), price
    due = min(due, fixed.sizes[k.REACH] - 1)
    while due > jobs[job, k.PASS] and fixed.next_visit[line, due] != due:
        due -= 1
    end = 4 * (due - fixed.rules[line, k.LEAD]) + fixed.rules[line, k.CUTOFF]
    return end, price


@compiled
def own_latest(fixed: k.Fixed, live: k.Live, job: int) -> tuple[int, int]:
    """The last start that costs nothing more, whatever the crew does next."""
    facts, jobs = fixed.jobs, live.jobs
    end, price = latest_end(fixed, live, job)
    start, told = end - fixed.quarters[jobs[job, k.CREW], job], facts[job, k.TOLD_DAY]
    if told == jobs[job, k.START] // 4 and start > 4 * told + 3:
        return 4 * told + 3, fixed.sizes[k.DAY_CHANGE]
    if facts[job, k.PIN_DAY] == jobs[job, k.START] // 4:
        return min(start, 4 * facts[job, k.PIN_DAY] + 3), k.BROKEN_PIN
    return start, price


@compiled
def clear_of_days_off(fixed: k.Fixed, live: k.Live, job: int, start: int) -> int:
    """The last start up to `start` that meets no day off; never before its own."""
    crew = live.jobs[job, k.CREW]
    takes, last = fixed.quarters[crew, job], fixed.sizes[k.REACH] - 1
    line = crew + fixed.jobs[job, k.EXPOSED] * fixed.sizes[k.CREWS]
    while start > live.jobs[job, k.START]:
        blocked = fixed.next_off[line, min(start // 4, last)]
        if blocked >= last or start + takes <= 4 * blocked:
            break
        start = 4 * blocked - takes
    return max(start, live.jobs[job, k.START])


@compiled
def note_job(fixed: k.Fixed, live: k.Live, job: int) -> None:
    """Note the last start of `job` as its followers stand, and what later costs."""
    jobs = live.jobs
    if jobs[job, k.CREW] < 0:
        jobs[job, k.LATEST] = AGES
        return
    start, price = own_latest(fixed, live, job)
    start = clear_of_days_off(fixed, live, job, start)
    jobs[job, k.OWN_LATEST], jobs[job, k.OWN_LATER] = start, price
    after = jobs[job, k.NEXT]
    if after >= 0:
        free = jobs[after, k.LATEST]
        here, there = fixed.jobs[job, k.SUB], fixed.jobs[after, k.SUB]
        if here != there:
            free = max(free - fixed.travel[here, there], free // 4 * 4)
        free -= fixed.quarters[jobs[job, k.CREW], job]
        if free < start:
            start = clear_of_days_off(fixed, live, job, free)
            price = jobs[after, k.LATER]
    jobs[job, k.LATEST], jobs[job, k.LATER] = start, price


@compiled
def note_latest(fixed: k.Fixed, live: k.Live, order: Any) -> None:
    """Note the latest starts; `order` holds the jobs by key."""
    for place in range(len(order) - 1, -1, -1):
        note_job(fixed, live, order[place])


@compiled
def in_run(live: k.Live, first: int, last: int, job: int) -> bool:
    jobs = live.jobs
    same = jobs[job, k.CREW] == jobs[first, k.CREW]
    return same and jobs[first, k.KEY] <= jobs[job, k.KEY] <= jobs[last, k.KEY]


@compiled
def work_along(
    fixed: k.Fixed, live: k.Live, free: int, before: int, job: int, upto: int
) -> tuple[int, int]:
    """When the crew, free in quarter `free` behind `before`, has done `job` to `upto`.

    And what it costs at least that one of them comes too late; (UNKNOWN, 0) when
    those are more than FAR jobs.
    """
    facts, jobs = fixed.jobs, live.jobs
    crew, cost = jobs[job, k.CREW], 0
    for _ in range(FAR):
        free = free_behind(fixed, free, before, job)
        pred = facts[job, k.PRED]
        if pred >= 0:
            free = max(free, 4 * (jobs[pred, k.PASS] + 1 + facts[pred, k.BUILDER]))
        start = start_from(fixed, live, crew, job, free)
        if start > max(jobs[job, k.START], jobs[job, k.OWN_LATEST]):
            cost = max(cost, jobs[job, k.OWN_LATER])
        free = start + fixed.quarters[crew, job]
        if job == upto:
            return free, cost
        before, job = job, jobs[job, k.NEXT]
    return UNKNOWN, cost


@compiled
def run_along(
    fixed: k.Fixed,
    live: k.Live,
    first: int,
    last: int,
    after: int,
    free: int,
    left: int,
) -> tuple[int, int]:
    """When the run behind `after` ends, and what of `left` may still be spent."""
    facts, jobs, n = fixed.jobs, live.jobs, fixed.sizes[k.N]
    crew = after - n if after >= n else jobs[after, k.CREW]
    free = free_behind(fixed, free, after, first)
    job = first
    while True:
        pred, succ = facts[job, k.PRED], facts[job, k.SUCC]
        if pred >= 0 and not in_run(live, first, last, pred):
            gate = 4 * (jobs[pred, k.PASS] + 1 + facts[pred, k.BUILDER])
            free = max(free, gate)
        start = start_from(fixed, live, crew, job, free)
        free = start + fixed.quarters[crew, job]
        passed = soonest_visit(fixed, job, free)
        left -= cost_of(fixed, job, crew, start, passed)
        if succ >= 0 and not in_run(live, first, last, succ):
            gate = 4 * (passed + 1 + facts[job, k.BUILDER])
            left -= jobs[succ, k.LATER] if gate > jobs[succ, k.LATEST] else 0
        if left < 0 or job == last:
            return free, left
        job = jobs[job, k.NEXT]


@compiled
def too_late(
    fixed: k.Fixed, live: k.Live, first: int, last: int, after: int, price: int
) -> bool:
    """Is it likely that the run behind `after` costs more than could be won?

    Looked at are the run itself, what waits for its passes, and who works next.
    """
    jobs, n = live.jobs, fixed.sizes[k.N]
    crew = after - n if after >= n else jobs[after, k.CREW]
    own = crew == jobs[first, k.CREW]
    left = live.counters[k.ALLOWED] + live.counters[k.MAY_WIN] - price
    free, before, then = jobs[after, k.END], jobs[first, k.PREV], jobs[after, k.NEXT]
    sooner = own and jobs[after, k.KEY] < jobs[first, k.KEY]
    if own and not sooner:
        beyond = jobs[last, k.NEXT]
        free, _ = work_along(fixed, live, jobs[before, k.END], before, beyond, after)
        if free == UNKNOWN:
            return False
    free, left = run_along(fixed, live, first, last, after, free, left)
    if left < 0:
        return True
    if then < 0:
        return False
    if sooner:
        _, cost = work_along(fixed, live, free, last, then, before)
        return cost > left
    late = free_behind(fixed, free, last, then) > jobs[then, k.LATEST]
    return late and jobs[then, k.LATER] > left
