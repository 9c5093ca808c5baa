"""Compiling, or loading from the cache, everything the solver needs."""

from datetime import date, timedelta

from .engine.insertion import free_pins, put_in
from .plan import Plan
from .problem import (
    Crew,
    Jurisdiction,
    Lot,
    LotPhase,
    Pin,
    Problem,
    Subdivision,
    Told,
    Weights,
)
from .solve import Effort, solve
from .state import Order, blank, load
from .tables import fixed_tables


def warm() -> Plan:
    """Run every compiled function once on a tiny problem; for a worker's start."""
    problem = tiny_problem()
    plan = solve(problem, Effort(iterations=2000))
    fixed = fixed_tables(problem)
    live = blank(fixed)
    load(fixed, live, Order(list(range(8)), [0] * 8, [0] * 8), [0, 0])
    put_in(fixed, live, 7)
    free_pins(fixed, live)
    return solve(problem, Effort(iterations=2000), start=plan)


def tiny_problem() -> Problem:
    """Two lots, two crews, one pin and one published job."""
    monday = date(2026, 1, 5)
    days = [monday + timedelta(days=number) for number in range(12)]
    crew = frozenset(("rough", "topout"))
    return Problem(
        name="warm",
        working_days=tuple(day for day in days if day.weekday() < 5),
        weekday_of_day0=0,
        jurisdictions=(
            Jurisdiction("city", frozenset((0, 2, 4)), frozenset(), 1, 2, 1),
        ),
        subdivisions=(Subdivision("east", "city"), Subdivision("west", "city")),
        move_quarters=((0, 1), (1, 0)),
        crews=(
            Crew("one", crew, 1.0, frozenset((3,)), "east", 0),
            Crew("two", crew, 1.0, frozenset(), "west", 0),
        ),
        lots=tuple(
            Lot(
                f"lot-{number}",
                "east" if number % 2 else "west",
                (
                    LotPhase("rough", "open", 2, 0, 3, 1, 1, 0.9),
                    LotPhase("topout", "open", 3, 2, 6, 2, 0, 0.9),
                ),
            )
            for number in range(4)
        ),
        rain_days=frozenset((1,)),
        rain_exposed_phases=frozenset(("rough",)),
        pins=(Pin("lot-0", "rough", "one", 0),),
        published=(Told("lot-1", "rough", "two", 4),),
        weights=Weights(),
    )
