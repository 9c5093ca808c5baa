"""A stored plan as rows of strips on a time line counted in quarters. Pure."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from tracker.planning.adapter.calendar import Calendar
from tracker.planning.adapter.labels import Label

DAY, HALF = 4, 2
Name = tuple[str, str]


@dataclass(frozen=True)
class Strip:
    """One job; `was` is what the published plan says where that is otherwise.

    `pin` are crew and day of a pin that holds now, where this plan has it otherwise.
    """

    lot: str
    phase: str
    place: str
    crew: str
    start: int
    end: int
    visit: int | None
    late: int
    pinned: bool = False
    begun: bool = False
    was: tuple[str, int] | None = None
    wall: int | None = None
    pin: tuple[str, int] | None = None

    @property
    def passes(self) -> int:
        return self.visit if self.visit is not None else (self.end - 1) // DAY

    @property
    def at_risk(self) -> bool:
        """It would be covered before it has passed."""
        return self.wall is not None and self.wall <= self.passes

    @property
    def short(self) -> str:
        """The lot without its subdivision: `14·A` for lot 14 of block A."""
        return Label(self.lot).short

    @property
    def name(self) -> Name:
        return self.lot, self.phase


@dataclass(frozen=True)
class Site:
    """A crew on one site from quarter `start` to `end`; `comes`: it drove there."""

    start: int
    end: int
    place: str
    comes: bool


@dataclass(frozen=True)
class Drive:
    """A crew on its way: `lost` quarters of work, 0 where it drives before work."""

    at: int
    lost: int
    place: str


@dataclass
class Row:
    """One line of the sheet: a crew, or a lot. `off` are days nobody works there."""

    label: str
    strips: list[Strip] = field(default_factory=list)
    drives: list[Drive] = field(default_factory=list)
    sites: list[Site] = field(default_factory=list)
    off: list[int] = field(default_factory=list)
    ghosts: list[Strip] = field(default_factory=list)
    visits: list[Strip] = field(default_factory=list)
    walls: list[Strip] = field(default_factory=list)
    pins: list[Strip] = field(default_factory=list)
    lot: int | None = None

    @property
    def quarters(self) -> int:
        return sum(strip.end - strip.start for strip in self.strips)


@dataclass(frozen=True)
class Span:
    """The days that are shown: from `first`, so many."""

    first: int
    days: int

    @property
    def last(self) -> int:
        return self.first + self.days

    def holds(self, start: int, end: int) -> bool:
        return end > DAY * self.first and start < DAY * self.last

    def at(self, quarter: int) -> int:
        return quarter - DAY * self.first


@dataclass(frozen=True)
class Sheet:
    """A version as the pages use it."""

    strips: tuple[Strip, ...]
    calendar: Calendar
    crews: tuple[Mapping[str, Any], ...]
    rain: frozenset[int]
    moves: Mapping[tuple[str, str], int]

    def rows(self, by: str, span: Span, *, crew: str = "") -> list[Row]:
        rows = self._by_crew(span) if by == "crew" else self._by_lot(span)
        return [row for row in rows if not crew or row.label == crew]

    def _by_crew(self, span: Span) -> list[Row]:
        lines: dict[str, list[Strip]] = defaultdict(list)
        for strip in self.strips:
            lines[strip.crew].append(strip)
        rows = []
        for crew in self.crews:
            line = sorted(lines[crew["id"]], key=lambda one: one.start)
            row = Row(crew["id"])
            row.off = [day for day in crew["days_off"] if span.first <= day < span.last]
            row.strips = [one for one in line if span.holds(one.start, one.end)]
            row.drives = list(self._drives(crew, line, span))
            row.sites = _sites(crew["at"], line, span)
            row.visits = [one for one in line if _shown(one.visit, span)]
            row.walls = [one for one in line if _shown(one.wall, span)]
            row.pins = [
                one
                for one in self.strips
                if one.pin and one.pin[0] == crew["id"] and _shown(one.pin[1], span)
            ]
            row.ghosts = [
                one
                for one in self.strips
                if one.was
                and one.was[0] == crew["id"]
                and span.holds(one.was[1], one.was[1] + one.end - one.start)
            ]
            rows.append(row)
        return rows

    def _drives(
        self, crew: Mapping[str, Any], line: Iterable[Strip], span: Span
    ) -> Iterable[Drive]:
        at, free = crew["at"], crew["free_from_quarter"]
        for strip in line:
            if strip.place != at:
                same_day = strip.start // DAY * DAY < free
                lost = self.moves[at, strip.place] if same_day else 0
                if span.holds(strip.start - lost, strip.start + 1):
                    yield Drive(strip.start - lost, lost, strip.place)
            at, free = strip.place, strip.end

    def _by_lot(self, span: Span) -> list[Row]:
        rows: dict[str, Row] = {}
        for strip in self.strips:
            row = rows.setdefault(strip.lot, Row(strip.lot))
            if strip.crew and span.holds(strip.start, strip.end):
                row.strips.append(strip)
            if _shown(strip.visit, span):
                row.visits.append(strip)
            if _shown(strip.wall, span):
                row.walls.append(strip)
            if strip.pin and _shown(strip.pin[1], span):
                row.pins.append(strip)
        return [row for row in rows.values() if row.strips or row.visits or row.walls]


def _sites(at: str, line: list[Strip], span: Span) -> list[Site]:
    """Stretches of a crew's line on one subdivision, cut to what is shown."""
    found: list[Site] = []
    for strip in line:
        last = found[-1] if found else None
        if last and last.place == strip.place:
            found[-1] = Site(last.start, strip.end, last.place, last.comes)
        else:
            before = last.place if last else at
            comes = strip.place != before
            found.append(Site(strip.start, strip.end, strip.place, comes))
    return [one for one in found if span.holds(one.start, one.end)]


