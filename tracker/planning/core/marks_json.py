"""Reading what is fixed or told on jobs of a problem: pins and the published plan."""

from typing import Any

from . import reading as r
from .problem import Pin, Problem, Told

Phases = dict[str, set[str]]


def _phases(problem: Problem) -> Phases:
    return {lot.id: {phase.phase for phase in lot.phases} for lot in problem.lots}


def _lot_keys(
    one: r.Raw, place: str, phases: Phases, crews: dict[str, int]
) -> tuple[str, str, str]:
    lot = r.one_of(one, "lot", place, phases, "lot")
    phase = r.one_of(one, "phase", f"{place} of lot {lot}", phases[lot], "phase")
    crew = r.one_of(one, "crew", f"{place} of lot {lot} {phase}", crews, "crew")
    return lot, phase, crew


def read_pins(raw: Any, problem: Problem) -> tuple[Pin, ...]:
    found, phases = [], _phases(problem)
    for one in r.items({"pins": raw}, "pins", "problem"):
        one = r.record(one, "pin", ("lot", "phase", "crew", "day"), ())
        lot, phase, crew = _lot_keys(one, "pin", phases, problem.crew_index)
        day = r.whole(one, "day", f"pin of lot {lot} {phase}")
        found.append(Pin(lot, phase, crew, day))
    return tuple(found)


def read_published(raw: Any, problem: Problem) -> tuple[Told, ...]:
    found, phases = [], _phases(problem)
    more = ("end_quarter", "inspection_day")
    for one in r.items({"published": raw}, "published", "problem"):
        one = r.record(
            one, "published", ("lot", "phase", "crew", "start_quarter"), more
        )
        lot, phase, crew = _lot_keys(one, "published", phases, problem.crew_index)
        start = r.whole(one, "start_quarter", f"published lot {lot} {phase}", None)
        found.append(Told(lot, phase, crew, start))
    r.unique((f"lot {one.lot} {one.phase}" for one in found), "published")
    return tuple(found)
