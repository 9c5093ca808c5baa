import json
import random
from dataclasses import replace
from typing import Any

import pytest

from tests.planning.problems import crew, lot, phase, problem, random_problem
from tracker.planning.core.aim import Aim
from tracker.planning.core.errors import BadProblem, NoPlan
from tracker.planning.core.judge import judge
from tracker.planning.core.plan import Engine, Plan, read_plan, write_plan
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.solve import Effort, Progress, solve

SHORT = Effort(iterations=4000)


def solved(raw: dict[str, Any], **more: Any) -> Plan:
    """Every plan made here passes the judge, at the score it claims."""
    plan = solve(read_problem(raw), more.pop("effort", SHORT), **more)
    verdict = judge(raw, write_plan(plan))
    assert verdict.breaches == ()
    assert verdict.score == plan.score.total
    return plan


@pytest.mark.parametrize("seed", range(25))
def test_random_problems_get_plans_that_the_judge_accepts(seed: int) -> None:
    solved(random_problem(seed, lots=10, crews=4), effort=Effort(iterations=1500))


def test_same_seed_and_trials_give_the_same_bytes() -> None:
    raw = random_problem(3, lots=12, crews=4)

    plans = [json.dumps(write_plan(solved(raw))) for _ in range(2)]

    assert plans[0] == plans[1]


def test_an_unchanged_problem_gives_the_stored_plan_back() -> None:
    raw = random_problem(4, lots=12, crews=4)
    first = solved(raw, effort=Effort(iterations=60_000))
    stored = read_plan(json.loads(json.dumps(write_plan(first))))

    again = solved(raw, start=stored, effort=Effort(iterations=4000, seed=9))

    assert again == stored


def test_a_gain_above_the_threshold_replaces_the_stored_plan() -> None:
    raw = random_problem(5, lots=14, crews=3)
    poor = solved(raw, effort=Effort(iterations=1))
    better = solved(raw, start=poor, effort=Effort(iterations=20_000), threshold=0)

    assert better.score.total < poor.score.total
    assert solved(raw, start=poor, threshold=10**9) == poor


def test_a_stored_plan_without_engine_state_is_carried_over_too() -> None:
    raw = random_problem(6, lots=12, crews=4)
    stored = solved(raw)

    again = solved(raw, start=replace(stored, engine=Engine()))

    assert again.jobs == stored.jobs


def test_a_changed_problem_keeps_what_it_can_of_the_published_plan() -> None:
    raw = random_problem(7, lots=14, crews=4)
    raw["published"] = []
    stored = solved(raw, effort=Effort(iterations=20_000))
    raw["published"] = [
        {key: one[key] for key in ("lot", "phase", "crew", "start_quarter")}
        for one in write_plan(stored)["jobs"]
        if one["crew"] is not None
    ]
    raw["lots"][0]["phases"][-1]["ready_day"] += 6
    raw["lots"].append(lot("new", phase("rough"), phase("topout"), place="west"))
    raw["lots"].pop(1)
    named = {one["id"] for one in raw["lots"]}
    told = raw["published"] = [one for one in raw["published"] if one["lot"] in named]

    changed = solved(raw, start=stored)
    afresh = solved({**raw, "published": []}).by_name()

    assert changed.score.crew_changes <= 2
    others = sum(afresh[one["lot"], one["phase"]].crew != one["crew"] for one in told)
    assert others > changed.score.crew_changes


