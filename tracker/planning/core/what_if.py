"""A problem changed in one thing, by the code and parameters of that change.

Codes: one_more_crew (phase), day_off_worked (crew, day), overtime_day (lot, phase),
no_pin (lot, phase), no_pins (but: [[lot, phase]]), builder_sooner (lot),
one_more_slot (office), every_weekday (office). Days are working days.
"""

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from .errors import BadProblem
from .problem import PHASES, QUARTERS, Crew, Jurisdiction, Lot, Problem

Params = Mapping[str, Any]


def changed(problem: Problem, code: str, params: Params) -> Problem:
    """The problem as it would be; BadProblem where it names what is not there."""
    if code not in CHANGES:
        raise BadProblem(f"There is no such change: {code}.")
    try:
        return CHANGES[code](problem, params)
    except KeyError as error:
        raise BadProblem(f"{code}: {error.args[0]} is not in this problem.") from None


def holidays(problem: Problem) -> frozenset[int]:
    """Days on which every crew is off."""
    if not problem.crews:
        return frozenset()
    return frozenset.intersection(*(crew.days_off for crew in problem.crews))


def extra_crew(phase: str) -> str:
    """The name of the crew that there would be."""
    return f"one more for {phase}"


def _one_more_crew(problem: Problem, params: Params) -> Problem:
    phase = params["phase"]
    if phase not in PHASES:
        raise KeyError(phase)
    places = Counter(
        job.lot.subdivision for job in problem.jobs if job.phase.phase == phase
    )
    crew = Crew(
        id=extra_crew(phase),
        phases=frozenset((phase,)),
        speed=1.0,
        days_off=holidays(problem),
        at=places.most_common(1)[0][0] if places else problem.subdivisions[0].id,
        free_from_quarter=0,
    )
    return replace(problem, crews=(*problem.crews, crew))


def _day_off_worked(problem: Problem, params: Params) -> Problem:
    place = problem.crew_index[params["crew"]]
    crew = problem.crews[place]
    if params["day"] not in crew.days_off:
        raise KeyError(f"day {params['day']}")
    more = replace(crew, days_off=crew.days_off - {params["day"]})
    crews = (*problem.crews[:place], more, *problem.crews[place + 1 :])
    return replace(problem, crews=crews)


def _overtime_day(problem: Problem, params: Params) -> Problem:
    lot = _lot(problem, params["lot"])
    if (lot.id, params["phase"]) not in problem.job_index:
        raise KeyError(params["phase"])
    shorter = tuple(
        replace(one, crew_quarters=max(0, one.crew_quarters - QUARTERS))
        if one.phase == params["phase"]
        else one
        for one in lot.phases
    )
    return _with_lot(problem, replace(lot, phases=shorter))


def _no_pin(problem: Problem, params: Params) -> Problem:
    name = (params["lot"], params["phase"])
    if name not in problem.pin_of:
        raise KeyError(f"a pin of lot {name[0]} {name[1]}")
    rest = tuple(pin for pin in problem.pins if (pin.lot, pin.phase) != name)
    return replace(problem, pins=rest)


def _no_pins(problem: Problem, params: Params) -> Problem:
    but = {tuple(name) for name in params.get("but", ())}
    kept = tuple(pin for pin in problem.pins if (pin.lot, pin.phase) in but)
    return replace(problem, pins=kept)


def _builder_sooner(problem: Problem, params: Params) -> Problem:
    lot = _lot(problem, params["lot"])
    phases = tuple(
        replace(
            phase,
            ready_day=phase.ready_day - 1,
            builder_days_after_pass=max(0, phase.builder_days_after_pass - 1),
        )
        for phase in lot.phases
    )
    return _with_lot(problem, replace(lot, phases=phases))


def _lot(problem: Problem, name: str) -> Lot:
    found = next((lot for lot in problem.lots if lot.id == name), None)
    if found is None:
        raise KeyError(f"lot {name}")
    return found


def _with_lot(problem: Problem, new: Lot) -> Problem:
    lots = tuple(new if lot.id == new.id else lot for lot in problem.lots)
    return replace(problem, lots=lots)


def _one_more_slot(problem: Problem, params: Params) -> Problem:
    one = problem.jurisdictions[problem.jurisdiction_index[params["office"]]]
    return _with_office(problem, replace(one, daily_cap=one.daily_cap + 1))


def _every_weekday(problem: Problem, params: Params) -> Problem:
    one = problem.jurisdictions[problem.jurisdiction_index[params["office"]]]
    return _with_office(problem, replace(one, weekdays=frozenset(range(5))))


def _with_office(problem: Problem, new: Jurisdiction) -> Problem:
    rules = tuple(new if one.id == new.id else one for one in problem.jurisdictions)
    return replace(problem, jurisdictions=rules)


CHANGES: Mapping[str, Callable[[Problem, Params], Problem]] = {
    "one_more_crew": _one_more_crew,
    "day_off_worked": _day_off_worked,
    "overtime_day": _overtime_day,
    "no_pin": _no_pin,
    "no_pins": _no_pins,
    "builder_sooner": _builder_sooner,
    "one_more_slot": _one_more_slot,
    "every_weekday": _every_weekday,
}
