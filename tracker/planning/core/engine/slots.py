# The tables hold integers that the checker cannot see through.
# mypy: disable-error-code="no-any-return"
"""Inspection slots: in the order of the keys, each takes the first day with room.

A job whose key is smaller takes the slot of one whose key is larger; whoever lost or
may win a slot is queued to be looked at again, always with a larger key.
"""

from . import columns as k
from .compiled import compiled
from .heap import push, push_hopeful


@compiled
def in_cell(fixed: k.Fixed, job: int, day: int) -> bool:
    """Does an inspection of `job` on `day` take a slot?"""
    return fixed.jobs[job, k.JUR] >= 0 and 0 <= day < fixed.sizes[k.REACH] - 1


@compiled
def note_full(fixed: k.Fixed, live: k.Live, job: int, day: int) -> None:
    """Note on each day that `job` found full before `day` that it did so."""
    line, full = fixed.jobs[job, k.JUR], live.jobs[job, k.ASKED]
    while full < day:
        live.days[k.SKIP, line, full] += 1
        full = fixed.next_visit[line, full + 1]


@compiled
def forget_full(fixed: k.Fixed, live: k.Live, job: int, day: int) -> None:
    """The opposite of `note_full`."""
    line, full = fixed.jobs[job, k.JUR], live.jobs[job, k.ASKED]
    while full < day:
        live.days[k.SKIP, line, full] -= 1
        full = fixed.next_visit[line, full + 1]


@compiled
def add(fixed: k.Fixed, live: k.Live, job: int, day: int) -> None:
    if not in_cell(fixed, job, day):
        return
    jobs, line = live.jobs, fixed.jobs[job, k.JUR]
    first = live.days[k.HEAD, line, day]
    jobs[job, k.CELL_PREV] = -1
    jobs[job, k.CELL_NEXT] = first
    if first >= 0:
        jobs[first, k.CELL_PREV] = job
    live.days[k.HEAD, line, day] = job
    live.days[k.COUNT, line, day] += 1
    note_full(fixed, live, job, day)


@compiled
def drop(fixed: k.Fixed, live: k.Live, job: int, day: int) -> None:
    if not in_cell(fixed, job, day):
        return
    jobs, line = live.jobs, fixed.jobs[job, k.JUR]
    before, after = jobs[job, k.CELL_PREV], jobs[job, k.CELL_NEXT]
    if before >= 0:
        jobs[before, k.CELL_NEXT] = after
    else:
        live.days[k.HEAD, line, day] = after
    if after >= 0:
        jobs[after, k.CELL_PREV] = before
    live.days[k.COUNT, line, day] -= 1
    forget_full(fixed, live, job, day)


@compiled
def ahead(fixed: k.Fixed, live: k.Live, job: int, day: int) -> int:
    """How many others on that day have a smaller key."""
    mine, found = live.jobs[job, k.KEY], 0
    other = live.days[k.HEAD, fixed.jobs[job, k.JUR], day]
    while other >= 0:
        if live.jobs[other, k.KEY] < mine:
            found += 1
        other = live.jobs[other, k.CELL_NEXT]
    return found


@compiled
def find_day(fixed: k.Fixed, live: k.Live, job: int, asked: int) -> int:
    """The first inspection day from `asked` on with room for `job`."""
    line, last = fixed.jobs[job, k.JUR], fixed.sizes[k.REACH] - 1
    cap, now, day = fixed.rules[line, k.CAP], live.jobs[job, k.PASS], asked
    while day < last:
        others = live.days[k.COUNT, line, day]
        if day == now:
            others -= 1
        if others < cap or ahead(fixed, live, job, day) < cap:
            return day
        day = fixed.next_visit[line, day + 1]
    return last


@compiled
def leave(fixed: k.Fixed, live: k.Live, job: int, day: int, key: int) -> None:
    """Give the slot back and queue those beyond `key` who could use it."""
    if not in_cell(fixed, job, day):
        return
    line, last = fixed.jobs[job, k.JUR], fixed.sizes[k.REACH] - 1
    drop(fixed, live, job, day)
    found, later = live.days[k.SKIP, line, day], day
    while found > 0:
        later = fixed.next_visit[line, later + 1]
        if later >= last:
            break
        other = live.days[k.HEAD, line, later]
        while other >= 0:
            if live.jobs[other, k.ASKED] <= day:
                found -= 1
                if live.jobs[other, k.KEY] > key:
                    push_hopeful(live, other)
            other = live.jobs[other, k.CELL_NEXT]


@compiled
def enter(fixed: k.Fixed, live: k.Live, job: int, day: int) -> None:
    """Take a slot and queue whoever has none left there."""
    if not in_cell(fixed, job, day):
        return
    add(fixed, live, job, day)
    line = fixed.jobs[job, k.JUR]
    cap = fixed.rules[line, k.CAP]
    if live.days[k.COUNT, line, day] <= cap:
        return
    mine, other = live.jobs[job, k.KEY], live.days[k.HEAD, line, day]
    while other >= 0:
        if live.jobs[other, k.KEY] > mine and ahead(fixed, live, other, day) >= cap:
            push(live, other)
        other = live.jobs[other, k.CELL_NEXT]
