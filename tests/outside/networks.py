"""Any network of activities as lots and crews, for the planner to date.

A job waits for the phase before on its lot and for its crew's job before: two arcs in,
two arcs out. What has more is thinned with carriers, jobs of one quarter that only hand
an arc on; then every arc is given to a lot or to a crew. A day of the network is
`SCALE` days of the format, so that the carriers do not count.
"""

import random
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from tests.planning.problems import PHASES, crew, lot, phase, problem
from tracker.planning.core.plain import decode_plainly
from tracker.planning.core.plan import Engine, Plan, score_jobs
from tracker.planning.core.problem import Problem
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.state import Order

SCALE = 50
CARRIERS = "abcdefghijklmnopqrstuvwxyz"
Arc = tuple[str, str]


def as_problem(
    lots: list[str], crews: list[str], takes: dict[str, int]
) -> dict[str, Any]:
    """Activities, a letter each, as phases of lots; `takes` counts quarters."""
    return problem(
        crews=[crew(row) for row in crews],
        lots=[
            lot(
                row,
                *(
                    phase(
                        PHASES[place],
                        crew_quarters=takes[letter],
                        inspected=False,
                        builder_days_after_pass=0,
                    )
                    for place, letter in enumerate(row)
                ),
            )
            for row in lots
        ],
        rain_exposed_phases=[],
    )


def network(
    lots: list[str], crews: list[str], takes: dict[str, int], order: str
) -> tuple[Problem, Plan, list[str]]:
    """Dated: along lot and crew each activity waits for the one before."""
    read = read_problem(as_problem(lots, crews, takes))
    names = [letter for row in lots for letter in row]
    who = [next(i for i, row in enumerate(crews) if name in row) for name in names]
    chosen = Order([names.index(name) for name in order], who, [0] * len(names))
    jobs = decode_plainly(read, chosen)
    plan = Plan(read.name, jobs, score_jobs(read, jobs), Engine(tuple(chosen.jobs)))
    return read, plan, names


@dataclass
class Woven:
    """The rows along lots and along crews, and an order that keeps every arc."""

    lots: list[str]
    crews: list[str]
    order: str


def weave(names: str, arcs: Iterable[Arc]) -> Woven:
    """Every arc along exactly one lot or crew, carriers between where needed."""
    thin = _Thinned(list(names), list(arcs))
    thin.thin(0)
    thin.thin(1)
    groups = _groups(thin.arcs)
    dice = random.Random(1)
    for _ in range(100_000):
        sides: tuple[list[Arc], list[Arc]] = ([], [])
        for group in groups:
            swap = dice.randrange(2)
            for place, arc in enumerate(group):
                sides[(place + swap) % 2].append(arc)
        lots = _rows(thin.names, sides[0])
        if max(map(len, lots)) <= len(PHASES):
            order = _in_turn(thin.names, thin.arcs)
            return Woven(lots, _rows(thin.names, sides[1]), order)
    raise AssertionError("No way found to keep each lot to four phases.")


@dataclass
class _Thinned:
    names: list[str]
    arcs: list[Arc]
    free: list[str] = field(default_factory=lambda: list(CARRIERS))

    def thin(self, end: int) -> None:
        """At most two arcs out of (0) or into (1) everything."""
        for name in list(self.names):
            while len(mine := [arc for arc in self.arcs if arc[end] == name]) > 2:
                carrier = self.free.pop(0)
                self.names.append(carrier)
                for arc in mine[:2]:
                    other = arc[1 - end]
                    self.arcs.remove(arc)
                    self.arcs.append((carrier, other) if end == 0 else (other, carrier))
                self.arcs.append((name, carrier) if end == 0 else (carrier, name))


def _groups(arcs: list[Arc]) -> list[list[Arc]]:
    """Arcs in strings: neighbours leave, or enter, one job and so take unlike sides."""
    left, found = list(arcs), []
    while left:
        # From an end of a string if there is one; else it is a ring, of even length.
        first = next((arc for arc in left if len(_beside(arc, left)) < 2), left[0])
        group = [first]
        left.remove(first)
        while near := _beside(group[-1], left):
            group.append(near[0])
            left.remove(near[0])
        found.append(group)
    return found


def _beside(arc: Arc, arcs: list[Arc]) -> list[Arc]:
    return [
        one for one in arcs if one != arc and (one[0] == arc[0] or one[1] == arc[1])
    ]


def _rows(names: list[str], arcs: list[Arc]) -> list[str]:
    """The names strung along the arcs of one side."""
    after = dict(arcs)
    assert len(after) == len(arcs) == len(set(after.values()))
    rows = []
    for name in names:
        if name not in after.values():
            row = name
            while row[-1] in after:
                row += after[row[-1]]
            rows.append(row)
    return rows


def _in_turn(names: list[str], arcs: list[Arc]) -> str:
    order = ""
    while len(order) < len(names):
        order += next(
            name
            for name in names
            if name not in order and all(a in order for a, b in arcs if b == name)
        )
    return order
