"""Odds against known distributions and a published network with merge bias.

PERT network A to J with (o, m, p) in weeks: class slides, 5,000 trials. Triangular
draws recomputed independently: path A-E-H-I-J alone P(at most 17) = 27.0 %, 85 % at
20.9 weeks; whole network 17.7 %, P50 19.0, P80 21.1, P85 21.6.

Sums and maxima of lognormals are computed here in closed form, without the planner.
"""

import math
import random
from statistics import NormalDist
from typing import Any

import numpy as np
import pytest

from tests.outside.networks import network
from tests.planning.problems import city, crew, lot, phase, problem
from tracker.planning.core.draws import draw_passes
from tracker.planning.core.odds import calibration
from tracker.planning.core.plain import decode_plainly
from tracker.planning.core.plan import Engine, Plan, score_jobs
from tracker.planning.core.problem import Problem
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.season import Sampled, Season, Spread
from tracker.planning.core.state import Order

WEEK = 400  # quarters, so that whole days are a hundredth of a week
DRAWS = 6000


def season(read: Problem, names: list[str], **spreads: Any) -> Season:
    jobs = {job.name: name for job, name in zip(read.jobs, names, strict=True)}
    durations = {job: spreads.get(name, Spread(1, 0)) for job, name in jobs.items()}
    return Season(
        durations=durations,
        slip_share=0,
        absence_share=0,
        failures=False,
        fill_waits=False,  # a network's arcs are no crew that may turn to other work
    )


def weeks(passes: np.ndarray) -> np.ndarray:
    return (passes + 1) * 4 / WEEK


def test_one_job_has_the_quantiles_of_its_lognormal() -> None:
    read, plan, names = network(["A"], ["A"], {"A": 10 * WEEK}, "A")
    chance = season(read, names, A=Spread(1.0, 0.3))

    ends = weeks(draw_passes(read, plan, chance, 20_000, 1)[0])

    for share in (0.5, 0.8, 0.95):
        exact = 10 * math.exp(0.3 * NormalDist().inv_cdf(share))
        assert np.quantile(ends, share) == pytest.approx(exact, rel=0.015)


def test_a_merge_of_two_like_paths_has_the_quantiles_of_their_maximum() -> None:
    """P(max at most x) = P(one at most x) squared: the median is the 71st percent."""
    takes = {"A": 10 * WEEK, "B": 10 * WEEK, "C": 1}
    read, plan, names = network(["AC", "B"], ["A", "BC"], takes, "ABC")
    chance = season(read, names, A=Spread(1.0, 0.3), B=Spread(1.0, 0.3))

    ends = weeks(draw_passes(read, plan, chance, 20_000, 1)[names.index("C")])

    for share in (0.5, 0.8, 0.95):
        exact = 10 * math.exp(0.3 * NormalDist().inv_cdf(math.sqrt(share)))
        assert np.quantile(ends, share) == pytest.approx(exact, rel=0.015)


def test_a_crews_jobs_add_up_in_mean_and_variance() -> None:
    takes = dict.fromkeys("ABCD", 5 * WEEK)
    read, plan, names = network(list("ABCD"), ["ABCD"], takes, "ABCD")
    chance = season(read, names, **dict.fromkeys("ABCD", Spread(1.0, 0.2)))

    ends = weeks(draw_passes(read, plan, chance, 20_000, 1)[names.index("D")])

    mean = 5 * math.exp(0.02)
    variance = mean**2 * (math.exp(0.04) - 1)
    assert ends.mean() == pytest.approx(4 * mean, rel=0.005)
    assert ends.std() == pytest.approx(math.sqrt(4 * variance), rel=0.03)


PERT = {
    "A": (4, 5, 12),
    "B": (1, 1.5, 5),
    "C": (2, 3, 4),
    "D": (3, 4, 11),
    "E": (2, 3, 4),
    "F": (1.5, 2, 2.5),
    "G": (1.5, 3, 4.5),
    "H": (2.5, 3.5, 7.5),
    "I": (1.5, 2, 2.5),
    "J": (1, 2, 3),
}


