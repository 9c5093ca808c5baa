"""The problem: who may work where and when, and what each lateness costs.

A quarter is a quarter of a working day: quarter q of working day d is 4 * d + q. Days
are positions in `working_days`, day 0 is today; the weekday pattern goes on behind the
last listed day.
"""

import math
from dataclasses import dataclass
from datetime import date
from functools import cached_property

PHASES = ("underground", "rough", "topout", "trim")
PASSED, AWAITING, OPEN = "passed", "awaiting_inspection", "open"
QUARTERS = 4


@dataclass(frozen=True)
class Jurisdiction:
    """When it inspects, how early it is called and how many it takes a day."""

    id: str
    weekdays: frozenset[int]
    closed_days: frozenset[int]
    lead_days: int
    cutoff_quarter: int
    daily_cap: int


@dataclass(frozen=True)
class Subdivision:
    id: str
    jurisdiction: str


def quarters_at(speed: float, crew_quarters: float) -> int:
    """How long a crew of that speed takes for work that takes a plain crew so long."""
    return max(1, math.ceil(crew_quarters / speed))


@dataclass(frozen=True)
class Crew:
    """`at` is the subdivision where it stands today."""

    id: str
    phases: frozenset[str]
    speed: float
    days_off: frozenset[int]
    at: str
    free_from_quarter: int

    def quarters(self, crew_quarters: float) -> int:
        return quarters_at(self.speed, crew_quarters)


@dataclass(frozen=True)
class LotPhase:
    """One phase of one lot, with what the builder said about it."""

    phase: str
    status: str
    crew_quarters: float
    ready_day: int
    need_by_day: int
    priority: int
    builder_days_after_pass: int
    pass_probability: float
    inspected: bool = True


@dataclass(frozen=True)
class Lot:
    id: str
    subdivision: str
    phases: tuple[LotPhase, ...]


@dataclass(frozen=True)
class Pin:
    """This crew starts this lot's phase on this day."""

    lot: str
    phase: str
    crew: str
    day: int


@dataclass(frozen=True)
class Told:
    """What a crew was told: the start of one job in the published plan."""

    lot: str
    phase: str
    crew: str
    start_quarter: int


@dataclass(frozen=True)
class Weights:
    """The price of a weighted late day, a move, a changed crew, a changed day."""

    late_day: int = 10
    move: int = 8
    crew_change: int = 12
    day_change: int = 6


@dataclass(frozen=True)
class Job:
    """A phase that is not passed: work to be planned, or only to be inspected."""

    lot: Lot
    phase: LotPhase

    @property
    def name(self) -> tuple[str, str]:
        return self.lot.id, self.phase.phase

    @property
    def is_open(self) -> bool:
        return self.phase.status == OPEN

    def __str__(self) -> str:
        return f"lot {self.lot.id} {self.phase.phase}"


@dataclass(frozen=True)
class Problem:
    name: str
    working_days: tuple[date, ...]
    weekday_of_day0: int
    jurisdictions: tuple[Jurisdiction, ...]
    subdivisions: tuple[Subdivision, ...]
    move_quarters: tuple[tuple[int, ...], ...]
    crews: tuple[Crew, ...]
    lots: tuple[Lot, ...]
    rain_days: frozenset[int]
    rain_exposed_phases: frozenset[str]
    pins: tuple[Pin, ...]
    published: tuple[Told, ...]
    weights: Weights

    @cached_property
    def jobs(self) -> tuple[Job, ...]:
        """Every phase not passed, lot by lot in the order of the work."""
        return tuple(
            Job(lot, phase)
            for lot in self.lots
            for phase in lot.phases
            if phase.status != PASSED
        )

    @cached_property
    def job_index(self) -> dict[tuple[str, str], int]:
        return {job.name: index for index, job in enumerate(self.jobs)}

    @cached_property
    def crew_index(self) -> dict[str, int]:
        return {crew.id: index for index, crew in enumerate(self.crews)}

    @cached_property
    def subdivision_index(self) -> dict[str, int]:
        return {place.id: index for index, place in enumerate(self.subdivisions)}

    @cached_property
    def jurisdiction_index(self) -> dict[str, int]:
        return {one.id: index for index, one in enumerate(self.jurisdictions)}

    @cached_property
    def pin_of(self) -> dict[tuple[str, str], Pin]:
        return {(pin.lot, pin.phase): pin for pin in self.pins}

    @cached_property
    def told_of(self) -> dict[tuple[str, str], Told]:
        return {(told.lot, told.phase): told for told in self.published}

    def weekday(self, day: int) -> int:
        """0 = Monday; only Monday to Friday are working days."""
        return (self.weekday_of_day0 + day) % 5

    def inspects(self, jurisdiction: Jurisdiction, day: int) -> bool:
        open_day = self.weekday(day) in jurisdiction.weekdays
        return open_day and day not in jurisdiction.closed_days
