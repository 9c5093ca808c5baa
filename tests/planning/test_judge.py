"""Each kind of breach is planted in a plan without one; the judge finds it."""

from collections.abc import Callable
from typing import Any

import pytest

from tests.planning.problems import city, crew, lot, phase, problem
from tracker.planning.core.judge import judge

Raw = dict[str, Any]


def case() -> tuple[Raw, Raw]:
    """A problem and a plan without a breach."""
    made = problem(
        lots=[
            lot("E1", phase("rough", ready_day=1), phase("topout")),
            lot("E2", phase("rough")),
            lot("W1", phase("rough", status="awaiting_inspection"), place="west"),
            lot("W2", phase("trim", inspected=False), place="west"),
        ],
        crews=[crew("A", days_off=[4]), crew("B", at="west", phases=["trim"])],
        jurisdictions=[city(daily_cap=1, closed_days=[6])],
        rain_days=[3],
        rain_exposed_phases=["rough"],
        pins=[{"lot": "E2", "phase": "rough", "crew": "A", "day": 2}],
    )
    rows = [
        ("E1", "rough", "A", 4, 8, 3),
        ("E1", "topout", "A", 28, 32, 9),
        ("E2", "rough", "A", 8, 12, 4),
        ("W1", "rough", None, None, 0, 1),
        ("W2", "trim", "B", 0, 4, None),
    ]
    keys = ("lot", "phase", "crew", "start_quarter", "end_quarter", "inspection_day")
    jobs = [dict(zip(keys, row, strict=True)) for row in rows]
    return made, {"format": "plumb-plan/1", "instance": "two lots", "jobs": jobs}


def test_a_plan_that_keeps_every_rule_has_no_breach_and_a_price() -> None:
    verdict = judge(*case())

    assert (verdict.breaches, verdict.score) == ((), 0)


def row(plan: Raw, place: int, **over: Any) -> None:
    plan["jobs"][place].update(over)


def shift(plan: Raw, place: int, start: int) -> None:
    takes = plan["jobs"][place]["end_quarter"] - plan["jobs"][place]["start_quarter"]
    row(plan, place, start_quarter=start, end_quarter=start + takes)


PLANTED: dict[str, Callable[[Raw, Raw], object]] = {
    "missing_job": lambda made, plan: plan["jobs"].pop(1),
    "double_job": lambda made, plan: plan["jobs"].append(plan["jobs"][0]),
    "unknown_job": lambda made, plan: row(plan, 0, lot="E9"),
    "unreadable": lambda made, plan: plan["jobs"].append(3),
    "wrong_format": lambda made, plan: plan.update(format="plumb-plan/2"),
    "wrong_instance": lambda made, plan: plan.update(instance="other"),
    "no_inspection": lambda made, plan: row(plan, 0, inspection_day=None),
    "needless_inspection": lambda made, plan: row(plan, 4, inspection_day=2),
    "work_done_already": lambda made, plan: row(plan, 3, crew="A"),
    "unknown_crew": lambda made, plan: row(plan, 0, crew="Z"),
    "no_dates": lambda made, plan: row(plan, 0, start_quarter=4.5),
    "not_qualified": lambda made, plan: row(plan, 4, crew="A"),
    "wrong_length": lambda made, plan: row(plan, 1, end_quarter=33),
    "crew_not_free": lambda made, plan: made["crews"][1].update(free_from_quarter=1),
    "day_off": lambda made, plan: made["crews"][0]["days_off"].append(7),
    "rain": lambda made, plan: made["rain_days"].append(1),
    "overlap": lambda made, plan: shift(plan, 2, 7),
    "before_ready": lambda made, plan: made["lots"][1]["phases"][0].update(ready_day=3),
    "before_gate": lambda made, plan: shift(plan, 1, 20),
    "no_inspector": lambda made, plan: row(plan, 1, inspection_day=6),
    "inspected_too_early": lambda made, plan: row(plan, 1, inspection_day=8),
    "over_cap": lambda made, plan: row(plan, 2, inspection_day=3),
    "pin_crew": lambda made, plan: made["pins"][0].update(crew="B"),
    "pin_day": lambda made, plan: made["pins"][0].update(day=3),
    "no_time_to_drive": lambda made, plan: made["lots"][1].update(subdivision="west"),
}


@pytest.mark.parametrize("code", PLANTED)
def test_a_planted_breach_is_found_with_its_code(code: str) -> None:
    made, plan = case()
    if code == "not_qualified":
        made["crews"][0]["phases"] = ["rough", "topout"]
    if code == "no_time_to_drive":
        # E1's work and E2's on one day, in two subdivisions.
        made["lots"][0]["phases"][0]["crew_quarters"] = 2
        made["pins"] = []
        row(plan, 0, end_quarter=6)
        shift(plan, 2, 6)

    PLANTED[code](made, plan)

    assert code in {breach.code for breach in judge(made, plan).breaches}


def test_a_breach_names_the_lot_and_says_what_is_wrong() -> None:
    made, plan = case()
    shift(plan, 1, 20)

    found = judge(made, plan).breaches

    assert [str(breach) for breach in found] == [
        "before_gate: lot E1 topout: rough opens it on day 6."
    ]
    assert found[0].params == {"before": "rough", "day": 6}


def test_every_part_of_the_score_is_priced() -> None:
    made, plan = case()
    made["published"] = [
        {"lot": "E1", "phase": "topout", "crew": "B", "start_quarter": 24}
    ]
    made["lots"][0]["phases"][1].update(need_by_day=7, priority=3)
    made["crews"][0]["at"] = "west"

    # 3 x 2 days late, one move to the first job, crew and day changed.
    assert judge(made, plan).score == 10 * 6 + 8 + 12 + 6


@pytest.mark.parametrize(
    ("over", "code"),
    [
        ({"crew": []}, "unknown_crew"),
        ({"crew": {"id": "A"}}, "unknown_crew"),
        ({"start_quarter": True}, "no_dates"),
        ({"end_quarter": 10**30}, "wrong_length"),
        ({"inspection_day": -(10**30)}, "inspected_too_early"),
        ({"lot": ["E1"]}, "unknown_job"),
    ],
)
def test_a_hostile_entry_is_a_breach_and_takes_no_time(over: Raw, code: str) -> None:
    made, plan = case()
    row(plan, 0, **over)

    assert code in {breach.code for breach in judge(made, plan).breaches}


def test_a_plan_that_is_no_object_is_a_breach_not_a_crash() -> None:
    for plan in (None, [], "plan", {"jobs": None}):
        assert judge(case()[0], plan).breaches[0].code == "unreadable"
