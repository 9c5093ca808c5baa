"""What must hold for optimal plans, whatever the problem (metamorphic relations).

All scores here are proven: small problems whose every order, crew and hold is listed.
"""

import copy
from collections.abc import Callable
from datetime import date
from typing import Any

import pytest

from tests.outside.test_planning_exhaustive import best_by_listing, small
from tests.planning.problems import crew, random_problem, working_days
from tracker.planning.core.judge import judge
from tracker.planning.core.plan import write_plan
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.solve import Effort, solve

Raw = dict[str, Any]
SEEDS = range(6)


def best(raw: Raw) -> int:
    return best_by_listing(read_problem(raw))


def all_phases(raw: Raw) -> list[Raw]:
    return [work for one in raw["lots"] for work in one["phases"]]


def one_more_crew(raw: Raw) -> None:
    raw["crews"].append(crew("more", phases=["rough", "topout"]))


def one_more_skill(raw: Raw) -> None:
    raw["crews"][1]["phases"] = raw["crews"][0]["phases"]


def no_days_off(raw: Raw) -> None:
    for one in raw["crews"]:
        one["days_off"] = []


def no_rain(raw: Raw) -> None:
    raw["rain_days"] = []


def larger_caps(raw: Raw) -> None:
    for one in raw["jurisdictions"]:
        one["daily_cap"] += 1


def inspected_every_day(raw: Raw) -> None:
    for one in raw["jurisdictions"]:
        one.update(weekdays=[0, 1, 2, 3, 4], closed_days=[])


def shorter_lead(raw: Raw) -> None:
    for one in raw["jurisdictions"]:
        one["lead_days"] = 0


def later_need(raw: Raw) -> None:
    for work in all_phases(raw):
        work["need_by_day"] += 1


def earlier_ready(raw: Raw) -> None:
    for work in all_phases(raw):
        work["ready_day"] -= 2


EASIER = [
    one_more_crew,
    one_more_skill,
    no_days_off,
    no_rain,
    larger_caps,
    inspected_every_day,
    shorter_lead,
    later_need,
    earlier_ready,
]


@pytest.mark.parametrize("ease", EASIER)
@pytest.mark.parametrize("seed", SEEDS)
def test_what_makes_work_easier_never_makes_the_optimum_worse(
    ease: Callable[[Raw], None], seed: int
) -> None:
    raw = small(seed)
    eased = copy.deepcopy(raw)

    ease(eased)

    assert best(eased) <= best(raw)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_pin_never_makes_the_optimum_better(seed: int) -> None:
    raw = small(seed)
    read = read_problem(raw)
    plan = solve(read, Effort(iterations=2000))
    worked = [job for job in plan.jobs if job.crew is not None]
    first = worked[0]
    pinned = copy.deepcopy(raw)
    pinned["pins"] = [
        {
            "lot": first.lot,
            "phase": first.phase,
            "crew": first.crew,
            "day": (first.start_quarter or 0) // 4,
        }
    ]
    later = copy.deepcopy(pinned)
    later["pins"][0]["day"] += 12

    free = best(raw)
    assert solve(read_problem(pinned), Effort(iterations=2000)).score.total >= free
    assert solve(read_problem(later), Effort(iterations=2000)).score.total >= free


def renamed(raw: Raw) -> Raw:
    """The same problem under other names, lots and crews in another order."""
    text = copy.deepcopy(raw)
    lots = {one["id"]: f"z{9 - n}" for n, one in enumerate(raw["lots"])}
    crews = {one["id"]: f"y{9 - n}" for n, one in enumerate(raw["crews"])}
    for one in text["lots"]:
        one["id"] = lots[one["id"]]
    for one in text["crews"]:
        one["id"] = crews[one["id"]]
    for told in text["published"]:
        told.update(lot=lots[told["lot"]], crew=crews[told["crew"]])
    text["lots"].reverse()
    text["crews"].reverse()
    return text


@pytest.mark.parametrize("seed", SEEDS)
def test_renaming_and_shuffling_change_no_optimum(seed: int) -> None:
    raw = small(seed)
    other = renamed(raw)

    assert best(other) == best(raw)
    plan = solve(read_problem(other), Effort(iterations=3000))
    assert plan.score.total == best(raw)


def a_week_later(raw: Raw) -> Raw:
    """Every day number five higher, the list starting on the same Monday."""
    moved = copy.deepcopy(raw)
    for one in moved["jurisdictions"]:
        one["closed_days"] = [day + 5 for day in one["closed_days"]]
    for one in moved["crews"]:
        one["days_off"] = [day + 5 for day in one["days_off"]]
        one["free_from_quarter"] += 20
    for work in all_phases(moved):
        work["ready_day"] += 5
        work["need_by_day"] += 5
    for told in moved["published"]:
        told["start_quarter"] += 20
    moved["rain_days"] = [day + 5 for day in moved["rain_days"]]
    return moved


@pytest.mark.parametrize("seed", range(12))
def test_all_dates_a_week_later_shift_the_plan_by_a_week(seed: int) -> None:
    raw = random_problem(seed, lots=9, crews=3)
    for one in raw["lots"]:
        # Waiting inspections are called today whatever the dates say.
        for work in one["phases"]:
            work["status"] = "open"
    for one in raw["crews"]:
        # Behind the first quarters of the day both start alike.
        one["free_from_quarter"] = 0
    effort = Effort(iterations=3000)

    now = solve(read_problem(raw), effort)
    then = solve(read_problem(a_week_later(raw)), effort)

    shifted = [
        (
            job.crew,
            (job.start_quarter or 0) + 20,
            job.end_quarter + 20,
            None if job.inspection_day is None else job.inspection_day + 5,
        )
        for job in now.jobs
    ]
    assert [
        (job.crew, job.start_quarter, job.end_quarter, job.inspection_day)
        for job in then.jobs
    ] == shifted


def test_the_calendar_a_week_later_changes_no_plan() -> None:
    raw = random_problem(1, lots=9, crews=3)
    later = {**raw, "working_days": working_days(30, date(2026, 1, 12))}
    effort = Effort(iterations=2000)

    assert solve(read_problem(raw), effort) == solve(read_problem(later), effort)


@pytest.mark.parametrize("seed", range(100, 130))
def test_every_plan_ever_made_passes_the_judge(seed: int) -> None:
    raw = random_problem(seed, lots=12, crews=4)
    read = read_problem(raw)
    plan = solve(read, Effort(iterations=800, seed=seed))
    hit = copy.deepcopy(raw)
    hit["rain_days"].append(0)
    hit["crews"][0]["days_off"] += [0, 1]
    again = solve(read_problem(hit), Effort(iterations=800), start=plan)

    for made, found in ((raw, plan), (hit, again)):
        verdict = judge(made, write_plan(found))
        assert (verdict.breaches, verdict.score) == ((), found.score.total)
