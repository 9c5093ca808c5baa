"""Rates of repetitive work: how many crews a pace needs, and the planner keeps it.

Deadline rule: n units, the first done at T1 and the last due at TL, ask for a rate
R = (n - 1) / (TL - T1), and a trade of d days a unit for C = d x R crews; with 5 units.
Seen in an excerpt [X], without figures; what follows from it here is the planner's own
doing: with C crews a trade it meets TL, with one fewer of any trade it no longer does.

Line of balance class problem: 15 houses at 3 a week of 40 hours; man-hours and gang
sizes below. Input seen in an excerpt [X]; theoretical gangs 2.25, 6, 3.75, 2.25, 1.5,
3, 3, 3.75, 1 recomputed independently [C].
"""

from itertools import product
from typing import Any

import pytest

from tests.planning.problems import PHASES, crew, lot, phase, problem
from tracker.desk.ahead.pace import kept, line_of, needs, rate_to_meet
from tracker.planning.core.judge import judge
from tracker.planning.core.plan import write_plan
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.solve import Effort, solve

HOUSES = 15
WEEKLY, HOURS = 3, 40
TRADES = {  # man-hours a house, men in a gang, theoretical gangs
    "substructure": (180, 6, 2.25),
    "brick": (320, 4, 6),
    "joiner first": (200, 4, 3.75),
    "tiler": (60, 2, 2.25),
    "glazing": (40, 2, 1.5),
    "joiner second": (120, 3, 3),
    "electrician": (80, 2, 3),
    "plumber": (100, 2, 3.75),
    "painter": (40, 3, 1),
}
UNITS = 5


def alike(
    units: int, days: tuple[float, ...], crews: tuple[int, ...], due: int = 0
) -> dict[str, Any]:
    """Units alike through trades in series, so many crews of each trade."""
    trades = PHASES[: len(days)]
    return problem(
        crews=[
            crew(f"{trade} {number}", phases=[trade])
            for trade, many in zip(trades, crews, strict=True)
            for number in range(many)
        ],
        lots=[
            lot(
                f"U{number}",
                *(
                    phase(
                        trade,
                        crew_quarters=4 * takes,
                        need_by_day=due,
                        inspected=False,
                        builder_days_after_pass=0,
                    )
                    for trade, takes in zip(trades, days, strict=True)
                ),
            )
            for number in range(units)
        ],
        rain_exposed_phases=[],
    )


def test_the_class_problem_needs_its_theoretical_gangs() -> None:
    """A day of 8 hours; the format knows four phases a house, so four trades a time."""
    found = []
    names = list(TRADES)
    for first in range(0, len(names), len(PHASES)):
        some = [TRADES[name] for name in names[first : first + len(PHASES)]]
        days = tuple(hours / men / (HOURS / 5) for hours, men, _ in some)
        read = read_problem(alike(HOUSES, days, (1,) * len(days)))
        found += [one.crews for one in needs(read, WEEKLY / 5)]

    assert found == pytest.approx([gangs for _, _, gangs in TRADES.values()])


CHAINS = [
    ((4, 2, 6, 2), 22, (2, 1, 3, 1)),
    ((3, 6, 3), 24, (1, 2, 1)),
    ((2, 2, 4), 16, (1, 1, 2)),
    ((6, 4, 2), 20, (3, 2, 1)),
]


@pytest.mark.parametrize(("days", "due", "crews"), CHAINS)
def test_the_crews_of_the_deadline_rule_meet_the_deadline_and_fewer_do_not(
    days: tuple[int, ...], due: int, crews: tuple[int, ...]
) -> None:
    rate = rate_to_meet(UNITS, sum(days), due)
    assert rate is not None
    read = read_problem(alike(UNITS, days, crews))
    assert tuple(one.whole for one in needs(read, rate)) == crews

    assert length(days, crews) == due
    for place in range(len(days)):
        fewer = tuple(many - (at == place) for at, many in enumerate(crews))
        if all(fewer):
            assert length(days, fewer) > due


def length(days: tuple[int, ...], crews: tuple[int, ...]) -> float:
    """Days until the planner's plan, judged, is through with the last unit."""
    raw = alike(UNITS, days, crews)
    plan = solve(read_problem(raw), Effort(iterations=2000))
    assert judge(raw, write_plan(plan)).breaches == ()
    return max(job.end_quarter for job in plan.jobs) / 4


def test_a_plans_own_line_has_the_rate_of_its_dates() -> None:
    days, due, crews = CHAINS[0]
    raw = alike(UNITS, days, crews, due - 1)  # days count from 0
    plan = solve(read_problem(raw), Effort(iterations=2000))

    line = line_of(
        read_problem(raw), {(job.lot, job.phase): job.pass_day for job in plan.jobs}
    )

    assert line.rate == rate_to_meet(UNITS, sum(days), due) == 1 / 2


@pytest.mark.parametrize(
    "crews", [one for one in product((1, 2, 3), repeat=3) if max(one) > 1]
)
def test_the_planner_keeps_the_pace_that_the_crews_can_keep_and_no_more(
    crews: tuple[int, ...],
) -> None:
    """Sixty units: behind the first the planner brings one home every 1 / R days."""
    days = (3, 4, 2)
    units = 60
    raw = alike(units, days, crews)
    most = kept(read_problem(raw))
    assert most is not None

    plan = solve(read_problem(raw), Effort(iterations=1))

    last = max(job.end_quarter for job in plan.jobs) / 4
    slowest = (units - 1) / most.rate
    longest = sum(days) + max(days)
    assert slowest - longest <= last <= slowest + 2 * longest
