"""Reading plumb-instance/1, the JSON of a problem; strict, naming the place."""

from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise
from typing import Any

from . import reading as r
from .errors import BadProblem
from .marks_json import read_pins, read_published
from .problem import (
    AWAITING,
    OPEN,
    PASSED,
    PHASES,
    QUARTERS,
    Crew,
    Jurisdiction,
    Lot,
    LotPhase,
    Problem,
    Subdivision,
    Weights,
)

FORMAT = "plumb-instance/1"
KEYS = (
    *("format", "name", "working_days", "weekday_of_day0", "jurisdictions"),
    *("subdivisions", "move_quarters", "crews", "lots"),
)
OPTIONAL = (
    *("quarters_per_day", "rain_days", "rain_exposed_phases"),
    *("pins", "published", "weights"),
)
LINE_KEYS = (
    *("id", "weekdays", "closed_days", "lead_days"),
    *("cutoff_quarter", "daily_cap"),
)
PHASE_KEYS = (
    *("phase", "status", "crew_quarters", "ready_day", "need_by_day", "priority"),
    *("builder_days_after_pass", "pass_probability"),
)
PLACE_KEYS = ("name", "position", "x_km", "y_km")
STATUSES = (PASSED, AWAITING, OPEN)


def read_problem(raw: object) -> Problem:
    """The problem in parsed JSON of plumb-instance/1.

    Raises BadProblem that names the lot, crew or key for anything unknown, missing,
    of the wrong kind or impossible.
    """
    raw = r.record(raw, "problem", KEYS, OPTIONAL)
    if raw["format"] != FORMAT:
        raise BadProblem(f"problem: format must be {FORMAT}, got {raw['format']!r}.")
    if raw.get("quarters_per_day", QUARTERS) != QUARTERS:
        raise BadProblem("problem: quarters_per_day must be 4.")
    raw = {"rain_days": [], "rain_exposed_phases": [], **raw}
    places = _subdivisions(raw)
    problem = Problem(
        name=r.text(raw, "name", "problem"),
        working_days=_working_days(raw),
        weekday_of_day0=r.whole(raw, "weekday_of_day0", "problem", 0, 4),
        jurisdictions=_jurisdictions(raw),
        subdivisions=places,
        move_quarters=_move_quarters(raw, len(places)),
        crews=_crews(raw, {place.id for place in places}),
        lots=_lots(raw, {place.id for place in places}),
        rain_days=r.days(raw, "rain_days", "problem"),
        rain_exposed_phases=_phase_set(raw, "rain_exposed_phases", "problem"),
        pins=(),
        published=(),
        weights=_weights(raw.get("weights", {})),
    )
    _check_sums(problem)
    return replace(
        problem,
        pins=read_pins(raw.get("pins", ()), problem),
        published=read_published(raw.get("published", ()), problem),
    )


def _working_days(raw: r.Raw) -> tuple[Any, ...]:
    days = tuple(
        r.iso_day(value, "working_days")
        for value in r.items(raw, "working_days", "problem")
    )
    if not days:
        raise BadProblem("problem: working_days is empty.")
    if raw["weekday_of_day0"] != days[0].weekday():
        raise BadProblem(
            f"problem: weekday_of_day0 is {raw['weekday_of_day0']}, but"
            f" {days[0]} is weekday {days[0].weekday()} (0 = Monday)."
        )
    for before, after in pairwise(days):
        gap = 3 if before.weekday() == 4 else 1
        if (after - before).days != gap:
            raise BadProblem(
                f"working_days: {after} does not follow {before}; list Monday to"
                " Friday without gaps and give holidays as days off and closed days."
            )
    return days


def _jurisdictions(raw: r.Raw) -> tuple[Jurisdiction, ...]:
    found = []
    for number, one in enumerate(r.items(raw, "jurisdictions", "problem")):
        place = f"jurisdiction {_name(one, number)}"
        one = r.record(one, place, LINE_KEYS, ("name",))
        weekdays = r.days(one, "weekdays", place)
        if not weekdays or max(weekdays) > 4:
            raise BadProblem(
                f"{place}: weekdays must name one or more of 0 to 4 (0 = Monday)."
            )
        found.append(
            Jurisdiction(
                id=r.text(one, "id", place),
                weekdays=weekdays,
                closed_days=r.days(one, "closed_days", place),
                lead_days=r.whole(one, "lead_days", place, 0, 400),
                cutoff_quarter=r.whole(one, "cutoff_quarter", place, 0, QUARTERS),
                daily_cap=r.whole(one, "daily_cap", place, 1),
            )
        )
    r.unique((one.id for one in found), "jurisdictions")
    return tuple(found)


def _subdivisions(raw: r.Raw) -> tuple[Subdivision, ...]:
    known = {
        one["id"]
        for one in r.items(raw, "jurisdictions", "problem")
        if isinstance(one, Mapping) and isinstance(one.get("id"), str)
    }
    found = []
    for number, one in enumerate(r.items(raw, "subdivisions", "problem")):
        place = f"subdivision {_name(one, number)}"
        one = r.record(one, place, ("id", "jurisdiction"), PLACE_KEYS)
        found.append(
            Subdivision(
                id=r.text(one, "id", place),
                jurisdiction=r.one_of(
                    one, "jurisdiction", place, known, "jurisdiction"
                ),
            )
        )
    r.unique((one.id for one in found), "subdivisions")
    return tuple(found)


