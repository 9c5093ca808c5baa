"""Small problems for the planner's tests."""

import copy
import random
from datetime import date, timedelta
from typing import Any

PHASES = ("underground", "rough", "topout", "trim")


def working_days(number: int, first: date = date(2026, 1, 5)) -> list[str]:
    days: list[date] = []
    while len(days) < number:
        if first.weekday() < 5:
            days.append(first)
        first += timedelta(days=1)
    return [day.isoformat() for day in days]


def phase(name: str, **over: Any) -> dict[str, Any]:
    made = {
        "phase": name,
        "status": "open",
        "crew_quarters": 4,
        "ready_day": 0,
        "need_by_day": 20,
        "priority": 1,
        "builder_days_after_pass": 2,
        "pass_probability": 0.9,
    }
    return {**made, **over}


def crew(name: str, **over: Any) -> dict[str, Any]:
    made = {
        "id": name,
        "phases": list(PHASES),
        "speed": 1.0,
        "days_off": [],
        "at": "east",
        "free_from_quarter": 0,
    }
    return {**made, **over}


def lot(name: str, *phases: dict[str, Any], place: str = "east") -> dict[str, Any]:
    return {"id": name, "subdivision": place, "phases": list(phases)}


def city(**over: Any) -> dict[str, Any]:
    made = {
        "id": "city",
        "weekdays": [0, 1, 2, 3, 4],
        "closed_days": [],
        "lead_days": 1,
        "cutoff_quarter": 2,
        "daily_cap": 5,
    }
    return {**made, **over}


def problem(**over: Any) -> dict[str, Any]:
    """Two lots in two subdivisions, two crews, one city that inspects every day."""
    made = {
        "format": "plumb-instance/1",
        "name": "two lots",
        "quarters_per_day": 4,
        "working_days": working_days(30),
        "weekday_of_day0": 0,
        "jurisdictions": [city()],
        "subdivisions": [
            {"id": "east", "jurisdiction": "city"},
            {"id": "west", "jurisdiction": "city"},
        ],
        "move_quarters": [[0, 1], [1, 0]],
        "crews": [crew("A"), crew("B", at="west")],
        "lots": [
            lot("E1", phase("rough"), phase("topout", need_by_day=12)),
            lot("W1", phase("rough"), phase("topout"), place="west"),
        ],
        "rain_days": [],
        "rain_exposed_phases": ["underground"],
        "pins": [],
        "published": [],
        "weights": {"late_day": 10, "move": 8, "crew_change": 12, "day_change": 6},
    }
    return copy.deepcopy({**made, **over})


def random_problem(seed: int, lots: int = 6, crews: int = 3) -> dict[str, Any]:
    """A tight problem with holidays, rain, caps, pins and a published plan."""
    dice = random.Random(seed)
    places = ["east", "west", "north"]
    made = problem(
        name=f"random {seed}",
        jurisdictions=[
            city(
                weekdays=sorted(dice.sample(range(5), dice.randint(1, 5))),
                closed_days=[dice.randint(0, 20)],
                lead_days=dice.randint(0, 2),
                cutoff_quarter=dice.randint(0, 4),
                daily_cap=dice.randint(1, 3),
            ),
            city(id="county", daily_cap=1),
        ],
        subdivisions=[
            {"id": place, "jurisdiction": dice.choice(["city", "county"])}
            for place in places
        ],
        move_quarters=[
            [0 if a == b else dice.randint(0, 3) for b in places] for a in places
        ],
        rain_days=[dice.randint(0, 9)],
        rain_exposed_phases=["underground", "rough"],
        lots=[_random_lot(dice, number, places) for number in range(lots)],
    )
    made["crews"] = [_random_crew(dice, number, places) for number in range(crews)]
    made["crews"][0]["phases"] = list(PHASES)
    _publish(dice, made)
    return made


def _random_lot(dice: random.Random, number: int, places: list[str]) -> dict[str, Any]:
    first = dice.randint(0, 3)
    status = dice.choice(["open", "open", "awaiting_inspection"])
    phases = []
    for place, name in enumerate(PHASES[first : first + dice.randint(1, 3)]):
        inspected = (place == 0 and status != "open") or dice.random() < 0.8
        phases.append(
            phase(
                name,
                status=status if place == 0 else "open",
                crew_quarters=dice.randint(1, 9),
                ready_day=dice.randint(-2, 8),
                need_by_day=dice.randint(2, 16),
                priority=dice.randint(1, 3),
                builder_days_after_pass=dice.randint(0, 3),
                inspected=inspected,
            )
        )
    return lot(f"L{number}", *phases, place=dice.choice(places))


def _random_crew(dice: random.Random, number: int, places: list[str]) -> dict[str, Any]:
    return crew(
        f"C{number}",
        phases=dice.sample(PHASES, dice.randint(1, 4)),
        speed=dice.choice([0.8, 1.0, 1.3]),
        days_off=[dice.randint(0, 12)],
        at=dice.choice(places),
        free_from_quarter=dice.randint(0, 6),
    )


def _publish(dice: random.Random, made: dict[str, Any]) -> None:
    for one in made["lots"]:
        for work in one["phases"]:
            if work["status"] == "open" and dice.random() < 0.3:
                made["published"].append(
                    {
                        "lot": one["id"],
                        "phase": work["phase"],
                        "crew": dice.choice(made["crews"])["id"],
                        "start_quarter": dice.randint(0, 50),
                    }
                )
