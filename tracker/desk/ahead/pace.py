"""How many crews a pace of houses needs, and what pace the crews can keep. Pure.

Line of balance: houses alike follow each other through the phases at one rate. A rate R
that brings n of them home, the first at T1 and the last at TL, is (n - 1) / (TL - T1);
a phase that takes a crew d days a house needs C = d x R crews.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations

from tracker.desk.ahead.load import mean_speed, open_phases
from tracker.planning.core.problem import QUARTERS, Problem


def rate_to_meet(units: int, first: float, last: float) -> float | None:
    """Units a day, the first done at `first`, the last at `last`; None: impossible."""
    if units > 1 and last <= first:
        return None
    return (units - 1) / (last - first) if units > 1 else 0.0


def crews_for(days: float, rate: float) -> float:
    """Crews busy all the time where each of `rate` units a day takes one `days`."""
    return days * rate


@dataclass(frozen=True)
class Line:
    """The houses of a plan as one line: days of the first end and of the last date."""

    units: int
    first: int
    last: int

    @property
    def rate(self) -> float | None:
        return rate_to_meet(self.units, self.first, self.last)


def line_of(problem: Problem, passes: Mapping[tuple[str, str], int]) -> Line:
    """First end by the planned passes; last date by the need-by of each last phase."""
    final = {job.lot.id: job for job in problem.jobs}
    ends = [passes[job.name] for job in final.values()]
    due = [job.phase.need_by_day for job in final.values()]
    return Line(len(final), min(ends, default=0), max(due, default=0))


@dataclass(frozen=True)
class Need:
    """What one phase asks for: days a house of a crew as fast as those there."""

    phase: str
    days: float
    crews: float
    there: int

    @property
    def whole(self) -> int:
        """Crews that must be had: a part of one is a whole one of its time."""
        return math.ceil(self.crews - 1e-9)

    @property
    def missing(self) -> int:
        return max(0, self.whole - self.there)


def needs(problem: Problem, rate: float) -> list[Need]:
    """The crews each phase needs at `rate` houses a day."""
    found = []
    for phase, work in plain_days(problem).items():
        days = work / mean_speed(problem, phase)
        there = sum(phase in crew.phases for crew in problem.crews)
        found.append(Need(phase, days, crews_for(days, rate), there))
    return found


def plain_days(problem: Problem) -> dict[str, float]:
    """Days a house of a crew of speed 1, the mean of the open work, by phase."""
    found = {}
    for phase in open_phases(problem):
        work = [
            job.phase.crew_quarters / QUARTERS
            for job in problem.jobs
            if job.is_open and job.phase.phase == phase
        ]
        found[phase] = sum(work) / len(work)
    return found


@dataclass(frozen=True)
class Kept:
    """The greatest rate that all crews together keep, and the phases that hold it."""

    rate: float
    phases: tuple[str, ...]


def kept(problem: Problem) -> Kept | None:
    """None where there is no work.

    A crew of several skills works only once: for every set of phases the crews that can
    do any of them must be enough (the least cut of the flow from crews to phases).
    """
    work = plain_days(problem)
    rates = []
    for phases in _sets(list(work)):
        able = sum(c.speed for c in problem.crews if c.phases & set(phases))
        if days := sum(work[phase] for phase in phases):
            rates.append(Kept(able / days, phases))
    return min(rates, key=lambda one: (one.rate, len(one.phases)), default=None)


def _sets(phases: list[str]) -> Iterator[tuple[str, ...]]:
    for size in range(1, len(phases) + 1):
        yield from combinations(phases, size)
