import copy
import json
from typing import Any

import pytest

from tests.planning.problems import problem, random_problem
from tracker.planning.core.errors import BadPlan, BadProblem
from tracker.planning.core.plan import read_plan
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.problem_write import write_problem


@pytest.mark.parametrize("seed", range(5))
def test_a_problem_written_and_read_again_is_the_same(seed: int) -> None:
    read = read_problem(random_problem(seed))

    assert read_problem(json.loads(json.dumps(write_problem(read)))) == read


def change(path: str, value: Any) -> dict[str, Any]:
    """The small problem with one value changed or, for `...`, taken out."""
    made = problem()
    *way, last = [int(part) if part.isdigit() else part for part in path.split(".")]
    spot: Any = made
    for part in way:
        spot = spot[part]
    if value is ...:
        del spot[last]
    else:
        spot[last] = value
    return made


PIN = {"lot": "E1", "phase": "rough", "crew": "A", "day": 3}
WRONG = [
    ("format", "plumb-instance/2", "format must be plumb-instance/1"),
    ("crews", ..., 'the key "crews" is missing'),
    ("quarters_per_day", 8, "quarters_per_day must be 4"),
    ("speeed", 1, 'unknown key "speeed"'),
    ("weekday_of_day0", 1, "weekday_of_day0 is 1"),
    ("working_days.3", "2026-01-09", "2026-01-09 does not follow 2026-01-07"),
    ("working_days.0", "Monday", "'Monday' is not a date"),
    ("crews.0.speed", 0, "crew A: speed must be a number from 0.01"),
    ("crews.0.speed", True, "crew A: speed must be a number"),
    ("crews.0.phases", ["roof"], 'crew A: phases names the unknown phase "roof"'),
    ("crews.0.at", "south", 'crew A: at names the unknown subdivision "south"'),
    ("crews.1.id", "A", 'crews: "A" is there twice'),
    ("crews.0.days_off", [1.5], "crew A: days_off must be a whole number"),
    ("lots.0.subdivision", "south", "lot E1: subdivision names the unknown"),
    ("lots.0.phases.0.status", "done", "lot E1 rough: status names the unknown"),
    ("lots.0.phases.0.priority", 0, "lot E1 rough: priority must be from 1 to 3"),
    ("lots.0.phases.0.priority", 4, "lot E1 rough: priority must be from 1 to 3"),
    ("lots.0.phases.0.ready_day", None, "lot E1 rough: ready_day must be a whole"),
    ("lots.0.phases.0.inspectd", False, 'lot E1 rough: unknown key "inspectd"'),
    ("lots.0.phases.1.status", "passed", "lot E1: topout is passed while rough is"),
    ("lots.1.id", "E1", 'lots: "E1" is there twice'),
    ("move_quarters", [[0]], "move_quarters: 1 rows for 2 subdivisions"),
    ("jurisdictions.0.weekdays", [], "jurisdiction city: weekdays must name one"),
    ("jurisdictions.0.daily_cap", 0, "jurisdiction city: daily_cap must be from 1"),
    ("pins", [{**PIN, "crew": "Z"}], "pin of lot E1 rough: crew names the unknown"),
    ("pins", [{**PIN, "phase": "trim"}], "pin of lot E1: phase names the unknown"),
    ("published", [{"lot": "E9"}], 'published: the key "phase" is missing'),
    ("weights", {"late": 3}, 'weights: unknown key "late"'),
]


@pytest.mark.parametrize(("path", "value", "said"), WRONG)
def test_a_wrong_problem_is_refused_with_its_place(
    path: str, value: Any, said: str
) -> None:
    with pytest.raises(BadProblem) as refusal:
        read_problem(change(path, value))

    assert said in str(refusal.value)


def test_an_open_phase_that_no_crew_can_do_is_refused() -> None:
    made = problem()
    for crew in made["crews"]:
        crew["phases"] = ["rough"]

    with pytest.raises(BadProblem, match="lot E1 topout: no crew is qualified"):
        read_problem(made)


@pytest.mark.parametrize("raw", [None, [], 3, {"jobs": []}])
def test_what_is_no_problem_and_no_plan_is_refused(raw: Any) -> None:
    with pytest.raises(BadProblem):
        read_problem(copy.deepcopy(raw))
    with pytest.raises(BadPlan):
        read_plan(raw)


def test_a_plan_whose_engine_state_is_damaged_is_refused() -> None:
    rows = [
        {
            "lot": name,
            "phase": "rough",
            "crew": "A",
            "start_quarter": 0,
            "end_quarter": 4,
            "inspection_day": 2,
        }
        for name in ("E1", "W1")
    ]
    raw = {"format": "plumb-plan/1", "instance": "x", "jobs": rows}

    assert read_plan({**raw, "engine": {"order": [1, 0], "hold": []}}).jobs
    with pytest.raises(BadPlan, match="order must name each job once"):
        read_plan({**raw, "engine": {"order": [0, 0], "hold": []}})
    with pytest.raises(BadPlan, match="order must be from 0 to 1"):
        read_plan({**raw, "engine": {"order": [0, 2], "hold": []}})
