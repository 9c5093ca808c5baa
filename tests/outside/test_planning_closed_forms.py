"""Closed forms of repetitive work and published networks, run through the planner.

Identical houses through trades in series with one crew each (flow line): with idle
crews sum(d) + (n - 1) max(d); with crews that never idle sum(d) + (n - 1) (d_m + sum
of max(0, d_i - d_(i+1))); a constant lag behind each trade adds the sum of the lags.
Both follow from the flow shop with identical jobs (derived by hand) and were checked
on 20,000 random cases independently [C].

Nine activities: C. Hendrickson, Project Management for Construction, chapter 10: 30
days along A-C-F-I. Inputs from memory [M], so a regression case; recomputed [C].
"""

from itertools import pairwise
from typing import Any

import pytest

from tests.planning.problems import PHASES, crew, lot, phase, problem
from tracker.planning.core.draws import draw_passes
from tracker.planning.core.judge import judge
from tracker.planning.core.plain import decode_plainly
from tracker.planning.core.plan import Plan, write_plan
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.season import CERTAIN
from tracker.planning.core.solve import Effort, solve
from tracker.planning.core.state import Order


def flow_line(
    houses: int, days: tuple[int, ...], lags: tuple[int, ...], free: tuple[int, ...]
) -> dict[str, Any]:
    """Identical houses; crew i does only trade i, from day free[i] on."""
    trades = PHASES[: len(days)]
    return problem(
        crews=[
            crew(trade, phases=[trade], free_from_quarter=4 * first)
            for trade, first in zip(trades, free, strict=True)
        ],
        lots=[
            lot(
                f"H{number:03}",
                *(
                    phase(
                        trade,
                        crew_quarters=4 * takes,
                        inspected=False,
                        builder_days_after_pass=lag,
                    )
                    for trade, takes, lag in zip(trades, days, lags, strict=True)
                ),
            )
            for number in range(houses)
        ],
        rain_exposed_phases=[],
    )


def planned(raw: dict[str, Any], trials: int = 1) -> Plan:
    plan = solve(read_problem(raw), Effort(iterations=trials))
    assert judge(raw, write_plan(plan)).breaches == ()
    return plan


def length(plan: Plan) -> float:
    """Days from the start to the end of the last job."""
    return max(job.end_quarter for job in plan.jobs) / 4


LINES = [
    (100, (3, 5, 2, 4), (0, 0, 0, 0)),
    (40, (3, 5, 2, 4), (2, 0, 3, 0)),
    (25, (1, 2, 3, 4), (0, 1, 0, 0)),
    (25, (4, 3, 2, 1), (0, 0, 0, 0)),
    (10, (6,), (0,)),
    (30, (2, 2, 2), (5, 5, 0)),
]


@pytest.mark.parametrize(("houses", "days", "lags"), LINES)
def test_crews_that_may_idle_take_sum_plus_the_longest_for_each_more_house(
    houses: int, days: tuple[int, ...], lags: tuple[int, ...]
) -> None:
    raw = flow_line(houses, days, lags, (0,) * len(days))

    plan = planned(raw)

    expected = sum(days) + (houses - 1) * max(days) + sum(lags)
    assert length(plan) == expected
    passes = draw_passes(read_problem(raw), plan, CERTAIN, 2, 1)
    assert passes.max() == expected - 1  # days count from 0


@pytest.mark.parametrize(("houses", "days", "lags"), LINES)
def test_crews_that_never_idle_start_late_enough_and_end_by_the_closed_form(
    houses: int, days: tuple[int, ...], lags: tuple[int, ...]
) -> None:
    starts = [0]
    for now, after, lag in zip(days, days[1:], lags, strict=False):
        starts.append(starts[-1] + now + lag + (houses - 1) * max(0, now - after))
    falls = sum(max(0, a - b) for a, b in pairwise(days))

    plan = planned(flow_line(houses, days, lags, tuple(starts)))

    expected = sum(days) + (houses - 1) * (days[-1] + falls) + sum(lags)
    assert length(plan) == expected
    for trade, first, takes in zip(PHASES, starts, days, strict=False):
        line = sorted(job.start_quarter or 0 for job in plan.jobs if job.crew == trade)
        assert line == [4 * (first + takes * house) for house in range(houses)]


def test_nine_activities_take_thirty_days_along_a_c_f_i() -> None:
    """Arcs along lots and crews: A-C-F-I, B-E-H, D-G by lot; A-D-H, C-E-G-I, B-F by
    crew. Together they are the twelve arcs of the network."""
    days = dict(zip("ABCDEFGHI", (4, 3, 8, 7, 9, 12, 2, 5, 6), strict=True))
    crews = {"1": "ADH", "2": "CEGI", "3": "BF"}
    lots = ["ACFI", "BEH", "DG"]
    raw = problem(
        crews=[crew(name) for name in crews],
        lots=[
            lot(
                row,
                *(
                    phase(
                        PHASES[place],
                        crew_quarters=4 * days[letter],
                        inspected=False,
                        builder_days_after_pass=0,
                    )
                    for place, letter in enumerate(row)
                ),
            )
            for row in lots
        ],
        rain_exposed_phases=[],
        pins=[],
    )
    read = read_problem(raw)
    names = [letter for row in lots for letter in row]
    who = {letter: place for place, row in enumerate(crews.values()) for letter in row}

    order = Order(
        [names.index(letter) for letter in "ABCDEFGHI"],
        [who[letter] for letter in names],
        [0] * 9,
    )
    jobs = decode_plainly(read, order)

    ends = {
        letter: job.end_quarter / 4 for letter, job in zip(names, jobs, strict=True)
    }
    assert ends["I"] == max(ends.values()) == 30
    assert [ends[letter] for letter in "ACFI"] == [4, 12, 24, 30]
