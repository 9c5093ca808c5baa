import time
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from tests.planning.problems import city, crew, lot, phase, problem, random_problem
from tracker.planning.core.draws import draw_passes
from tracker.planning.core.odds import Calibration, calibration, odds, odds_json
from tracker.planning.core.plan import Plan
from tracker.planning.core.problem import Problem
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.season import (
    CERTAIN,
    Season,
    Spread,
    buffers,
    fit_spread,
)
from tracker.planning.core.solve import Effort, solve


def planned(raw: dict[str, Any]) -> tuple[Problem, Plan]:
    read = read_problem(raw)
    return read, solve(read, Effort(iterations=1500))


@pytest.mark.parametrize("seed", range(15))
def test_when_nothing_goes_wrong_every_draw_is_the_plan(seed: int) -> None:
    raw = random_problem(seed, lots=10, crews=4)
    raw["published"] = []  # a held day is the plan's choice, not the season's
    read, plan = planned(raw)

    passes = draw_passes(read, plan, CERTAIN, 2, 1)

    assert passes[:, 0].tolist() == [job.pass_day for job in plan.jobs]


def test_same_seed_same_odds_and_quantiles_in_order() -> None:
    read, plan = planned(random_problem(2, lots=8))

    found = odds(read, plan, draws=300)

    assert found == odds(read, plan, draws=300)
    assert all(one.p50 <= one.p80 <= one.p95 for one in found)
    assert all(one.promise == one.p80 for one in found)
    assert all(0 <= one.on_time <= 1 for one in found)
    assert len(odds_json(found)["phases"]) == len(read.jobs)
    later = odds(read, plan, draws=300, promise_share=0.95)
    assert [one.promise for one in later] == [one.p95 for one in found]


WORSE = {
    "durations": {"rough": Spread(1.5, 0.2)},
    "slip_share": 0.8,
    "rain_share": 0.5,
    "absence_share": 0.3,
    "rework_days": 4,
}


@pytest.mark.parametrize("what", WORSE)
def test_each_trouble_makes_passes_later(what: str) -> None:
    raw = problem(
        crews=[crew("A")],
        lots=[lot(f"E{i}", phase("rough", ready_day=i)) for i in range(5)],
        rain_exposed_phases=["rough"],
    )
    read, plan = planned(raw)
    calm = Season(slip_share=0, absence_share=0)

    before = draw_passes(read, plan, calm, 500, 1).mean()
    after = draw_passes(read, plan, replace(calm, **{what: WORSE[what]}), 500, 1).mean()

    assert after > before


def test_a_job_that_cannot_start_is_passed_over_by_the_crew() -> None:
    """E1's builder slips; the crew does E2 in the wait instead of standing idle."""
    raw = problem(
        crews=[crew("A")],
        lots=[
            lot("E1", phase("rough", ready_day=1, need_by_day=2, priority=3)),
            lot("E2", phase("trim", ready_day=0, need_by_day=9)),
        ],
    )
    read = read_problem(raw)
    plan = solve(read, Effort(iterations=500))
    late = Season(slip_share=1.0, slip_days=8, absence_share=0, failures=False)
    late = replace(late, durations={name: Spread(1, 0) for name in ("rough", "trim")})

    passes = draw_passes(read, plan, late, 400, 1)

    slipped = passes[0] > 6
    assert slipped.any()
    assert passes[1][slipped].max() <= 4


def test_the_cap_of_a_day_holds_in_every_draw() -> None:
    raw = problem(
        jurisdictions=[city(daily_cap=2, weekdays=[2])],
        lots=[
            lot(f"E{i}", phase("rough", status="awaiting_inspection")) for i in range(9)
        ],
    )
    read, plan = planned(raw)

    passes = draw_passes(read, plan, Season(), 200, 1)

    # Each Wednesday two are seen; a failed one is seen again later.
    first = draw_passes(read, plan, CERTAIN, 1, 1)[:, 0]
    assert sorted(first.tolist()) == [2, 2, 7, 7, 12, 12, 17, 17, 22]
    assert (passes.min(axis=1) >= 2).all()
    for day in range(2, 60, 5):
        assert ((passes == day).sum(axis=0) <= 2).all()


def test_history_moves_the_spread_from_the_prior_to_the_data() -> None:
    prior = Spread(1.0, 0.25)
    few, many = fit_spread([1.5] * 2), fit_spread([1.5] * 500)

    assert fit_spread([]) == prior
    assert prior.median < few.median < many.median < 1.5
    assert many.sigma < few.sigma
    with pytest.raises(ValueError, match="above 0"):
        fit_spread([1.0, 0.0])


def test_buffers_grow_with_the_level_and_the_risk() -> None:
    raw = problem()
    raw["lots"][0]["phases"][0].update(pass_probability=0.5)
    raw["lots"][1]["phases"][1].update(inspected=False)
    read = read_problem(raw)

    low, high = buffers(read, 1), buffers(read, 3)

    assert buffers(read, 0) == {}
    assert high["E1", "rough"] > low["E1", "rough"] > 0
    assert high["E1", "rough"] > high["E1", "topout"]
    assert ("W1", "topout") not in high


def test_calibration_says_when_it_is_off() -> None:
    dice = np.random.default_rng(1)
    passes = dice.integers(5, 15, (4000, 400))

    true = calibration(passes, dice.integers(5, 15, 4000))
    late = calibration(passes, dice.integers(7, 17, 4000))
    soon = calibration(passes, dice.integers(3, 13, 4000))

    assert abs(true.covered - 0.8) < 0.03
    assert not true.off
    assert (true.too_bold, true.too_careful) == (False, False)
    assert late.off
    assert (late.too_bold, late.too_careful) == (True, False)
    assert (soon.too_bold, soon.too_careful) == (False, True)
    assert Calibration(0.8, 0.5, 4).off is False


def test_a_thousand_phases_and_two_thousand_draws_take_a_breath() -> None:
    lots = [
        lot(
            f"E{i}",
            *(
                phase(name, ready_day=i // 5, crew_quarters=2)
                for name in ("underground", "rough", "topout", "trim")
            ),
        )
        for i in range(250)
    ]
    crews = [crew(f"C{i}") for i in range(20)]
    read = read_problem(problem(lots=lots, crews=crews))
    plan = solve(read, Effort(iterations=1))

    began = time.process_time()
    found = odds(read, plan, draws=2000)
    took = time.process_time() - began

    assert len(found) == 1000
    assert took < 3.0
