"""Crews, places and drives of the format."""

import math
from collections.abc import Mapping
from datetime import date

from phases.models import Fact
from tracker.people.models import Crew
from tracker.planning.core import problem as core
from tracker.sites.models import Subdivision

from .calendar import LISTED, is_holiday
from .rows import Rows

ROUNDABOUT, KM_A_QUARTER = 1.3, 80.0  # 40 km/h for two hours: common practice
MOST_DRIVE = core.QUARTERS


def places_of(
    rows: Rows, lines: Mapping[int | None, str]
) -> tuple[dict[int, str], tuple[core.Subdivision, ...]]:
    """Names of subdivisions, unique, and the subdivisions of the format."""
    names: dict[int, str] = {}
    for place in rows.places:
        name = place.name
        if name in names.values():
            name = f"{place.name} ({place.builder.name})"
        if name in names.values():
            name = f"{name} #{place.pk}"
        names[place.pk] = name
    found = tuple(
        core.Subdivision(names[place.pk], lines[place.jurisdiction_id])
        for place in rows.places
    )
    return names, found


def drives(places: list[Subdivision]) -> tuple[tuple[int, ...], ...]:
    """Quarters lost between subdivisions, from their places on the map (km)."""
    return tuple(tuple(_drive(a, b) for b in places) for a in places)


def _drive(a: Subdivision, b: Subdivision) -> int:
    if a.pk == b.pk:
        return 0
    km = ROUNDABOUT * math.hypot(a.map_x - b.map_x, a.map_y - b.map_y)
    return max(1, min(MOST_DRIVE, math.ceil(km / KM_A_QUARTER)))


def crews_of(rows: Rows, names: Mapping[int, str]) -> tuple[core.Crew, ...]:
    """Active crews that can do anything here, with their learned speeds."""
    lent = _lent(rows)
    first = next(iter(names))
    found = []
    for crew in rows.crews:
        skills = frozenset(rows.slots[c] for c in crew.skills if c in rows.slots)
        if not skills:
            continue
        at = rows.last_at.get(crew.pk) or crew.home_id or first
        found.append(
            core.Crew(
                id=crew.name,
                phases=skills,
                speed=rows.learned.speed(crew.pk, crew.speed),
                days_off=_days_off(rows, crew, lent),
                at=names[at],
                free_from_quarter=rows.calendar.gone,
            )
        )
    return tuple(found)


def _days_off(rows: Rows, crew: Crew, lent: Mapping[int, set[date]]) -> frozenset[int]:
    calendar = rows.calendar
    off = {row.date for row in crew.days_off.all()} | lent.get(crew.pk, set())
    days = {calendar.number_of(day) for day in off if day.weekday() < 5}
    days |= {n for n, day in enumerate(calendar.days) if is_holiday(day)}
    return frozenset(day for day in days if 0 <= day < 2 * LISTED)


def _lent(rows: Rows) -> dict[int, set[date]]:
    """Crews lent as helpers: that day they do nothing else."""
    lent: dict[int, set[date]] = {}
    for facts in rows.begun.values():
        for fact in facts:
            if fact.kind == "helper_lent":
                lent.setdefault(fact.payload["crew"], set()).add(lent_on(fact))
    return lent


def lent_on(fact: Fact) -> date:
    """The day for which a helper was lent; unsaid, the day on which it was said."""
    on = fact.payload.get("on")
    return date.fromisoformat(on) if on else fact.happened_at.date()
