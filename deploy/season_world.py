"""An invented contractor's quarter, lived through day by day by one rule or another.

Both rules meet the same world: real durations, builders who slip, rain that is known in
the morning, inspections that fail. Days are positions in the list of working days.
"""

from collections import Counter
from dataclasses import dataclass, field
from datetime import date, timedelta
from random import Random

from tracker.planning.core.plain import visit_day
from tracker.planning.core.problem import (
    OPEN,
    PHASES,
    QUARTERS,
    Crew,
    Job,
    Jurisdiction,
    Lot,
    LotPhase,
    Problem,
    Subdivision,
    Weights,
)

DAYS, TAIL = 65, 25  # a quarter, and the days in which its work may still pass
WAITS = {"underground": 12, "rough": 1, "topout": 22, "trim": 0}
TAKES = {"underground": (4, 6), "rough": (5, 8), "topout": (6, 8), "trim": (4, 6)}
SKILLS = {
    "Ditch One": ("underground",),
    "Ditch Two": ("underground", "rough"),
    "Frame One": ("rough", "topout"),
    "Frame Two": ("underground", "rough", "topout"),
    "Frame Three": ("rough", "topout"),
    "Trim One": ("trim",),
    "Trim Two": ("rough", "topout", "trim"),
}
PLACES = ("north", "east", "south", "west", "mill")
RAIN, SLIP, FAIL = 0.08, 0.25, 0.13
Name = tuple[str, str]


@dataclass
class Piece:
    """One phase of one lot: what is planned of it and what it really takes."""

    lot: str
    phase: str
    place: str
    planned: int
    real: int
    ready: int  # as forecast; a slip is told three days before
    slip: int
    wait: int
    need_by: int
    fails: int
    before: "Piece | None" = None
    begun: int | None = None
    ended: int | None = None
    visit: int | None = None
    passed: int | None = None
    redo: bool = False

    @property
    def name(self) -> Name:
        return self.lot, self.phase

    def forecast(self, day: int) -> int:
        """The builder's word on that day."""
        real = self.ready + self.slip
        return real if day >= self.ready - 3 else self.ready

    def opens(self) -> int | None:
        """The day it may begin; None while the phase before has not passed."""
        if self.before is None:
            return self.ready + self.slip
        if self.before.passed is None:
            return None
        return max(self.ready, self.before.passed + 1 + self.before.wait) + self.slip


