"""What is fixed, told or past on jobs: the published plan, pins, begun work."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from inspections.standing import LotStanding
from phases.models import LotPhase
from tracker.planning.core import problem as core
from tracker.planning.core.marks_past import Past
from tracker.planning.core.pins import pin_conflicts, why_impossible

from .keys import Keys, Name
from .lots import DONE, Told
from .rows import Rows


def published_of(
    problem: core.Problem, keys: Keys, told: Mapping[str, Told], rows: Rows
) -> tuple[core.Told, ...]:
    """What crews were told of work that has not begun; days gone by bind nobody."""
    crews = {pk: name for name, pk in keys.crews.items()}
    able = {crew.id: crew.phases for crew in problem.crews}
    found = []
    for job in problem.jobs:
        row = row_of(told, job.name)
        crew = crews.get(row.crew_id or 0)
        if not job.is_open or row.planned_start is None or row.work == "working":
            continue
        day = rows.calendar.number_of(row.planned_start)
        if crew in able and job.phase.phase in able[crew] and day >= 0:
            start = core.QUARTERS * day + 2 * row.planned_half
            found.append(core.Told(*job.name, crew, start))
    return tuple(found)


def row_of(told: Mapping[str, Told], name: Name) -> Any:
    one = told[name[0]]
    place = [phase.phase for phase in one.phases].index(name[1])
    return one.rows[place]


def pinned(
    problem: core.Problem,
    keys: Keys,
    told: Mapping[str, Told],
    rows: Rows,
    notes: list[dict[str, Any]],
) -> tuple[core.Problem, frozenset[Name]]:
    """People's pins, and begun work kept with its crew where that can be.

    Of begun work a crew is held to the piece it began last; what contradicts a pin of a
    person gives way to it.
    """
    crews = {pk: name for name, pk in keys.crews.items()}
    names = {pk: name for name, pk in keys.phases.items()}
    pins = []
    for row in rows.pins:
        name = names.get(row.lot_phase_id)
        if name is None or name not in problem.job_index or row.crew_id not in crews:
            continue
        if rows.calendar.number_of(row.day) < 0:
            notes.append({"code": "pin_past", "lot": name[0], "phase": name[1]})
            continue
        day = rows.calendar.number_of(row.day)
        pins.append(core.Pin(*name, crews[row.crew_id], day))
    taken = {(pin.lot, pin.phase) for pin in pins}
    problem = replace(problem, pins=tuple(pins))
    begun: dict[str, tuple[Any, core.Pin]] = {}
    every = set()
    for label, one in told.items():
        for slot in one.begun:
            row = row_of(told, (label, slot))
            every.add((label, slot))
            pin = core.Pin(label, slot, crews.get(row.crew_id or 0, ""), 0)
            if pin.crew not in problem.crew_index or (label, slot) in taken:
                continue
            if (label, slot) not in problem.job_index or why_impossible(problem, pin):
                continue
            if pin.crew not in begun or begun[pin.crew][0] < (row.work_on, row.pk):
                begun[pin.crew] = ((row.work_on, row.pk), pin)
    carried = tuple(pin for _, pin in begun.values())
    both = replace(problem, pins=(*problem.pins, *carried))
    fits = not pin_conflicts(both) or pin_conflicts(problem)
    return (both if fits else problem), frozenset(every)


def past_of(
    problem: core.Problem,
    told: Mapping[str, Told],
    labelled: Mapping[str, LotStanding],
    rows: Rows,
) -> dict[Name, Past]:
    """What happened to each job before day 0."""
    found = {}
    for job in problem.jobs:
        row, standing = row_of(told, job.name), labelled[job.lot.id]
        found[job.name] = _past(row, standing, rows)
    return {name: past for name, past in found.items() if past != Past()}


def _past(row: LotPhase, standing: LotStanding, rows: Rows) -> Past:
    def gone(day: date | None) -> int | None:
        """Its number; None for a day that is not past."""
        number = 0 if day is None else rows.calendar.number_of(day)
        return number if number < 0 else None

    done, failed = row.work in DONE, row.inspection == "failed"
    started = row.work == "working"
    began = [
        rows.local(fact.happened_at, standing.lot).date()
        for fact in rows.begun.get(row.pk, ())
        if fact.kind == "started"
    ]
    sent = None if started or done else row.planned_start
    counts = [int(reason.get("count", 1)) for reason in row.call_in_missing]
    return Past(
        ready=gone(_ready_on(row, standing, rows)),
        told=gone(sent),
        begun=gone(min(began, default=row.work_on if started else None)),
        done=gone(row.work_on) if done else None,
        failed=gone(row.inspection_on) if failed else None,
        missing=(row.open_corrections if failed else sum(counts)) if done else 0,
        called=done and row.inspection not in ("not_called", "failed"),
    )


def _ready_on(row: LotPhase, standing: LotStanding, rows: Rows) -> date | None:
    """The day from which it stood ready: said so, and the phase before had passed.

    Parts said early are taken for the builder's day. None while anything is unsaid.
    """
    said = rows.said.get(row.pk, {}).values()
    if not said or not all(fact.payload.get("ready") for fact in said):
        return None
    if row.work == "not_ready" or row.work_reason.get("parts"):
        return None
    days = [rows.local(fact.happened_at, standing.lot).date() for fact in said]
    before = [one for one in standing.phases if one.position < row.position]
    days += [one.passed_on for one in before[-1:] if one.passed_on]
    if row.ready_date is not None and row.ready_date <= rows.now.date():
        days.append(row.ready_date)
    return max(days)
