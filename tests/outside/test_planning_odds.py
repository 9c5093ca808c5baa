"""Odds against known distributions and a published network with merge bias.

PERT network A to J with (o, m, p) in weeks: class slides, 5,000 trials, P(at most 17)
26 % and 85 % at 21 weeks, seen in an excerpt [X]. Triangular draws recomputed
independently [C]: path A-E-H-I-J alone P(at most 17) = 27.0 %, 85 % at 20.9 weeks;
whole network 17.7 %, P50 19.0, P80 21.1, P85 21.6.

Sums and maxima of lognormals are computed here in closed form, without the planner.
"""

import math
import random
from statistics import NormalDist
from typing import Any

import numpy as np
import pytest

from tests.outside.lived import seasons_lived
from tests.outside.networks import network
from tracker.planning.core.draws import draw_passes
from tracker.planning.core.problem import Problem
from tracker.planning.core.season import Sampled, Season, Spread

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


def test_promises_cover_their_share_of_seasons_lived_by_another_simulator() -> None:
    """1,000 seasons of a known model, lived one by one in plain Python."""
    found = seasons_lived(1000, (0.5, 0.8, 0.95))

    for share, lived in found.items():
        assert lived.covered == pytest.approx(share, abs=0.03)
        assert lived.at_or_before >= lived.covered


@pytest.mark.parametrize("shift", [-1, 1])
def test_seasons_a_day_off_the_model_are_seen_to_be_off(shift: int) -> None:
    found = seasons_lived(200, (0.8,), shift=shift)

    assert abs(found[0.8].covered - 0.80) > 0.03
