"""Writing a problem as plumb-instance/1, so that reading gives it back."""

from dataclasses import asdict
from typing import Any

from .problem import PHASES, QUARTERS, LotPhase, Problem
from .problem_json import FORMAT


def write_problem(problem: Problem) -> dict[str, Any]:
    """JSON of the problem, ready for the judge or a file."""
    return {
        "format": FORMAT,
        "name": problem.name,
        "quarters_per_day": QUARTERS,
        "working_days": [day.isoformat() for day in problem.working_days],
        "weekday_of_day0": problem.weekday_of_day0,
        "jurisdictions": [
            {
                **asdict(one),
                "weekdays": sorted(one.weekdays),
                "closed_days": sorted(one.closed_days),
            }
            for one in problem.jurisdictions
        ],
        "subdivisions": [asdict(one) for one in problem.subdivisions],
        "move_quarters": [list(row) for row in problem.move_quarters],
        "crews": [
            {
                **asdict(one),
                "phases": [phase for phase in PHASES if phase in one.phases],
                "days_off": sorted(one.days_off),
            }
            for one in problem.crews
        ],
        "lots": [
            {
                "id": lot.id,
                "subdivision": lot.subdivision,
                "phases": [_phase(phase) for phase in lot.phases],
            }
            for lot in problem.lots
        ],
        "rain_days": sorted(problem.rain_days),
        "rain_exposed_phases": sorted(problem.rain_exposed_phases),
        "pins": [dict(vars(pin)) for pin in problem.pins],
        "published": [dict(vars(told)) for told in problem.published],
        "weights": asdict(problem.weights),
    }


def _phase(phase: LotPhase) -> dict[str, Any]:
    record = dict(vars(phase))
    if float(phase.crew_quarters).is_integer():
        record["crew_quarters"] = int(phase.crew_quarters)
    if phase.inspected:
        del record["inspected"]
    return record
