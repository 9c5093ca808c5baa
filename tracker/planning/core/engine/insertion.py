# The tables hold integers that the checker cannot see through.
# mypy: disable-error-code="no-any-return"
"""Putting one job where it costs least, and making room for pins."""

from . import columns as k
from .compiled import compiled
from .decoder import begin, spread, undo
from .moves import move_run, queue_touched


@compiled
def gate_day(fixed: k.Fixed, live: k.Live, job: int) -> int:
    """The day on which the phase before lets `job` start; 0 if none is open."""
    pred = fixed.jobs[job, k.PRED]
    if pred < 0:
        return 0
    return live.jobs[pred, k.PASS] + 1 + fixed.jobs[pred, k.BUILDER]


@compiled
def put_in(fixed: k.Fixed, live: k.Live, job: int) -> None:
    """Move `job` behind the job or crew's head where it costs least.

    Behind work that ends more than three weeks from the first day on which it could
    start, either way, it is not tried.
    """
    n, jobs = fixed.sizes[k.N], live.jobs
    best, place = 0, -1
    soonest = max(fixed.jobs[job, k.RELEASE], 4 * gate_day(fixed, live, job))
    for after in range(n + fixed.sizes[k.CREWS]):
        far = after < n and abs(jobs[after, k.END] - soonest) > 60
        if far or (after < n and jobs[after, k.CREW] < 0):
            continue
        more = try_behind(fixed, live, job, after, best)
        undo(fixed, live)
        if more < best:
            best, place = more, after
    if place >= 0:
        try_behind(fixed, live, job, place, best)
        keep(live)


@compiled
def try_behind(fixed: k.Fixed, live: k.Live, job: int, after: int, budget: int) -> int:
    """What `job` behind `after` costs more; the caller keeps or undoes it."""
    begin(live)
    live.counters[k.ALLOWED] = k.REFUSED
    moves = move_run(fixed, live, job, job, after)
    live.counters[k.MAY_WIN] = k.REFUSED
    if moves == k.REFUSED:
        return moves
    queue_touched(fixed, live)
    more = spread(fixed, live, budget - moves + 0.5)
    live.counters[k.MORE_JOBS] = more
    live.counters[k.MORE_MOVES] = moves
    return more if more == k.REFUSED else more + moves


@compiled
def keep(live: k.Live) -> None:
    live.counters[k.JOBS_COST] += live.counters[k.MORE_JOBS]
    live.counters[k.MOVES_COST] += live.counters[k.MORE_MOVES]


@compiled
def free_pins(fixed: k.Fixed, live: k.Live) -> None:
    """Bring missed pins back: the phase before goes earlier, the crew's work later."""
    n = fixed.sizes[k.N]
    for job in range(n):
        pin = fixed.jobs[job, k.PIN_DAY]
        if pin < 0 or live.jobs[job, k.START] // 4 <= pin:
            continue
        pred = fixed.jobs[job, k.PRED]
        if (
            pred >= 0
            and gate_day(fixed, live, job) > pin
            and (live.jobs[pred, k.CREW] >= 0 and fixed.jobs[pred, k.PIN_DAY] < 0)
        ):
            put_in(fixed, live, pred)
        while live.jobs[job, k.START] // 4 > pin >= gate_day(fixed, live, job):
            before = live.jobs[job, k.PREV]
            if before >= n or fixed.jobs[before, k.PIN_DAY] >= 0:
                break
            if try_behind(fixed, live, before, job, k.REFUSED // 2) == k.REFUSED:
                undo(fixed, live)
                break
            keep(live)