def pert_weeks() -> tuple[np.ndarray, np.ndarray]:
    """Whole network, and the path A-E-H-I-J in the same draws, in weeks.

    X and Y are jobs of one quarter that only carry arcs: A-X-D, A-X-E; I-Y-J, G-Y-J.
    """
    takes = {name: int(m * WEEK) for name, (_, m, _) in PERT.items()}
    lots = ["ACFJ", "XDGY", "EHI", "B"]
    crews = ["AXE", "BH", "IYJ", "C", "D", "F", "G"]
    read, plan, names = network(lots, crews, {**takes, "X": 1, "Y": 1}, "ABXCDEFGHIYJ")
    dice = random.Random(5)
    ratios = {
        name: Sampled(tuple(dice.triangular(o, p, m) / m for _ in range(4000)))
        for name, (o, m, p) in PERT.items()
    }
    whole = draw_passes(read, plan, season(read, names, **ratios), DRAWS, 1)
    read, plan, path = network(list("AEHIJ"), ["AEHIJ"], takes, "AEHIJ")
    alone = draw_passes(read, plan, season(read, path, **ratios), DRAWS, 2)
    return weeks(whole[names.index("J")]), weeks(alone[path.index("J")])


def test_the_published_network_shows_its_merge_bias() -> None:
    whole, alone = pert_weeks()

    assert (alone <= 17).mean() == pytest.approx(0.270, abs=0.02)
    assert np.quantile(alone, 0.85) == pytest.approx(20.9, abs=0.2)
    assert (whole <= 17).mean() == pytest.approx(0.177, abs=0.02)
    quantiles = np.quantile(whole, (0.5, 0.8, 0.85))
    assert quantiles.tolist() == pytest.approx([19.0, 21.1, 21.6], abs=0.2)


def test_p80_covers_eighty_percent_of_seasons_lived_by_another_simulator() -> None:
    """1,000 seasons of a known model, lived one by one in plain Python."""
    lots = [
        lot(
            f"E{i}",
            phase("rough", crew_quarters=6, ready_day=2 * i, pass_probability=0.8),
            phase("topout", crew_quarters=5, pass_probability=0.7),
        )
        for i in range(5)
    ]
    raw = problem(
        lots=lots,
        crews=[crew("A", phases=["rough"]), crew("B", phases=["topout"])],
        jurisdictions=[city(weekdays=[0, 2, 4], daily_cap=99)],
        rain_exposed_phases=[],
    )
    read = read_problem(raw)
    order = Order(list(range(10)), [0, 1] * 5, [0] * 10)
    jobs = decode_plainly(read, order)
    plan = Plan(read.name, jobs, score_jobs(read, jobs), Engine(tuple(order.jobs)))
    model = Season(
        durations={name: Spread(1.1, 0.3) for name in ("rough", "topout")},
        slip_share=0.3,
        absence_share=0,
        rework_quarters=0,
    )

    passes = draw_passes(read, plan, model, 2000, 1)
    dice = random.Random(2)
    covered = []
    for _ in range(1000):
        real = np.array(live_one_season(read, model, dice))
        covered.append(calibration(passes, real, seed=len(covered)).covered)

    assert np.mean(covered) == pytest.approx(0.80, abs=0.03)


def live_one_season(read: Problem, model: Season, dice: random.Random) -> list[int]:
    """Pass days of one season: each crew takes its lots in turn, come what may."""
    free = {"rough": 0.0, "topout": 0.0}
    passed: list[int] = []
    for number, job in enumerate(read.jobs):
        name, spread = job.phase.phase, model.spread(job)
        assert isinstance(spread, Spread)
        slip = dice.randint(1, 3) if dice.random() < model.slip_share else 0
        day = job.phase.ready_day + slip if job.phase.ready_day > 0 else 0
        if name == "topout":
            day = max(day, passed[-1] + 1 + 2 + slip)
        start = max(4.0 * day, free[name])
        takes = job.phase.crew_quarters * spread.median
        end = start + takes * math.exp(spread.sigma * dice.gauss(0, 1))
        free[name] = end
        visit = max(0, math.ceil((end - 2) / 4)) + 1
        while True:
            while visit % 5 not in (0, 2, 4):
                visit += 1
            if dice.random() < job.phase.pass_probability:
                break
            visit += model.rework_days + 1
        passed.append(visit)
        assert number == len(passed) - 1
    return passed
