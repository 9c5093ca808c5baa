# The tables hold integers that the checker cannot see through.
# mypy: disable-error-code="no-any-return"
"""Changes to a plan that the search tries: runs of jobs moved along and between crews.

A run is one or more jobs, one after the other on a crew, in one subdivision.
"""

from . import columns as k
from .compiled import compiled
from .decoder import charge, touch
from .dice import below, roll
from .heap import push_hopeful
from .slack import too_late
from .slots import leave


@compiled
def drive(fixed: k.Fixed, before: int, after: int) -> int:
    """1 when the crew moves between the two; nobody comes after -1."""
    if after < 0:
        return 0
    return int(fixed.jobs[before, k.SUB] != fixed.jobs[after, k.SUB])


@compiled
def room(fixed: k.Fixed, live: k.Live, job: int, low: int, high: int) -> int:
    """A new key for `job` between two others and its lot's phases, 0 if none."""
    pred, succ = fixed.jobs[job, k.PRED], fixed.jobs[job, k.SUCC]
    if pred >= 0:
        low = max(low, live.jobs[pred, k.KEY])
    if succ >= 0:
        high = min(high, live.jobs[succ, k.KEY])
    if low < live.jobs[job, k.KEY] < high:
        return live.jobs[job, k.KEY]
    middle = ((low >> k.ORDER_BITS) + (high >> k.ORDER_BITS)) >> 1
    if middle <= low >> k.ORDER_BITS or high <= low:
        return 0
    return (middle << k.ORDER_BITS) | job


@compiled
def may_work(fixed: k.Fixed, live: k.Live, first: int, last: int, crew: int) -> bool:
    job = first
    while True:
        if fixed.quarters[crew, job] == 0:
            return False
        if job == last:
            return True
        job = live.jobs[job, k.NEXT]


@compiled
def hopeless(fixed: k.Fixed, live: k.Live, first: int, last: int, price: int) -> bool:
    """Is it unlikely that moving the run away wins back `price`?

    What can be won is reckoned to be the costs of its crew's jobs and of the phases
    behind those moved. That overlooks what is further away, so a few go on.
    """
    jobs = live.jobs
    gain = jobs[fixed.sizes[k.N] + jobs[first, k.CREW], k.COST]
    job = first
    while True:
        succ = fixed.jobs[job, k.SUCC]
        if succ >= 0:
            gain += jobs[succ, k.COST]
        if job == last:
            break
        job = jobs[job, k.NEXT]
    if roll(live) & 63 == 0:
        return False
    live.counters[k.MAY_WIN] = gain
    return price - live.counters[k.ALLOWED] > gain


@compiled
def move_run(fixed: k.Fixed, live: k.Live, first: int, last: int, after: int) -> int:
    """Put the run behind `after` (a job or a crew's head); the moves that adds.

    Gives REFUSED when the crew may not do the work or the order of the lots' phases
    leaves no room; the caller undoes the trial then.
    """
    jobs, n = live.jobs, fixed.sizes[k.N]
    crew = after - n if after >= n else jobs[after, k.CREW]
    before, beyond = jobs[first, k.PREV], jobs[last, k.NEXT]
    if before == after or inside(live, first, last, after):
        return k.REFUSED
    if not may_work(fixed, live, first, last, crew):
        return k.REFUSED
    then = jobs[after, k.NEXT]
    more = drive(fixed, before, beyond) - drive(fixed, before, first)
    more += drive(fixed, after, first) + drive(fixed, last, then)
    more -= drive(fixed, last, beyond) + drive(fixed, after, then)
    if hopeless(fixed, live, first, last, more * fixed.sizes[k.MOVE]):
        return k.REFUSED
    if too_late(fixed, live, first, last, after, more * fixed.sizes[k.MOVE]):
        return k.REFUSED
    touch(live, before)
    touch(live, after)
    touch(live, first)
    touch(live, last)
    jobs[before, k.NEXT] = beyond
    if beyond >= 0:
        touch(live, beyond)
        jobs[beyond, k.PREV] = before
    jobs[after, k.NEXT] = first
    jobs[first, k.PREV] = after
    jobs[last, k.NEXT] = then
    if then >= 0:
        touch(live, then)
        jobs[then, k.PREV] = last
    if not new_keys(fixed, live, first, last, crew):
        return k.REFUSED
    return more * fixed.sizes[k.MOVE]


@compiled
def new_keys(fixed: k.Fixed, live: k.Live, first: int, last: int, crew: int) -> bool:
    """Give the run its crew and keys that fit between its new neighbours."""
    jobs = live.jobs
    beyond = jobs[last, k.NEXT]
    high = (
        live.jobs[beyond, k.KEY]
        if beyond >= 0
        else live.jobs[jobs[first, k.PREV], k.KEY] + k.TAIL
    )
    job = first
    while True:
        touch(live, job)
        if jobs[job, k.CREW] != crew:
            charge(fixed, live, jobs[job, k.CREW], -jobs[job, k.COST])
            charge(fixed, live, crew, jobs[job, k.COST])
            jobs[job, k.CREW] = crew
        key = room(fixed, live, job, live.jobs[jobs[job, k.PREV], k.KEY], high)
        if key == 0:
            return False
        live.jobs[job, k.KEY] = key
        if job == last:
            return True
        job = jobs[job, k.NEXT]


@compiled
def queue_touched(fixed: k.Fixed, live: k.Live) -> None:
    """Queue every job whose neighbours, crew or key the trial changed so far."""
    jobs, n = live.jobs, fixed.sizes[k.N]
    for place in range(live.counters[k.TRAIL_SIZE]):
        job = live.lists[k.TRAIL, place]
        if job >= n:
            continue
        was, now = live.saved[job, k.KEY], live.jobs[job, k.KEY]
        if was != now:
            leave(fixed, live, job, jobs[job, k.PASS], min(was, now))
            jobs[job, k.PASS] = -1
            if fixed.jobs[job, k.SUCC] >= 0:
                push_hopeful(live, fixed.jobs[job, k.SUCC])
        push_hopeful(live, job)


@compiled
def run_end(fixed: k.Fixed, live: k.Live, first: int, longest: int) -> int:
    """The last job of a run of at most `longest` jobs; a pinned one ends it."""
    jobs, facts, last = live.jobs, fixed.jobs, first
    for _ in range(longest - 1):
        after = jobs[last, k.NEXT]
        if after < 0 or facts[after, k.SUB] != facts[first, k.SUB]:
            break
        if facts[after, k.PIN_CREW] >= 0:
            break
        last = after
    return last


@compiled
def run_start(fixed: k.Fixed, live: k.Live, job: int, longest: int) -> int:
    """The first job of the run around `job`, at most `longest` before it."""
    jobs, facts, first = live.jobs, fixed.jobs, job
    for _ in range(longest):
        before = jobs[first, k.PREV]
        if before >= fixed.sizes[k.N] or facts[before, k.SUB] != facts[job, k.SUB]:
            break
        if facts[before, k.PIN_CREW] >= 0:
            break
        first = before
    return first


@compiled
def inside(live: k.Live, first: int, last: int, job: int) -> bool:
    """Is `job` part of the run?"""
    member = first
    while True:
        if member == job:
            return True
        if member == last:
            return False
        member = live.jobs[member, k.NEXT]


@compiled
def any_of(live: k.Live, number: int, around: int, reach: int) -> int:
    """A number from 0 to `number` - 1, at most `reach` from `around`."""
    low, high = max(0, around - reach), min(number - 1, around + reach)
    return low + below(live, high - low + 1)
