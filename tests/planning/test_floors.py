"""What no plan can save of the cost: below it no plan may ever come."""

import random
from typing import Any

import numpy as np
import pytest

from tests.planning.problems import city, crew, lot, phase, problem, random_problem
from tests.planning.test_decoder import random_order
from tracker.planning.core.engine import columns as k
from tracker.planning.core.engine.floors import note_floors
from tracker.planning.core.plan import score_jobs
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.result import planned_jobs
from tracker.planning.core.start import free_quarters
from tracker.planning.core.state import blank, load
from tracker.planning.core.tables import fixed_tables


@pytest.mark.parametrize("seed", range(30))
def test_no_plan_costs_less_than_the_floors_and_both_make_the_score(seed: int) -> None:
    dice = random.Random(seed)
    read = read_problem(random_problem(seed, lots=8))
    fixed, free = fixed_tables(read), free_quarters(read)
    note_floors(fixed, np.array(free, dtype=np.int64))
    live, n = blank(fixed), len(read.jobs)

    for _ in range(20):
        above = load(fixed, live, random_order(read, dice), free)

        assert live.jobs[:n, k.COST].min() >= 0
        jobs = planned_jobs(read, live)
        assert above + fixed.jobs[:n, k.FLOOR].sum() == score_jobs(read, jobs).total


TOLD = {"lot": "E1", "phase": "rough", "crew": "A", "start_quarter": 4}
CASES: list[tuple[dict[str, Any], int]] = [
    ({}, 0),
    # Passes on day 2 at the earliest: work on day 0, call on day 1, a day's notice.
    ({"need": 0}, 20),
    # Nobody can start on the day told.
    ({"ready": 3, "told": TOLD}, 6),
    # Crew A is off on the day told, crew B is not: a changed day is cheaper.
    ({"off": [1], "told": TOLD}, 6),
    # The crew told may not do it any more, and the other can on that day.
    ({"skills": ["trim"], "told": TOLD}, 12),
    ({"skills": ["trim"], "ready": 2, "told": TOLD}, 18),
]


@pytest.mark.parametrize(("over", "floor"), CASES)
def test_the_floor_of_a_job_by_hand(over: dict[str, Any], floor: int) -> None:
    skills = over.get("skills", ["rough"])
    raw = problem(
        crews=[crew("A", days_off=over.get("off", []), phases=skills), crew("B")],
        lots=[
            lot(
                "E1",
                phase(
                    "rough",
                    need_by_day=over.get("need", 20),
                    ready_day=over.get("ready", 0),
                ),
            )
        ],
        jurisdictions=[city()],
        published=[over["told"]] if "told" in over else [],
    )
    fixed = fixed_tables(read_problem(raw))

    note_floors(fixed, np.zeros(2, dtype=np.int64))

    assert fixed.jobs[0, k.FLOOR] == floor
