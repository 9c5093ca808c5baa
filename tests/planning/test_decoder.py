"""Three ways to date a plan must agree: plain, compiled, and compiled step by step."""

import random

import numpy as np
import pytest

from tests.planning.problems import city, lot, phase, problem, random_problem
from tracker.planning.core.engine import columns as k
from tracker.planning.core.engine.search import anneal, copy_plan
from tracker.planning.core.plain import decode_plainly
from tracker.planning.core.plan import PlannedJob, score_jobs
from tracker.planning.core.problem import Problem
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.result import planned_jobs
from tracker.planning.core.start import free_quarters
from tracker.planning.core.state import Order, blank, load, unload
from tracker.planning.core.tables import fixed_tables


def random_order(problem: Problem, dice: random.Random) -> Order:
    """Any crews that may, any order that keeps each lot's phases in turn."""
    keys: dict[str, float] = {}
    ranked = []
    for index, job in enumerate(problem.jobs):
        keys[job.lot.id] = keys.get(job.lot.id, 0) + dice.random()
        ranked.append((keys[job.lot.id], index))
    crew = []
    for job in problem.jobs:
        able = [
            place
            for place, one in enumerate(problem.crews)
            if job.phase.phase in one.phases
        ]
        crew.append(dice.choice(able) if job.is_open else -1)
    told = problem.told_of
    hold = [
        int(job.is_open and job.name in told and dice.random() < 0.5)
        for job in problem.jobs
    ]
    return Order([index for _, index in sorted(ranked)], crew, hold)


def dated(problem: Problem, live: k.Live) -> tuple[PlannedJob, ...]:
    return planned_jobs(problem, live)


@pytest.mark.parametrize("seed", range(50))
def test_compiled_and_plain_decoder_agree_on_random_states(seed: int) -> None:
    dice = random.Random(seed)
    problem = read_problem(random_problem(seed, lots=dice.randint(2, 12)))
    fixed = fixed_tables(problem)
    live, free = blank(fixed), free_quarters(problem)

    for _ in range(20):
        order = random_order(problem, dice)
        score = load(fixed, live, order, free)

        plain = decode_plainly(problem, order)
        assert dated(problem, live) == plain
        assert score == score_jobs(problem, plain).total
        assert unload(fixed, live) == order


@pytest.mark.parametrize("seed", range(12))
def test_a_plan_changed_step_by_step_equals_the_plan_decoded_whole(seed: int) -> None:
    dice = random.Random(seed)
    problem = read_problem(random_problem(seed, lots=14, crews=4))
    fixed = fixed_tables(problem)
    live, best, whole = blank(fixed, seed), blank(fixed), blank(fixed)
    free = free_quarters(problem)
    load(fixed, live, random_order(problem, dice), free)
    copy_plan(live, best)

    for heat in (300.0, 30.0, 3.0):
        for _ in range(10):
            anneal(fixed, live, best, heat, dice.choice((1, 5, 100)))
            order = unload(fixed, live)
            score = load(fixed, whole, order, free)

            assert dated(problem, live) == decode_plainly(problem, order)
            assert score == live.counters[k.JOBS_COST] + live.counters[k.MOVES_COST]
            assert np.array_equal(live.days[k.COUNT], whole.days[k.COUNT])
            assert np.array_equal(live.days[k.SKIP], whole.days[k.SKIP])


def test_of_two_jobs_for_one_slot_the_first_in_the_order_gets_it() -> None:
    waiting = [lot(f"E{i}", phase("rough", status="awaiting_inspection")) for i in "12"]
    read = read_problem(problem(lots=waiting, jurisdictions=[city(daily_cap=1)]))
    fixed = fixed_tables(read)
    live = blank(fixed)

    days = []
    for order in ([0, 1], [1, 0]):
        load(fixed, live, Order(order, [-1, -1], [0, 0]), free_quarters(read))
        days.append([job.inspection_day for job in dated(read, live)])

    assert days == [[1, 2], [2, 1]]
