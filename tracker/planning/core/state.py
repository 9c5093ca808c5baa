"""Making, reading and writing the engine's plans."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from .engine import columns as k
from .engine.decoder import decode
from .engine.dice import seeded


class Order(NamedTuple):
    """All that the engine decides: the rest follows by decoding."""

    jobs: list[int]  # every job, in the order in which dates are given out
    crew: list[int]  # per job; -1 where only an inspection is awaited
    hold: list[int]  # per job: 1 when it waits for its published day


def blank(fixed: k.Fixed, seed: int = 0) -> k.Live:
    """An engine state without a plan."""
    n, crews, lines, days = (int(size) for size in fixed.sizes[:4])
    rows = n + crews

    def zeros(*shape: int) -> np.ndarray:
        return np.zeros(shape, dtype=np.int64)

    live = k.Live(
        jobs=zeros(rows, k.LIVE_WIDTH),
        saved=zeros(rows, k.UNDONE),
        days=zeros(3, lines, days),
        lists=zeros(6, rows + 1),
        counters=zeros(k.COUNTERS),
    )
    live.counters[k.DICE] = seeded(seed)
    return live


def load(fixed: k.Fixed, live: k.Live, order: Order, free: Sequence[int]) -> int:
    """Put `order` into `live` and date it; `free`: first free quarter per crew."""
    n = int(fixed.sizes[k.N])
    jobs = live.jobs
    jobs[:] = 0
    jobs[n:, k.NEXT] = -1
    jobs[n:, k.END] = free
    last = {crew: n + crew for crew in range(len(free))}
    jobs[n:, k.KEY] = -1
    for place, job in enumerate(order.jobs):
        jobs[job, k.KEY] = ((place + 1) * k.ORDER_STEP << k.ORDER_BITS) | job
        crew = order.crew[job]
        jobs[job, k.CREW], jobs[job, k.NEXT] = crew, -1
        jobs[job, k.HOLD] = order.hold[job]
        if crew >= 0:
            jobs[job, k.PREV] = last[crew]
            jobs[last[crew], k.NEXT] = job
            last[crew] = job
    live.counters[: k.DICE] = 0
    return int(decode(fixed, live))


def unload(fixed: k.Fixed, live: k.Live) -> Order:
    """The order that `load` would take back."""
    n = int(fixed.sizes[k.N])
    return Order(
        [int(job) for job in np.argsort(live.jobs[:n, k.KEY])],
        live.jobs[:n, k.CREW].tolist(),
        live.jobs[:n, k.HOLD].tolist(),
    )
