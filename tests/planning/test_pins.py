from typing import Any

import pytest

from tests.planning.problems import city, crew, lot, phase, problem
from tracker.planning.core.english import said_pin
from tracker.planning.core.pins import pin_conflicts
from tracker.planning.core.problem_json import read_problem


def pin(name: str, work: str, who: str, day: int) -> dict[str, Any]:
    return {"lot": name, "phase": work, "crew": who, "day": day}


def conflicts(pins: list[dict[str, Any]], **over: Any) -> list[str]:
    base = {
        "crews": [crew("A", days_off=[4]), crew("B", phases=["rough"], at="west")],
        "lots": [
            lot("E1", phase("rough", ready_day=1), phase("topout", ready_day=3)),
            lot("W1", phase("rough"), phase("topout"), place="west"),
            lot("X1", phase("rough", status="awaiting_inspection"), phase("topout")),
        ],
        "jurisdictions": [city()],
        "rain_days": [2],
        "rain_exposed_phases": ["rough"],
    }
    found = pin_conflicts(read_problem(problem(**{**base, **over, "pins": pins})))
    return [said_pin(fact) for fact in found]


ALONE = [
    (pin("X1", "rough", "A", 1), "the work is done already"),
    (pin("E1", "topout", "B", 9), "crew B is not qualified for topout"),
    (pin("E1", "rough", "A", 0), "the lot is ready on day 1 only"),
    (pin("E1", "topout", "A", 4), "crew A is off on day 4"),
    (pin("W1", "rough", "A", 2), "crew A is rained off on day 2"),
]


@pytest.mark.parametrize(("one", "reason"), ALONE)
def test_a_pin_that_cannot_be_kept_alone_says_why(
    one: dict[str, Any], reason: str
) -> None:
    (said,) = conflicts([one])

    assert reason in said
    assert f"lot {one['lot']} {one['phase']}" in said


def test_a_crew_that_is_busy_from_before_cannot_keep_a_pin() -> None:
    (said,) = conflicts(
        [pin("W1", "topout", "A", 5)], crews=[crew("A", free_from_quarter=24)]
    )

    assert "crew A is free from quarter 24 only" in said


PAIRS = [
    (pin("E1", "rough", "A", 5), pin("W1", "rough", "A", 5)),
    (pin("E1", "topout", "A", 8), pin("E1", "rough", "A", 6)),
    (pin("E1", "rough", "A", 5), pin("E1", "rough", "B", 5)),
]


@pytest.mark.parametrize("pair", PAIRS)
def test_two_pins_that_contradict_are_named_both(
    pair: tuple[dict[str, Any], dict[str, Any]],
) -> None:
    (said,) = conflicts(list(pair))

    for one in pair:
        assert f"lot {one['lot']} {one['phase']} on crew {one['crew']}" in said
    assert "contradicts" in said


def test_a_pin_ahead_of_an_unpinned_phase_names_that_phase() -> None:
    (said,) = conflicts([pin("W1", "topout", "A", 3)])

    assert "contradicts lot W1 rough: it opens the gate on day 5" in said


def test_a_pin_behind_one_that_cannot_be_kept_is_still_looked_at() -> None:
    pins = [pin("W1", "rough", "B", 3), pin("W1", "topout", "A", 9)]
    crews = [crew("A"), crew("B", phases=["trim"])]

    (said,) = conflicts(pins, crews=crews)

    assert "crew B is not qualified for rough" in said


def test_pins_that_can_be_kept_together_are_no_conflict() -> None:
    pins = [
        pin("E1", "rough", "A", 1),
        pin("E1", "topout", "A", 9),
        pin("W1", "rough", "B", 1),
    ]

    assert conflicts(pins) == []
