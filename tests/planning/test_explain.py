from typing import Any

import pytest

from tests.planning.problems import city, crew, lot, phase, problem
from tracker.planning.core.english import said_day
from tracker.planning.core.explain import explain, sentences
from tracker.planning.core.plan import Plan
from tracker.planning.core.problem import Problem
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.remedies import remedies
from tracker.planning.core.solve import Effort, solve

ONE_CREW = {"crews": [crew("A")]}


def planned(**over: Any) -> tuple[Problem, Plan]:
    read = read_problem(problem(**over))
    return read, solve(read, Effort(iterations=2000))


def one_lot(**over: Any) -> list[dict[str, Any]]:
    return [lot("E1", phase("rough", **{"need_by_day": 0, **over}))]


SENTENCES = [
    (
        {"lots": one_lot(ready_day=4), "jurisdictions": [city(weekdays=[1, 3])]},
        "Lot E1 rough passes Tue 13 Jan, 6 days late: the builder's part is due"
        " Fri 9 Jan, the work ends Fri 9 Jan after the cut-off of city, city wants"
        " 1 day notice. Even with every crew free it could not pass before Tue 13"
        " Jan.",
    ),
    (
        {"lots": one_lot(), "crews": [crew("A", days_off=[0, 1])]},
        "Lot E1 rough passes Fri 9 Jan, 4 days late: crew A is off Mon 5 Jan and"
        " Tue 6 Jan, the work ends Wed 7 Jan after the cut-off of city, city wants"
        " 1 day notice. Even with every crew free it could not pass before Fri 9"
        " Jan.",
    ),
]


@pytest.mark.parametrize(("over", "said"), SENTENCES)
def test_a_late_job_is_explained_in_one_sentence(over: Any, said: str) -> None:
    assert sentences(*planned(**over)) == [said]


def test_a_gate_brings_the_reasons_of_the_phase_before() -> None:
    lots = [lot("E1", phase("rough"), phase("topout", need_by_day=1))]
    read, plan = planned(lots=lots, jurisdictions=[city(weekdays=[1, 3])])

    (why,) = explain(read, plan)

    kinds = [link.kind for link in why.links]
    assert kinds.index("visit_weekday") < kinds.index("gate")
    assert "city inspects Tue and Thu" in why.sentence
    assert "rough must have passed and the builder needs 2 days after it" in (
        why.sentence
    )


def test_a_crew_that_is_full_is_said_with_the_next_one() -> None:
    lots = [lot(f"E{i}", phase("rough", need_by_day=2)) for i in range(3)]
    crews = [crew("A"), crew("B", days_off=[0, 1, 2, 3, 4])]
    read, plan = planned(lots=lots, crews=crews)

    worst = explain(read, plan)[0]

    assert "crew A is" in worst.sentence
    assert "the next other crew, B, is free Mon 12 Jan" in worst.sentence
    assert worst.possible


def test_full_inspection_days_are_named() -> None:
    lots = [
        lot(f"E{i}", phase("rough", status="awaiting_inspection", need_by_day=1))
        for i in range(3)
    ]
    read, plan = planned(lots=lots, jurisdictions=[city(daily_cap=1)])

    said = " ".join(sentences(read, plan))

    assert "city is full on Tue 6 Jan" in said
    assert "city is full on Tue 6 Jan and Wed 7 Jan" in said


def test_a_pin_that_makes_it_late_is_named() -> None:
    pins = [{"lot": "E1", "phase": "rough", "crew": "A", "day": 6}]
    read, plan = planned(lots=one_lot(need_by_day=5), pins=pins)

    assert "it is pinned to crew A on Tue 13 Jan" in sentences(read, plan)[0]


def test_the_dearest_comes_first_and_nothing_late_is_said_so() -> None:
    lots = [
        lot("E1", phase("rough", need_by_day=0)),
        lot("E2", phase("rough", need_by_day=0, priority=3)),
    ]
    read, plan = planned(lots=lots)

    assert [why.lot for why in explain(read, plan)] == ["E2", "E1"]
    assert sentences(*planned()) == ["Nothing is late."]
    asked = explain(read, plan, [("E1", "rough")])
    assert [why.lot for why in asked] == ["E1"]


def test_days_behind_the_list_go_on_monday_to_friday() -> None:
    read = read_problem(problem())

    assert [said_day(read, day) for day in (29, 30, 34, 35)] == [
        "Fri 13 Feb",
        "Mon 16 Feb",
        "Fri 20 Feb",
        "Mon 23 Feb",
    ]


def test_remedies_are_solved_and_sorted_by_effect() -> None:
    lots = [lot(f"E{i}", phase("rough", need_by_day=2)) for i in range(6)]
    read, plan = planned(
        lots=lots,
        crews=[crew("A", days_off=[3])],
        jurisdictions=[city(weekdays=[1, 3])],
    )

    found = remedies(read, plan, Effort(iterations=2000))

    saves = [one.saves for one in found]
    assert saves == sorted(saves, reverse=True)
    assert all(save > 0 for save in saves)
    assert {one.kind for one in found} >= {"crew", "inspection"}
    assert "One more crew for rough" in {one.text for one in found}


def test_reasons_and_remedies_come_as_codes_and_numbers_too() -> None:
    crews = [crew("A", days_off=[0, 1])]
    read, plan = planned(lots=one_lot(need_by_day=3), crews=crews)

    (why,) = explain(read, plan)
    found = remedies(read, plan, Effort(iterations=500))

    assert why.facts() == {
        "lot": "E1",
        "phase": "rough",
        "pass_day": 4,
        "late": 1,
        "possible": False,
        "soonest": 4,
        "links": [
            {"kind": "crew_off", "who": "A", "days": [0, 1]},
            {"kind": "cutoff", "who": "city", "day": 2},
            {"kind": "lead", "who": "city", "number": 1},
        ],
    }
    assert [one.facts() for one in found] == [
        {
            "kind": "overtime",
            "code": code,
            "params": params,
            "saves": 10,
            "late": 1,
            "moves": 0,
        }
        for code, params in (
            ("overtime_day", {"lot": "E1", "phase": "rough"}),
            ("day_off_worked", {"crew": "A", "day": 1}),
        )
    ]
    assert [one.text for one in found] == [
        "A day of overtime on lot E1 rough",
        "Crew A works on Tue 6 Jan",
    ]


def test_what_would_not_help_is_not_named() -> None:
    read, plan = planned(lots=one_lot(), jurisdictions=[city(lead_days=1)])

    kinds = {one.kind for one in remedies(read, plan, Effort(iterations=500))}

    assert "pin" not in kinds
    assert "inspection" not in kinds
