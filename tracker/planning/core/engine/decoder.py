# The tables hold integers that the checker cannot see through.
# mypy: disable-error-code="no-any-return"
"""From the order of each crew's jobs to dates, whole or only what a change touches.

Jobs are settled in the order of their keys: keys grow along a crew's jobs and along a
lot's phases, so whatever a job waits for is settled before it.
"""

from . import columns as k
from .compiled import allocating, compiled
from .floors import first_start
from .heap import clear, pop, push, push_hopeful
from .slots import add, drop, enter, find_day, leave


@compiled
def touch(live: k.Live, job: int) -> None:
    """Save the row of `job` once a trial, so that the trial can be undone."""
    jobs = live.jobs
    trial = live.counters[k.TRIAL]
    if jobs[job, k.STAMP] == trial:
        return
    for column in range(k.UNDONE):
        live.saved[job, column] = jobs[job, column]
    live.saved[job, k.KEY] = live.jobs[job, k.KEY]
    jobs[job, k.STAMP] = trial
    place = live.counters[k.TRAIL_SIZE]
    live.lists[k.TRAIL, place] = job
    live.counters[k.TRAIL_SIZE] = place + 1


@compiled
def free_from(fixed: k.Fixed, live: k.Live, before: int, job: int) -> int:
    """When a crew that has done `before` can start `job`."""
    return free_behind(fixed, live.jobs[before, k.END], before, job)