@dataclass
class World:
    problem: Problem
    pieces: list[Piece]
    rain: frozenset[int]
    free: dict[str, int] = field(default_factory=dict)
    at: dict[str, str] = field(default_factory=dict)
    booked: Counter[tuple[str, int]] = field(default_factory=Counter)
    drives: int = 0
    changes: int = 0

    def crew(self, name: str) -> Crew:
        return self.problem.crews[self.problem.crew_index[name]]

    def may_begin(self, piece: Piece, day: int) -> bool:
        if piece.begun is not None and not piece.redo:
            return False
        if piece.phase == "underground" and day in self.rain:
            return False
        opens = piece.opens()
        return opens is not None and opens <= day

    def begin(self, piece: Piece, crew_name: str, quarter: int) -> None:
        """Send the crew; what it really takes is known when it is done."""
        crew = self.crew(crew_name)
        lost = 0
        if self.at[crew_name] != piece.place:
            self.drives += 1
            # A crew that was on another lot today loses a quarter on the road.
            same_day = self.free[crew_name] > quarter // QUARTERS * QUARTERS
            lost, self.at[crew_name] = int(same_day), piece.place
        takes = 1 if piece.redo else crew.quarters(piece.real)
        end = quarter + lost + takes
        if piece.phase == "underground":
            days = range(quarter // QUARTERS + 1, (end - 1) // QUARTERS + 1)
            end += QUARTERS * sum(day in self.rain for day in days)
        piece.begun, piece.ended, piece.redo = quarter, end, False
        self.free[crew_name] = end
        job = self._job(piece)
        piece.visit = visit_day(self.problem, job, end, self.booked)

    def _job(self, piece: Piece) -> Job:
        lot = Lot(piece.lot, piece.place, ())
        return Job(lot, LotPhase(piece.phase, OPEN, 1, 0, 0, 1, 0, 1.0))

    def results(self, day: int) -> None:
        """What the inspectors said that day."""
        for piece in self.pieces:
            if piece.visit != day or piece.passed is not None:
                continue
            piece.visit = None
            if piece.fails:
                piece.fails -= 1
                piece.redo = True
            else:
                piece.passed = day

    def figures(self) -> dict[str, int]:
        due = [piece for piece in self.pieces if piece.need_by + piece.slip < DAYS]
        late = [_late(piece) for piece in due]
        walls = [_late(p) > 1 for p in due if p.phase != "trim"]
        return {
            "phases due": len(due),
            "late phases": sum(days > 0 for days in late),
            "late days": sum(late),
            "drives": self.drives,
            "changes to what was told": self.changes,
            "covers at risk": sum(walls),
        }


def _late(piece: Piece) -> int:
    """Days after need-by, which moves with the builder's own slips."""
    slips, one = 0, piece
    while one is not None:
        slips, one = slips + one.slip, one.before
    passed = piece.passed if piece.passed is not None else DAYS + TAIL
    return max(0, passed - piece.need_by - slips)


def make_world(seed: int, problem: Problem, *, lots_a_week: int) -> World:
    """Lots that began to arrive long before day 0, so that all phases are under way."""
    rng = Random(seed)
    pieces: list[Piece] = []
    number = 0
    for week in range(-11, (DAYS + 20) // 5):
        for _ in range(lots_a_week):
            number += 1
            start = 5 * week + rng.randrange(5)
            pieces += _lot(f"lot {number}", rng.choice(PLACES), start, rng)
    rain = frozenset(day for day in range(DAYS + TAIL) if rng.random() < RAIN)
    world = World(problem, pieces, rain)
    world.free = dict.fromkeys(SKILLS, 0)
    world.at = {crew.id: crew.at for crew in problem.crews}
    return world


def _lot(name: str, place: str, ready: int, rng: Random) -> list[Piece]:
    """Phases of one lot; those due before day 0 have passed in time."""
    pieces: list[Piece] = []
    before = None
    for phase in PHASES:
        planned = rng.randint(*TAKES[phase])
        real = max(1, round(planned * rng.lognormvariate(0, 0.2)))
        need_by = ready + 8
        slip = rng.randint(1, 4) if rng.random() < SLIP else 0
        fails = int(rng.random() < FAIL)
        passed = need_by - 3
        piece = Piece(
            name, phase, place, planned, real, ready, slip, WAITS[phase], need_by, fails
        )
        if passed < 0:
            before, ready = None, passed + 1 + WAITS[phase]
            continue
        piece.before = before
        pieces.append(piece)
        before, ready = piece, passed + 1 + WAITS[phase]
    return pieces


def frame(days: int) -> Problem:
    """Crews, places and offices without lots."""
    monday = date(2026, 1, 5)
    listed = [monday + timedelta(days=n) for n in range(days * 7 // 5 + 7)]
    return Problem(
        name="season",
        working_days=tuple(day for day in listed if day.weekday() < 5)[:days],
        weekday_of_day0=0,
        jurisdictions=(
            Jurisdiction("city", frozenset({1, 3}), frozenset(), 1, 1, 8),
            Jurisdiction("county", frozenset(range(5)), frozenset(), 1, 3, 9),
        ),
        subdivisions=tuple(
            Subdivision(place, "city" if place in ("north", "mill") else "county")
            for place in PLACES
        ),
        move_quarters=tuple(tuple(int(a != b) for b in PLACES) for a in PLACES),
        crews=tuple(
            Crew(name, frozenset(skills), 1.0, frozenset(), PLACES[n % 5], 0)
            for n, (name, skills) in enumerate(SKILLS.items())
        ),
        lots=(),
        rain_days=frozenset(),
        rain_exposed_phases=frozenset({"underground"}),
        pins=(),
        published=(),
        weights=Weights(),
    )


def naive_choice(world: World, crew: str, day: int) -> Piece | None:
    """The first ready lot to the first free crew."""
    skills = world.crew(crew).phases
    able = [p for p in world.pieces if p.phase in skills and world.may_begin(p, day)]
    return min(able, key=lambda p: (p.opens() or 0, p.need_by), default=None)
