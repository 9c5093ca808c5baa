"""The latest starts: up to them nothing costs more, one quarter beyond it does."""

import random
from typing import Any

import numpy as np
import pytest

from tests.planning.problems import random_problem
from tests.planning.test_decoder import random_order
from tracker.planning.core.engine import columns as k
from tracker.planning.core.engine.lists import renumber
from tracker.planning.core.engine.slack import note_latest
from tracker.planning.core.problem import Problem
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.start import free_quarters
from tracker.planning.core.state import Order, blank, load
from tracker.planning.core.tables import fixed_tables


def roomy(seed: int) -> Problem:
    """Offices with room for all, so that nobody waits for somebody else's slot."""
    raw = random_problem(seed, lots=8)
    for office in raw["jurisdictions"]:
        office["daily_cap"] = 99
    raw["published"], raw["pins"] = [], []
    return read_problem(raw)


def cost_from(fixed: k.Fixed, order: Order, free: Any, job: int, start: int) -> int:
    """What the jobs cost when that one may not start before `start`."""
    facts = fixed.jobs.copy()
    facts[job, k.RELEASE] = max(facts[job, k.RELEASE], start)
    live = blank(fixed)
    load(fixed._replace(jobs=facts), live, order, free)
    return int(live.counters[k.JOBS_COST])


@pytest.mark.parametrize("seed", range(20))
def test_a_start_up_to_the_latest_costs_nothing_and_a_later_one_does(seed: int) -> None:
    read = roomy(seed)
    fixed, free = fixed_tables(read), free_quarters(read)
    order = random_order(read, random.Random(seed))
    live, n = blank(fixed), len(read.jobs)
    load(fixed, live, order, free)
    note_latest(fixed, live, renumber(fixed, live))
    now = int(live.counters[k.JOBS_COST])

    open_jobs = np.flatnonzero(live.jobs[:n, k.CREW] >= 0)
    for job in open_jobs:
        latest = int(live.jobs[job, k.LATEST])

        assert latest >= live.jobs[job, k.START]
        assert cost_from(fixed, order, free, job, latest) == now
        assert cost_from(fixed, order, free, job, latest + 1) > now
    assert len(open_jobs) > 5