@compiled
def free_behind(fixed: k.Fixed, free: int, before: int, job: int) -> int:
    """When a crew that ends `before` in quarter `free` can start `job`."""
    here, there = fixed.jobs[before, k.SUB], fixed.jobs[job, k.SUB]
    if here == there:
        return free
    # The drive fits behind the work, or before work the next day.
    return min(free + fixed.travel[here, there], (free + 3) // 4 * 4)


@compiled
def pass_on(
    fixed: k.Fixed, live: k.Live, after: int, bound: int, earlier: bool
) -> None:
    """Queue `after`, which may start from `bound` on, if that can change its start."""
    start = live.jobs[after, k.START]
    if earlier and start > fixed.jobs[after, k.RELEASE]:
        push_hopeful(live, after)
    elif not earlier and bound > start:
        push(live, after)


@compiled
def start_of(fixed: k.Fixed, live: k.Live, job: int) -> int:
    """The first quarter in which the job's crew can start it where it stands."""
    jobs, facts = live.jobs, fixed.jobs
    crew, before = jobs[job, k.CREW], jobs[job, k.PREV]
    start = free_from(fixed, live, before, job)
    pred = facts[job, k.PRED]
    if pred >= 0:
        start = max(start, 4 * (jobs[pred, k.PASS] + 1 + facts[pred, k.BUILDER]))
    return start_from(fixed, live, crew, job, start)


@compiled
def start_from(fixed: k.Fixed, live: k.Live, crew: int, job: int, start: int) -> int:
    """The first quarter from `start` on in which the crew could do the job."""
    facts = fixed.jobs
    start = max(start, facts[job, k.RELEASE])
    if live.jobs[job, k.HOLD]:
        start = max(start, 4 * facts[job, k.TOLD_DAY])
    return first_start(fixed, crew, job, start)


@compiled
def cost_of(fixed: k.Fixed, job: int, crew: int, start: int, passed: int) -> int:
    """Lateness, buffer, changes and a missed pin above the floor, in points."""
    facts = fixed.jobs
    late = passed - facts[job, k.NEED]
    cost = facts[job, k.PRICE] * max(0, late) - facts[job, k.FLOOR]
    inside = min(passed, facts[job, k.NEED]) - facts[job, k.AIM]
    cost += facts[job, k.AIM_PRICE] * max(0, inside)
    if facts[job, k.TOLD_CREW] >= 0:
        if facts[job, k.TOLD_CREW] != crew:
            cost += fixed.sizes[k.CREW_CHANGE]
        if facts[job, k.TOLD_DAY] != start // 4:
            cost += fixed.sizes[k.DAY_CHANGE]
    if facts[job, k.PIN_DAY] >= 0:
        cost += k.BROKEN_PIN * min(100, start // 4 - facts[job, k.PIN_DAY])
    return cost


@compiled
def visit_days(fixed: k.Fixed, live: k.Live, job: int, end: int) -> tuple[int, int]:
    """First day on which the inspection could be, and the day it gets."""
    line = fixed.jobs[job, k.JUR]
    if line < 0:
        return (end - 1) // 4, (end - 1) // 4
    call = max(0, (end - fixed.rules[line, k.CUTOFF] + 3) // 4)
    last = fixed.sizes[k.REACH] - 1
    asked = fixed.next_visit[line, min(call + fixed.rules[line, k.LEAD], last)]
    return asked, find_day(fixed, live, job, min(asked, last))


@compiled
def charge(fixed: k.Fixed, live: k.Live, crew: int, more: int) -> None:
    """Add to the sum of what the crew's jobs cost."""
    if more != 0:
        row = fixed.sizes[k.N] + crew
        touch(live, row)
        live.jobs[row, k.COST] += more


@compiled
def settle(fixed: k.Fixed, live: k.Live, job: int) -> int:
    """Date `job` anew, queue whom that touches; gives what it costs more."""
    touch(live, job)
    jobs = live.jobs
    crew, start, end = jobs[job, k.CREW], 0, 0
    if crew >= 0:
        start = start_of(fixed, live, job)
        end = start + fixed.quarters[crew, job]
    asked, passed = visit_days(fixed, live, job, end)
    jobs[job, k.START] = start
    earlier = end < jobs[job, k.END]
    if end != jobs[job, k.END]:
        jobs[job, k.END] = end
        after = jobs[job, k.NEXT]
        if after >= 0:
            pass_on(fixed, live, after, free_from(fixed, live, job, after), earlier)
    was = jobs[job, k.PASS]
    if passed != was or asked != jobs[job, k.ASKED]:
        leave(fixed, live, job, was, live.jobs[job, k.KEY])
        jobs[job, k.ASKED] = asked
        jobs[job, k.PASS] = passed
        enter(fixed, live, job, passed)
        after = fixed.jobs[job, k.SUCC]
        if passed != was and after >= 0:
            gate = 4 * (passed + 1 + fixed.jobs[job, k.BUILDER])
            pass_on(fixed, live, after, gate, passed < was or was < 0)
    cost = cost_of(fixed, job, crew, start, passed)
    more = cost - jobs[job, k.COST]
    jobs[job, k.COST] = cost
    if crew >= 0:
        charge(fixed, live, crew, more)
    return more


@compiled
def spread(fixed: k.Fixed, live: k.Live, budget: float) -> int:
    """Settle all that is queued; gives what the plan costs more.

    Broken off with REFUSED as soon as that must exceed `budget`: jobs not yet settled
    can win back at most what they cost now, and nothing when all are only delayed (but
    for a published day met by chance).
    """
    more, hope = 0, live.counters[k.JOBS_COST]
    limit = budget + live.counters[k.MAY_WIN]
    while live.counters[k.HEAP_SIZE] > 0:
        job = pop(live)
        hope -= live.jobs[job, k.COST]
        more += settle(fixed, live, job)
        hopeless = live.counters[k.HOPES] == 0 or more - hope > budget
        if more > limit or (more > budget and hopeless):
            clear(live)
            return k.REFUSED
    return more


@compiled
def begin(live: k.Live) -> None:
    live.counters[k.TRIAL] += 1
    live.counters[k.TRAIL_SIZE] = 0
    live.counters[k.MAY_WIN] = k.REFUSED


@compiled
def undo(fixed: k.Fixed, live: k.Live) -> None:
    """Put back every row touched since `begin`."""
    clear(live)
    jobs, saved = live.jobs, live.saved
    for place in range(live.counters[k.TRAIL_SIZE]):
        job = live.lists[k.TRAIL, place]
        live.jobs[job, k.KEY] = live.saved[job, k.KEY]
        moved = jobs[job, k.PASS] != saved[job, k.PASS]
        moved = moved or jobs[job, k.ASKED] != saved[job, k.ASKED]
        if moved:
            drop(fixed, live, job, jobs[job, k.PASS])
        for column in range(k.UNDONE):
            jobs[job, column] = saved[job, column]
        if moved:
            add(fixed, live, job, jobs[job, k.PASS])
    live.counters[k.TRAIL_SIZE] = 0


@allocating
def decode(fixed: k.Fixed, live: k.Live) -> int:
    """Date every job from crews, neighbours, keys and holds; gives the score."""
    jobs, facts, n = live.jobs, fixed.jobs, fixed.sizes[k.N]
    live.days[k.COUNT] = 0
    live.days[k.HEAD] = -1
    live.days[k.SKIP] = 0
    moves = 0
    begin(live)
    jobs[n:, k.COST] = 0
    for job in range(n):
        jobs[job, k.PASS] = -1
        jobs[job, k.COST] = 0
        jobs[job, k.QUEUED] = 0
        push_hopeful(live, job)
        before = jobs[job, k.PREV]
        if jobs[job, k.CREW] >= 0 and facts[before, k.SUB] != facts[job, k.SUB]:
            moves += fixed.sizes[k.MOVE]
    live.counters[k.JOBS_COST] = 0
    live.counters[k.JOBS_COST] = spread(fixed, live, 1e18)
    live.counters[k.MOVES_COST] = moves
    return live.counters[k.JOBS_COST] + moves
