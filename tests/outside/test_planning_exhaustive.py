"""The search against every plan there is, on problems small enough to list them."""

from collections.abc import Iterator
from itertools import permutations, product
from typing import Any

import pytest

from tests.planning.problems import city, crew, lot, phase, problem, random_problem
from tracker.planning.core.judge import judge
from tracker.planning.core.plain import decode_plainly
from tracker.planning.core.plan import score_jobs, write_plan
from tracker.planning.core.problem import Problem
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.solve import Effort, solve
from tracker.planning.core.state import Order


def orders(read: Problem) -> Iterator[list[int]]:
    """Every order that keeps each lot's phases in turn."""
    lots = [read.jobs[i].lot.id for i in range(len(read.jobs))]
    for row in sorted(set(permutations(lots))):
        turn = {name: [i for i, own in enumerate(lots) if own == name] for name in row}
        yield [turn[name].pop(0) for name in row]


def best_by_listing(read: Problem) -> int:
    """The smallest score over all orders, crews and holds."""
    crews, holds = [], []
    for job in read.jobs:
        able = [i for i, one in enumerate(read.crews) if job.phase.phase in one.phases]
        crews.append(able if job.is_open else [-1])
        holds.append((0, 1) if job.is_open and job.name in read.told_of else (0,))
    best = 10**9
    for order in orders(read):
        for crew_of in product(*crews):
            for hold in product(*holds):
                jobs = decode_plainly(read, Order(order, list(crew_of), list(hold)))
                best = min(best, score_jobs(read, jobs).total)
    return best


def small(seed: int) -> dict[str, Any]:
    raw = random_problem(seed, lots=3, crews=2)
    for one in raw["lots"]:
        one["phases"] = one["phases"][:2]
    named = {
        (one["id"], work["phase"]) for one in raw["lots"] for work in one["phases"]
    }
    told = [one for one in raw["published"] if (one["lot"], one["phase"]) in named]
    raw["published"] = told[:2]
    return raw


@pytest.mark.parametrize("seed", range(24))
def test_the_search_finds_the_best_of_all_orders_crews_and_holds(seed: int) -> None:
    raw = small(seed)
    read = read_problem(raw)

    plan = solve(read, Effort(iterations=3000))

    assert plan.score.total == best_by_listing(read)
    assert judge(raw, write_plan(plan)).breaches == ()


def test_eight_jobs_of_two_trades() -> None:
    """2,520 orders of eight jobs; two crews that cannot stand in for each other."""
    raw = problem(
        crews=[crew("A", phases=["rough"]), crew("B", phases=["topout"], at="west")],
        lots=[
            lot(
                f"L{i}",
                phase(
                    "rough", crew_quarters=3 + i, need_by_day=3 + i, priority=1 + i % 2
                ),
                phase("topout", crew_quarters=6 - i, need_by_day=7 + i),
                place="east" if i % 2 else "west",
            )
            for i in range(4)
        ],
        jurisdictions=[city(daily_cap=1, weekdays=[0, 1, 3])],
    )
    read = read_problem(raw)

    assert solve(read, Effort(iterations=5000)).score.total == best_by_listing(read)


@pytest.mark.parametrize("ready", [0, 1])
def test_no_plan_that_the_judge_accepts_is_better(ready: int) -> None:
    """Every crew, start and inspection day of two jobs, priced by the judge alone."""
    raw = problem(
        crews=[crew("A", days_off=[2]), crew("B", at="west", speed=0.5)],
        lots=[
            lot("E1", phase("rough", crew_quarters=3, need_by_day=1, ready_day=ready)),
            lot("W1", phase("rough", crew_quarters=2, need_by_day=1), place="west"),
        ],
        jurisdictions=[city(daily_cap=1)],
        rain_days=[0],
        rain_exposed_phases=["rough"],
        published=[
            {"lot": "W1", "phase": "rough", "crew": "A", "start_quarter": 6},
        ],
    )
    read = read_problem(raw)
    choices = []
    for job in read.jobs:
        choices.append(
            [
                {
                    "lot": job.lot.id,
                    "phase": "rough",
                    "crew": one.id,
                    "start_quarter": start,
                    "end_quarter": start + one.quarters(job.phase.crew_quarters),
                    "inspection_day": day,
                }
                for one in read.crews
                for start in range(4, 16)
                for day in range(2, 6)
            ]
        )

    best = min(
        verdict.score
        for jobs in product(*choices)
        if not (
            verdict := judge(
                raw,
                {"format": "plumb-plan/1", "instance": read.name, "jobs": list(jobs)},
            )
        ).breaches
        and verdict.score is not None
    )

    assert solve(read, Effort(iterations=3000)).score.total == best
