"""Published networks of activities, run through the planner arc by arc.

Seventeen activities (Vanhoucke): 25 days. Read in a published text [T] and recomputed
independently [C].

Nine activities (C. Hendrickson, Project Management for Construction, chapter 10): 30
days. Inputs from memory [M], so a regression case; recomputed [C].

PERT network A to J with (o, m, p) in weeks, class slides: a mean of 17 weeks, seen in
an excerpt [X] and recomputed [C]; variance 2.72 and P(at most 20) 96.5 % along the
longest path A-E-H-I-J, recomputed [C].
"""

import math
from collections.abc import Callable
from itertools import pairwise
from statistics import NormalDist
from typing import Any

import numpy as np
import pytest

from tests.outside.networks import SCALE, Woven, as_problem, network, weave
from tests.outside.test_planning_odds import PERT, WEEK, season, weeks
from tracker.planning.core.draws import draw_passes
from tracker.planning.core.judge import judge
from tracker.planning.core.plan import write_plan
from tracker.planning.core.season import CERTAIN, Sampled, Spread

Days = dict[str, int]
Arcs = list[tuple[str, str]]
Law = Callable[[str], Spread | Sampled]

SEVENTEEN: Days = dict(
    zip(
        "ABCDEFGHIJKLMNOPQ",  # activities 1 to 17
        (1, 1, 3, 2, 2, 2, 2, 1, 4, 5, 3, 3, 4, 5, 1, 5, 2),
        strict=True,
    )
)
SEVENTEEN_ARCS: Arcs = [
    ("ABCDEFGHIJKLMNOPQ"[a - 1], "ABCDEFGHIJKLMNOPQ"[b - 1])
    for a, b in (
        *((1, 2), (2, 3), (3, 4), (3, 6), (4, 5), (5, 8), (6, 7), (7, 8)),
        *((8, 9), (8, 10), (8, 11), (8, 12), (8, 13)),
        *((9, 14), (10, 14), (11, 14), (12, 14), (13, 14)),
        *((13, 15), (14, 16), (14, 17), (15, 16), (15, 17)),
    )
]
NINE: Days = dict(zip("ABCDEFGHI", (4, 3, 8, 7, 9, 12, 2, 5, 6), strict=True))
NINE_ARCS: Arcs = [
    *(("A", "C"), ("A", "D"), ("B", "E"), ("C", "E"), ("B", "F"), ("C", "F")),
    *(("D", "G"), ("E", "G"), ("D", "H"), ("E", "H"), ("F", "I"), ("G", "I")),
]
PERT_ARCS: Arcs = [
    *(("A", "C"), ("A", "D"), ("A", "E"), ("C", "F"), ("D", "G"), ("B", "H")),
    *(("E", "H"), ("H", "I"), ("F", "J"), ("G", "J"), ("I", "J")),
]
PERT_MEANS: Days = {
    name: round((o + 4 * m + p) / 6) for name, (o, m, p) in PERT.items()
}


def length(days: Days, arcs: Arcs) -> float:
    """Days that the planner's decoder needs, its plan judged; odds agree."""
    woven = weave("".join(days), arcs)
    takes = {
        name: 4 * SCALE * days[name] if name in days else 1 for name in woven.order
    }
    read, plan, _ = network(woven.lots, woven.crews, takes, woven.order)
    raw = as_problem(woven.lots, woven.crews, takes)
    assert judge(raw, write_plan(plan)).breaches == ()
    last = max(job.pass_day for job in plan.jobs)
    assert draw_passes(read, plan, CERTAIN, 2, 1).max() == last
    return (last + 1) / SCALE


def carried(woven: Woven, names: str) -> set[tuple[str, str]]:
    """The arcs between activities that rows of lots and crews amount to."""
    after = {arc for row in (*woven.lots, *woven.crews) for arc in pairwise(row)}
    while far := {
        (a, d)
        for a, b in after
        for c, d in after
        if b == c and b not in names and (a, d) not in after
    }:
        after |= far
    return {(a, b) for a, b in after if a in names and b in names}


CASES = {
    "seventeen activities": (SEVENTEEN, SEVENTEEN_ARCS, 25),
    "nine activities": (NINE, NINE_ARCS, 30),
    "PERT means": (PERT_MEANS, PERT_ARCS, 17),
}


@pytest.mark.parametrize("case", CASES)
def test_a_published_network_takes_as_long_as_published(case: str) -> None:
    days, arcs, published = CASES[case]

    # Each carrier on the way adds a day of the format at most: SCALE of them are a day.
    assert published <= length(days, arcs) < published + 0.1
    # Exactly the published arcs hold, no more and no fewer.
    assert carried(weave("".join(days), arcs), "".join(days)) == set(arcs)


def test_the_seventeen_activities_hang_on_the_tenth_and_not_on_the_eleventh() -> None:
    longer = length({**SEVENTEEN, "J": 6}, SEVENTEEN_ARCS)
    same = length({**SEVENTEEN, "K": 5}, SEVENTEEN_ARCS)

    assert (math.floor(longer), math.floor(same)) == (26, 25)


def moments(name: str) -> tuple[float, float]:
    """PERT's mean and deviation of an activity, over its most likely length."""
    o, m, p = PERT[name]
    return (o + 4 * m + p) / 6 / m, (p - o) / 6 / m


def skewed(name: str) -> Spread:
    """The planner's own kind of spread."""
    mean, deviation = moments(name)
    square = math.log(1 + (deviation / mean) ** 2)
    return Spread(mean / math.exp(square / 2), math.sqrt(square))


def even(name: str) -> Sampled:
    """Normal, as PERT takes the path to be."""
    law = NormalDist(*moments(name))
    return Sampled(tuple(law.inv_cdf((n + 0.5) / 4000) for n in range(4000)))


@pytest.mark.parametrize("law", [skewed, even])
def test_the_longest_path_has_perts_mean_and_variance(law: Law) -> None:
    ends = path_weeks(law)

    assert ends.mean() == pytest.approx(17, abs=0.05)
    assert ends.var() == pytest.approx(2.72, abs=0.1)


def test_the_longest_path_has_perts_odds_where_its_activities_are_normal() -> None:
    assert np.mean(path_weeks(even) <= 20) == pytest.approx(0.965, abs=0.005)
    # Real work leans to the late side: PERT's odds are then too good.
    assert 0.94 < np.mean(path_weeks(skewed) <= 20) < 0.96


def path_weeks(law: Law) -> Any:
    """The end of the path A-E-H-I-J in 40,000 draws."""
    takes = {name: int(m * WEEK) for name, (_, m, _) in PERT.items()}
    read, plan, path = network(list("AEHIJ"), ["AEHIJ"], takes, "AEHIJ")
    chance = season(read, path, **{name: law(name) for name in path})
    return weeks(draw_passes(read, plan, chance, 40_000, 1)[path.index("J")])
