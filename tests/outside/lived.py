"""Seasons of a known model lived one by one in plain Python, for calibration.

Shares no code with the draws: five lots, two crews, builders that slip, inspections
that fail, an office that inspects three days a week.
"""

import math
import random
from dataclasses import dataclass

import numpy as np

from tests.planning.problems import city, crew, lot, phase, problem
from tracker.planning.core.draws import draw_passes
from tracker.planning.core.odds import calibration, pass_quantiles
from tracker.planning.core.plain import decode_plainly
from tracker.planning.core.plan import Engine, Plan, score_jobs
from tracker.planning.core.problem import Problem
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.season import Season, Spread
from tracker.planning.core.state import Order

DRAWS = 10_000  # so many that the promise itself is hardly off by chance
MODEL = Season(
    durations={name: Spread(1.1, 0.3) for name in ("rough", "topout")},
    slip_share=0.3,
    absence_share=0,
    rework_quarters=0,
    fill_waits=False,  # each crew takes its lots in turn, come what may
)


@dataclass(frozen=True)
class Lived:
    """Of all passes: at or before the promised day, and with that day split.

    Pass days come in steps, so more than the share lie at or before the day; `covered`
    counts the step itself in part, which is exact for a true model.
    """

    at_or_before: float
    covered: float
    cases: int


def known_problem() -> tuple[Problem, Plan]:
    lots = [
        lot(
            f"E{i}",
            phase("rough", crew_quarters=6, ready_day=2 * i, pass_probability=0.8),
            phase("topout", crew_quarters=5, pass_probability=0.7),
        )
        for i in range(5)
    ]
    raw = problem(
        lots=lots,
        crews=[crew("A", phases=["rough"]), crew("B", phases=["topout"])],
        jurisdictions=[city(weekdays=[0, 2, 4], daily_cap=99)],
        rain_exposed_phases=[],
    )
    read = read_problem(raw)
    order = Order(list(range(10)), [0, 1] * 5, [0] * 10)
    jobs = decode_plainly(read, order)
    return read, Plan(
        read.name, jobs, score_jobs(read, jobs), Engine(tuple(order.jobs))
    )


def seasons_lived(
    seasons: int, shares: tuple[float, ...], *, shift: int = 0, seed: int = 2
) -> dict[float, Lived]:
    """How the drawn promises did; `shift` moves every real pass by so many days."""
    read, plan = known_problem()
    passes = draw_passes(read, plan, MODEL, DRAWS, 1)
    promised = pass_quantiles(passes, shares)
    dice = random.Random(seed)
    real = [
        np.array(live_one_season(read, MODEL, dice)) + shift for _ in range(seasons)
    ]
    return {
        share: Lived(
            float(np.mean([one <= days for one in real])),
            float(
                np.mean(
                    [
                        calibration(passes, one, share, seed=number).covered
                        for number, one in enumerate(real)
                    ]
                )
            ),
            seasons * len(read.jobs),
        )
        for share, days in zip(shares, promised, strict=True)
    }


def live_one_season(read: Problem, model: Season, dice: random.Random) -> list[int]:
    """Pass days of one season: each crew takes its lots in turn, come what may."""
    free = {"rough": 0.0, "topout": 0.0}
    passed: list[int] = []
    for number, job in enumerate(read.jobs):
        name, spread = job.phase.phase, model.spread(job)
        assert isinstance(spread, Spread)
        slip = dice.randint(1, 3) if dice.random() < model.slip_share else 0
        day = job.phase.ready_day + slip if job.phase.ready_day > 0 else 0
        if name == "topout":
            day = max(day, passed[-1] + 1 + 2 + slip)
        start = max(4.0 * day, free[name])
        takes = job.phase.crew_quarters * spread.median
        end = start + takes * math.exp(spread.sigma * dice.gauss(0, 1))
        free[name] = end
        visit = max(0, math.ceil((end - 2) / 4)) + 1
        while True:
            while visit % 5 not in (0, 2, 4):
                visit += 1
            if dice.random() < job.phase.pass_probability:
                break
            visit += model.rework_days + 1
        passed.append(visit)
        assert number == len(passed) - 1
    return passed
