"""The bridge of four sections and five trades, run through the planner.

Selinger 1980; taken up by Russell and Caselton 1988 and by El-Rayes and Moselhi.
Inputs and the published lengths (117.9 days when crews may never idle, 106.8 when they
may) are from memory [M], so a regression case. All 72 choices of crews, worked out
independently with durations rounded to a tenth of a day, give 117.8 and 106.8 [C].

A tenth of a day is a day of the format. It knows four phases a lot, so the slabs are a
second problem whose lots are ready when the beams are done.
"""

from functools import cache
from itertools import pairwise, product
from typing import Any

import pytest

from tests.planning.problems import PHASES, crew, lot, phase, problem
from tracker.planning.core.plain import decode_plainly
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.state import Order

SECTIONS = 4
QUANTITIES = (  # m3 a section
    (1147, 1434, 994, 1529),  # excavation
    (1032, 1077, 943, 898),  # foundations
    (104, 86, 129, 100),  # columns
    (85, 92, 101, 80),  # beams
    (0, 138, 114, 145),  # slabs
)
OUTPUTS = (  # m3 a day of the crews to choose from
    (91.75,),
    (89.77, 71.81, 53.86),
    (5.73, 6.88, 8.03),
    (9.9, 8.49, 7.07, 5.66),
    (8.73, 7.76),
)
Rows = tuple[tuple[int, ...], ...]


def tenths(choice: tuple[float, ...]) -> Rows:
    """Durations by trade and section in tenths of a day."""
    return tuple(
        tuple(round(10 * amount / output) for amount in row)
        for row, output in zip(QUANTITIES, choice, strict=True)
    )


@cache
def dated(rows: Rows, ready: tuple[int, ...], free: tuple[int, ...]) -> Rows:
    """Ends by trade and section of up to four trades, one crew each, in turn."""
    trades = PHASES[: len(rows)]
    names: list[tuple[str, int]] = []
    lots: list[dict[str, Any]] = []
    for place in range(SECTIONS):
        done = [trade for trade, row in zip(trades, rows, strict=True) if row[place]]
        names += [(trade, place) for trade in done]
        work = [
            phase(
                trade,
                crew_quarters=4 * rows[trades.index(trade)][place],
                ready_day=ready[place],
                inspected=False,
                builder_days_after_pass=0,
            )
            for trade in done
        ]
        lots.append(lot(f"S{place}", *work))
    crews = [
        crew(trade, phases=[trade], free_from_quarter=4 * first)
        for trade, first in zip(trades, free, strict=True)
    ]
    read = read_problem(problem(crews=crews, lots=lots, rain_exposed_phases=[]))
    turns = list(range(len(names)))
    who = [trades.index(trade) for trade, _ in names]
    jobs = decode_plainly(read, Order(turns, who, [0] * len(names)))
    ends = {name: job.end_quarter // 4 for name, job in zip(names, jobs, strict=True)}
    return tuple(
        tuple(ends.get((trade, place), 0) for place in range(SECTIONS))
        for trade in trades
    )


def length(rows: Rows, free: tuple[int, ...]) -> int:
    first = dated(rows[:4], (0,) * SECTIONS, free[:4])
    slabs = dated(rows[4:], first[3], free[4:])
    return max(slabs[0])


def starts_without_idling(rows: Rows) -> tuple[int, ...]:
    """The earliest start of each trade from which its crew never waits."""
    starts = [0]
    for before, now in pairwise(rows):
        starts.append(
            max(
                starts[-1] + sum(before[: place + 1]) - sum(now[:place])
                for place in range(SECTIONS)
                if now[place]
            )
        )
    return tuple(starts)


CHOICES = list(product(*OUTPUTS))


def test_the_shortest_bridge_with_crews_that_may_idle() -> None:
    lengths = [length(tenths(choice), (0,) * 5) for choice in CHOICES]

    assert len(lengths) == 72
    assert min(lengths) / 10 == pytest.approx(106.8, abs=0.2)


def test_the_shortest_bridge_with_crews_that_never_idle() -> None:
    lengths = []
    for choice in CHOICES:
        rows = tenths(choice)
        free = starts_without_idling(rows)
        lengths.append(length(rows, free))
        # Nobody waits: each trade ends when its start and its durations say.
        assert lengths[-1] == free[-1] + sum(rows[-1])

    assert min(lengths) / 10 == pytest.approx(117.8, abs=0.2)
