"""The problem of today, with the keys that lead back to our rows."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from inspections.standing import LotStanding
from tracker.planning.core import problem as core
from tracker.planning.core.season import Season
from tracker.sites.models import InspectionKind, Lot

from .calendar import Calendar
from .crews import crews_of, drives, places_of
from .keys import Keys, Name, Visit
from .labels import label_of
from .lines import lines_of
from .lots import Told, tell_lot
from .marks import past_of, pinned, published_of
from .rows import Rows, load_rows


@dataclass(frozen=True)
class Joined:
    problem: core.Problem
    keys: Keys
    calendar: Calendar
    notes: tuple[Mapping[str, Any], ...]
    visits: Mapping[Name, Visit]
    booked: Mapping[int, Mapping[Any, int]]
    season: Season


def problem_of(*, now: datetime, name: str = "look-ahead") -> Joined:
    """The problem as it stands at `now`."""
    rows = load_rows(now=now)
    lines, ids = lines_of(rows)
    names, places = places_of(rows, ids)
    labelled = _labels(rows, names)
    told = {
        label: tell_lot(rows, standing, lines[standing.lot.subdivision.jurisdiction_id])
        for label, standing in labelled.items()
    }
    notes = _notes(told, labelled)
    bare = core.Problem(
        name=name,
        working_days=rows.calendar.days,
        weekday_of_day0=rows.calendar.day0.weekday(),
        jurisdictions=tuple({one.line.id: one.line for one in lines.values()}.values()),
        subdivisions=places,
        move_quarters=drives(rows.places),
        crews=crews_of(rows, names) if places else (),
        lots=(),
        rain_days=_rain(rows),
        rain_exposed_phases=frozenset(
            rows.slots[kind.code]
            for kind in rows.kinds
            if kind.rain_exposed and kind.code in rows.slots
        ),
        pins=(),
        published=(),
        weights=core.Weights(**rows.rules.weights),
    )
    lots = _lots(bare, told, labelled, names, notes)
    problem = replace(bare, lots=lots)
    keys = _keys(problem, told, labelled, rows)
    problem = replace(problem, published=published_of(problem, keys, told, rows))
    problem, begun = pinned(problem, keys, told, rows, notes)
    past = past_of(problem, told, labelled, rows)
    return Joined(
        problem=problem,
        keys=replace(keys, begun=begun, past=past),
        calendar=rows.calendar,
        notes=tuple(notes),
        visits=_visits(problem, told, labelled),
        booked=_booked(rows),
        season=_season(problem, told, labelled, rows),
    )


def _season(
    problem: core.Problem,
    told: Mapping[str, Told],
    labelled: Mapping[str, LotStanding],
    rows: Rows,
) -> Season:
    """What is drawn: as learned, each lot by its plan, and visits not heard of yet."""
    season = rows.learned.season(
        {name: labelled[name[0]].lot.plan_id for name in problem.job_index}
    )
    visits = {
        (lot.id, phase): day
        for lot in problem.lots
        for phase, day in told[lot.id].called_in.items()
    }
    return replace(season, called_in=visits)


def _lots(
    problem: core.Problem,
    told: Mapping[str, Told],
    labelled: Mapping[str, LotStanding],
    names: Mapping[int, str],
    notes: list[dict[str, Any]],
) -> tuple[core.Lot, ...]:
    """Lots with something left to plan or to hear."""
    able = {phase for crew in problem.crews for phase in crew.phases}
    lots = []
    for label, one in told.items():
        lot = labelled[label].lot
        phases = _with_somebody(one, able, notes, label, lot)
        if one.called_in or any(phase.status != core.PASSED for phase in phases):
            lots.append(core.Lot(label, names[lot.subdivision_id], phases))
    return tuple(lots)


def _labels(rows: Rows, names: Mapping[int, str]) -> dict[str, LotStanding]:
    """A readable name a lot, the same one each time."""
    found: dict[str, LotStanding] = {}
    for standing in rows.standings:
        lot = standing.lot
        label = label_of(lot, names[lot.subdivision_id])
        if label in found:
            label = f"{label} #{lot.pk}"
        found[label] = standing
    return found


def _notes(
    told: Mapping[str, Told], labelled: Mapping[str, LotStanding]
) -> list[dict[str, Any]]:
    return [
        {**note, "lot": label, "pk": labelled[label].lot.pk}
        for label, one in told.items()
        for note in one.notes
    ]


def _with_somebody(
    one: Told,
    able: set[str],
    notes: list[dict[str, Any]],
    label: str,
    lot: Lot,
) -> tuple[core.LotPhase, ...]:
    """Phases up to the first that no crew is qualified for."""
    kept = []
    for phase, row in zip(one.phases, one.rows, strict=True):
        if phase.status == core.OPEN and phase.phase not in able:
            behind = [later.kind.code for later in one.rows[len(kept) + 1 :]]
            notes.append(
                {
                    **{"code": "no_crew", "phase": row.kind.code, "behind": behind},
                    **{"lot": label, "pk": lot.pk},
                }
            )
            break
        kept.append(phase)
    return tuple(kept)


def _keys(
    problem: core.Problem,
    told: Mapping[str, Told],
    labelled: Mapping[str, LotStanding],
    rows: Rows,
) -> Keys:
    phases = {
        (lot.id, phase.phase): row.pk
        for lot in problem.lots
        for phase, row in zip(lot.phases, told[lot.id].rows, strict=False)
    }
    return Keys(
        lots={lot.id: labelled[lot.id].lot.pk for lot in problem.lots},
        crews={crew.name: crew.pk for crew in rows.crews},
        phases=phases,
    )


def _rain(rows: Rows) -> frozenset[int]:
    days = {rows.calendar.number_of(day) for day in rows.rain if day.weekday() < 5}
    return frozenset(day for day in days if day >= 0)


def _visits(
    problem: core.Problem,
    told: Mapping[str, Told],
    labelled: Mapping[str, LotStanding],
) -> dict[Name, Visit]:
    found = {}
    for job in problem.jobs:
        kinds: list[InspectionKind] = told[job.lot.id].visits.get(job.phase.phase, [])
        standing = labelled[job.lot.id]
        if not kinds or standing.office is None:
            continue
        codes = {kind.code for kind in kinds}
        found[job.name] = Visit(
            standing.office.record,
            standing.lot.subdivision.jurisdiction_id,
            tuple(kind.code for kind in kinds),
            {k.code: tuple(c for c in k.after if c in codes) for k in kinds},
            told[job.lot.id].extra[job.phase.phase],
        )
    return found


def _booked(rows: Rows) -> dict[int, Mapping[Any, int]]:
    return {
        standing.lot.subdivision.jurisdiction_id: standing.booked
        for standing in rows.standings
        if standing.lot.subdivision.jurisdiction_id is not None
    }