def _move_quarters(raw: r.Raw, places: int) -> tuple[tuple[int, ...], ...]:
    rows = r.items(raw, "move_quarters", "problem")
    if len(rows) != places:
        raise BadProblem(f"move_quarters: {len(rows)} rows for {places} subdivisions.")
    table = []
    for number, row in enumerate(rows):
        place = f"move_quarters row {number}"
        cells = r.items({"row": row}, "row", place)
        if len(cells) != places:
            raise BadProblem(f"{place}: {len(cells)} cells, not {places}.")
        table.append(tuple(r.whole({"cell": c}, "cell", place, 0, 400) for c in cells))
    return tuple(table)


def _crews(raw: r.Raw, places: set[str]) -> tuple[Crew, ...]:
    found = []
    keys = ("id", "phases", "speed", "at")
    more = ("days_off", "free_from_quarter", "size", "name")
    for number, one in enumerate(r.items(raw, "crews", "problem")):
        place = f"crew {_name(one, number)}"
        one = r.record(one, place, keys, more)
        one = {"days_off": (), "free_from_quarter": 0, **one}
        found.append(
            Crew(
                id=r.text(one, "id", place),
                phases=_phase_set(one, "phases", place),
                speed=r.number(one, "speed", place, 0.01, 100),
                days_off=r.days(one, "days_off", place),
                at=r.one_of(one, "at", place, places, "subdivision"),
                free_from_quarter=r.whole(one, "free_from_quarter", place),
            )
        )
    r.unique((one.id for one in found), "crews")
    return tuple(found)


def _lots(raw: r.Raw, places: set[str]) -> tuple[Lot, ...]:
    found = []
    for number, one in enumerate(r.items(raw, "lots", "problem")):
        place = f"lot {_name(one, number)}"
        one = r.record(one, place, ("id", "subdivision", "phases"), ("plan", "name"))
        phases = tuple(
            _lot_phase(phase, place) for phase in r.items(one, "phases", place)
        )
        _check_order(phases, place)
        found.append(
            Lot(
                id=r.text(one, "id", place),
                subdivision=r.one_of(one, "subdivision", place, places, "subdivision"),
                phases=phases,
            )
        )
    r.unique((one.id for one in found), "lots")
    return tuple(found)


def _lot_phase(raw: object, lot: str) -> LotPhase:
    name = raw.get("phase", "?") if isinstance(raw, Mapping) else "?"
    place = f"{lot} {name}"
    raw = r.record(raw, place, PHASE_KEYS, ("inspected",))
    phase = LotPhase(
        phase=r.one_of(raw, "phase", lot, PHASES, "phase"),
        status=r.one_of(raw, "status", place, STATUSES, "status"),
        crew_quarters=r.number(raw, "crew_quarters", place, 0, 4000),
        ready_day=r.whole(raw, "ready_day", place, None),
        need_by_day=r.whole(raw, "need_by_day", place, None),
        priority=r.whole(raw, "priority", place, 1, 3),
        builder_days_after_pass=r.whole(raw, "builder_days_after_pass", place, 0, 4000),
        pass_probability=r.number(raw, "pass_probability", place, 0, 1),
        inspected=r.flag(raw, "inspected", place, True),
    )
    if phase.status == AWAITING and not phase.inspected:
        raise BadProblem(f"{place}: awaits an inspection but inspected is false.")
    return phase


def _check_order(phases: tuple[LotPhase, ...], place: str) -> None:
    """Phases in the order of the work, and nothing done ahead of what is open."""
    steps = [PHASES.index(phase.phase) for phase in phases]
    if steps != sorted(set(steps)):
        raise BadProblem(f"{place}: phases must follow the order {', '.join(PHASES)}.")
    for before, after in pairwise(phases):
        if after.status != OPEN and before.status != PASSED:
            raise BadProblem(
                f"{place}: {after.phase} is {after.status} while {before.phase} is"
                f" {before.status}."
            )


def _phase_set(raw: r.Raw, key: str, place: str) -> frozenset[str]:
    return frozenset(
        r.one_of({key: value}, key, place, PHASES, "phase")
        for value in r.items(raw, key, place)
    )


def _weights(raw: object) -> Weights:
    keys = tuple(Weights.__dataclass_fields__)
    raw = r.record(raw, "weights", (), keys)
    return Weights(
        **{key: r.whole(raw, key, "weights", 0, 10**5) for key in keys if key in raw}
    )


def _check_sums(problem: Problem) -> None:
    """Somebody must be able to do each open job; otherwise there is no plan."""
    able = {phase for crew in problem.crews for phase in crew.phases}
    for job in problem.jobs:
        if job.is_open and job.phase.phase not in able:
            raise BadProblem(f"{job}: no crew is qualified for {job.phase.phase}.")


def _name(raw: object, number: int) -> str:
    name = raw.get("id") if isinstance(raw, Mapping) else None
    return name if isinstance(name, str) and name else f"number {number + 1}"