def test_pins_are_kept() -> None:
    raw = problem(
        lots=[lot(f"E{i}", phase("rough"), phase("topout")) for i in range(6)],
        pins=[
            {"lot": "E5", "phase": "topout", "crew": "B", "day": 5},
            {"lot": "E4", "phase": "rough", "crew": "A", "day": 0},
        ],
    )

    plan = solved(raw, effort=Effort(iterations=1)).by_name()

    pinned = plan["E5", "topout"], plan["E4", "rough"]
    kept = [(job.crew, (job.start_quarter or 0) // 4) for job in pinned]
    assert kept == [("B", 5), ("A", 0)]


@pytest.mark.parametrize("share", [0.3, 0.6, 1.0])
@pytest.mark.parametrize("seed", range(8))
def test_pins_taken_from_a_plan_are_kept(seed: int, share: float) -> None:
    """A plan keeps them, so one must be found, however little is tried."""
    raw, dice = random_problem(seed, lots=12, crews=4), random.Random(seed)
    raw["published"] = []
    for job in solved(raw, effort=Effort(iterations=200)).jobs:
        if job.start_quarter is not None and dice.random() < share:
            place = {"lot": job.lot, "phase": job.phase, "crew": job.crew}
            raw["pins"].append({**place, "day": job.start_quarter // 4})

    solved(raw, effort=Effort(iterations=1))


def test_pins_that_only_a_search_can_refute_end_in_an_error_that_names_them() -> None:
    raw = problem(
        jurisdictions=[{**problem()["jurisdictions"][0], "daily_cap": 1}],
        lots=[lot(f"E{i}", phase("rough"), phase("topout")) for i in range(2)],
        pins=[
            {"lot": f"E{i}", "phase": "topout", "crew": "AB"[i], "day": 5}
            for i in range(2)
        ],
    )
    for one in raw["lots"]:
        one["phases"][0].update(ready_day=1, builder_days_after_pass=1)

    with pytest.raises(NoPlan, match=r"lot E\d topout on crew [AB], day 5"):
        solve(read_problem(raw), SHORT)


def test_contradicting_pins_are_refused_before_any_search() -> None:
    pin = {"lot": "E1", "phase": "rough", "crew": "A", "day": 1}
    raw = problem(pins=[pin, {**pin, "day": 2}])

    with pytest.raises(BadProblem, match=r"day 2 contradicts .* day 1"):
        solve(read_problem(raw), SHORT)


def test_the_search_stops_when_asked_with_a_plan_in_hand() -> None:
    raw = random_problem(8, lots=14, crews=4)

    plan = solved(raw, effort=Effort(seconds=60), stop=lambda: True)

    assert len(plan.jobs) == len(read_problem(raw).jobs)


def test_progress_is_told_and_never_gets_worse() -> None:
    raw = random_problem(9, lots=14, crews=4)
    told: list[Progress] = []

    solved(raw, effort=Effort(seconds=0.4), progress=told.append)

    scores = [one.score.total for one in told]
    assert scores
    assert scores == sorted(scores, reverse=True)
    assert told[-1].iterations > 0


def test_nothing_to_plan_is_a_plan() -> None:
    waiting = lot("E1", phase("rough", status="awaiting_inspection"))

    plan = solved(problem(lots=[waiting]))

    assert [job.inspection_day for job in plan.jobs] == [1]
    assert solved(problem(lots=[])).jobs == ()


def slack(plan: Plan, raw: dict[str, Any]) -> int:
    """Days between each pass and its need-by, summed."""
    jobs = zip(read_problem(raw).jobs, plan.jobs, strict=True)
    return sum(job.phase.need_by_day - planned.pass_day for job, planned in jobs)


def test_a_buffer_makes_plans_pass_sooner_for_more_moves() -> None:
    raw = problem(
        crews=[crew("A")],
        lots=[
            lot(f"{place[0]}{i}", phase("rough", need_by_day=9), place=place)
            for i in range(2)
            for place in ("east", "west")
        ],
    )
    for i, one in enumerate(raw["lots"]):
        one["phases"][0].update(ready_day=i, need_by_day=6 + i)
    read = read_problem(raw)
    aim = Aim(buffer={job.name: 4 for job in read.jobs}, price=9)

    plain, buffered = solved(raw), solved(raw, aim=aim)

    assert slack(buffered, raw) > slack(plain, raw)
    assert buffered.score.moves > plain.score.moves
    assert aim.cost(read, buffered.jobs) < aim.cost(read, plain.jobs)
    assert solved(raw, aim=aim, start=buffered) == buffered
    assert solved(raw, aim=aim, start=plain, threshold=0).jobs != plain.jobs


def test_warm_runs_every_compiled_function_once() -> None:
    from tracker.planning.core.engine import insertion
    from tracker.planning.core.warm import warm

    assert warm().jobs
    assert insertion.put_in.signatures  # type: ignore[attr-defined]
    assert insertion.free_pins.signatures  # type: ignore[attr-defined]
