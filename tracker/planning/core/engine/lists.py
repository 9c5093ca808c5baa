# The tables hold integers that the checker cannot see through.
# mypy: disable-error-code="no-any-return"
"""The lists that the picks of the search read, brought up to date once a round."""

from typing import Any

import numpy as np

from . import columns as k
from .compiled import allocating, compiled


@allocating
def renumber(fixed: k.Fixed, live: k.Live) -> Any:
    """Spread the keys evenly; gives the order, which stays."""
    keys = live.jobs[: fixed.sizes[k.N], k.KEY].copy()
    order = np.argsort(keys)
    for place, job in enumerate(order):
        live.jobs[job, k.KEY] = ((place + 1) * k.ORDER_STEP << k.ORDER_BITS) | job
    return order


@compiled
def note_runs(fixed: k.Fixed, live: k.Live) -> None:
    """List the first job of every run."""
    number, n = 0, fixed.sizes[k.N]
    for job in range(n):
        before = live.jobs[job, k.PREV]
        if live.jobs[job, k.CREW] < 0:
            continue
        if before >= n or fixed.jobs[before, k.SUB] != fixed.jobs[job, k.SUB]:
            number += 1
            live.lists[k.RUNS, number] = job
    live.lists[k.RUNS, 0] = number


@allocating
def write_down(fixed: k.Fixed, live: k.Live) -> None:
    """Bring the lists up to date that the picks read: by start, runs, and what costs.

    While a pin is missed, what costs are the missed pins alone.
    """
    jobs, lists = live.jobs, live.lists
    number, least = 0, 1
    if live.counters[k.JOBS_COST] >= k.BROKEN_PIN:
        least = k.BROKEN_PIN
    for job in range(fixed.sizes[k.N]):
        if jobs[job, k.COST] >= least:
            number += 1
            lists[k.HOT, number] = job
    lists[k.HOT, 0] = number
    note_runs(fixed, live)
    starts = np.empty(fixed.sizes[k.OPEN_COUNT], np.int64)
    for place in range(len(starts)):
        job = fixed.lists[k.OPEN, place]
        starts[place] = (jobs[job, k.START] << k.ORDER_BITS) | job
    starts.sort()
    filled = fixed.lists[k.SUB_START].copy()
    for place, start in enumerate(starts):
        job = start & ((1 << k.ORDER_BITS) - 1)
        lists[k.ORDER, place] = job
        jobs[job, k.PLACE] = place
        sub = fixed.jobs[job, k.SUB]
        lists[k.SUB_JOBS, filled[sub]] = job
        jobs[job, k.SUB_PLACE] = filled[sub]
        filled[sub] += 1