def _shown(day: int | None, span: Span) -> bool:
    return day is not None and span.first <= day < span.last


def sheet_of(
    problem: Mapping[str, Any],
    plan: Mapping[str, Any],
    *,
    walls: Mapping[Name, date],
    told: Mapping[Name, tuple[str, int]],
    begun: frozenset[Name] = frozenset(),
    pins: Mapping[Name, tuple[str, int]] | None = None,
) -> Sheet:
    """The strips of a version from its JSON.

    `told` is what crews know now, as (crew, start quarter) from the version's day 0;
    `walls` are cover dates; `begun` work is held by the planner, not by a person.
    `pins` are those that hold now, as (crew, day); None: those the plan was made with.
    """
    calendar = Calendar(date.fromisoformat(problem["working_days"][0]))
    phases = {
        (lot["id"], phase["phase"]): phase
        for lot in problem["lots"]
        for phase in lot["phases"]
    }
    place = {lot["id"]: lot["subdivision"] for lot in problem["lots"]}
    if pins is None:
        made = ((pin["lot"], pin["phase"]) for pin in problem["pins"])
        pinned, since = set(made), {}
    else:
        pinned, since = set(pins), dict(pins)
    found = []
    for job in plan["jobs"]:
        name = (job["lot"], job["phase"])
        elsewhere = _pinned_since(job, since.get(name))
        start = job["start_quarter"]
        wall = walls.get(name)
        found.append(
            Strip(
                lot=job["lot"],
                phase=job["phase"],
                place=place[job["lot"]],
                crew=job["crew"] or "",
                start=-1 if start is None else start,
                end=job["end_quarter"],
                visit=job["inspection_day"],
                late=max(0, pass_day(job) - phases[name]["need_by_day"]),
                pinned=name in pinned - begun and elsewhere is None,
                pin=elsewhere,
                begun=name in begun,
                was=_was(job, told.get(name)),
                wall=calendar.number_of(wall) if wall else None,
            )
        )
    ids = [one["id"] for one in problem["subdivisions"]]
    moves = {
        (ids[a], ids[b]): lost
        for a, line in enumerate(problem["move_quarters"])
        for b, lost in enumerate(line)
    }
    rain = frozenset(problem.get("rain_days", ()))
    return Sheet(tuple(found), calendar, tuple(problem["crews"]), rain, moves)


def pass_day(job: Mapping[str, Any]) -> int:
    """The day of the inspection, else the last day of the work."""
    if job["inspection_day"] is not None:
        return int(job["inspection_day"])
    return (int(job["end_quarter"]) - 1) // DAY


def _pinned_since(
    job: Mapping[str, Any], pin: tuple[str, int] | None
) -> tuple[str, int] | None:
    if pin is None or job["start_quarter"] is None:
        return None
    return None if pin == (job["crew"], job["start_quarter"] // DAY) else pin


def _was(
    job: Mapping[str, Any], told: tuple[str, int] | None
) -> tuple[str, int] | None:
    """What the crew was told, where the plan now says another crew or half-day."""
    if told is None or job["start_quarter"] is None:
        return None
    same = told[0] == job["crew"] and told[1] // HALF == job["start_quarter"] // HALF
    return None if same else told
