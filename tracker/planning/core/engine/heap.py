# The tables hold integers that the checker cannot see through.
# mypy: disable-error-code="no-any-return"
"""The jobs to look at again, smallest key first."""

from . import columns as k
from .compiled import compiled


@compiled
def push(live: k.Live, job: int) -> None:
    """Queue `job` unless it waits already."""
    jobs, lists = live.jobs, live.lists
    if jobs[job, k.QUEUED]:
        return
    jobs[job, k.QUEUED] = 1
    place = live.counters[k.HEAP_SIZE]
    live.counters[k.HEAP_SIZE] = place + 1
    mine = jobs[job, k.KEY]
    while place > 0:
        above = (place - 1) >> 1
        if jobs[lists[k.HEAP, above], k.KEY] < mine:
            break
        lists[k.HEAP, place] = lists[k.HEAP, above]
        place = above
    lists[k.HEAP, place] = job


@compiled
def push_hopeful(live: k.Live, job: int) -> None:
    """Queue `job`, noting that it may come to stand earlier."""
    push(live, job)
    if live.jobs[job, k.QUEUED] == 1:
        live.jobs[job, k.QUEUED] = 2
        live.counters[k.HOPES] += 1


@compiled
def pop(live: k.Live) -> int:
    """The waiting job with the smallest key; there must be one."""
    jobs, lists = live.jobs, live.lists
    first = lists[k.HEAP, 0]
    if jobs[first, k.QUEUED] == 2:
        live.counters[k.HOPES] -= 1
    jobs[first, k.QUEUED] = 0
    size = live.counters[k.HEAP_SIZE] - 1
    live.counters[k.HEAP_SIZE] = size
    last = lists[k.HEAP, size]
    mine = jobs[last, k.KEY]
    place = 0
    while True:
        below = 2 * place + 1
        if below >= size:
            break
        key = jobs[lists[k.HEAP, below], k.KEY]
        if below + 1 < size:
            other = jobs[lists[k.HEAP, below + 1], k.KEY]
            if other < key:
                below, key = below + 1, other
        if key > mine:
            break
        lists[k.HEAP, place] = lists[k.HEAP, below]
        place = below
    lists[k.HEAP, place] = last
    return first


@compiled
def clear(live: k.Live) -> None:
    for place in range(live.counters[k.HEAP_SIZE]):
        live.jobs[live.lists[k.HEAP, place], k.QUEUED] = 0
    live.counters[k.HEAP_SIZE] = 0
    live.counters[k.HOPES] = 0
