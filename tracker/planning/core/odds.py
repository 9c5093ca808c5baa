"""Promise dates: the plan lived through many times, each time otherwise.

Every draw keeps each crew's order of jobs, repaired as a dispatcher would: a job whose
turn has come but that cannot start is passed over, and later work fills the wait where
it fits.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from .draws import live
from .plan import Plan
from .problem import Job, Problem
from .season import Season, called_in

Array = np.ndarray
SHARES = (0.5, 0.8, 0.95)


@dataclass(frozen=True)
class PhaseOdds:
    """Pass days by which so many of a hundred draws have passed, and the odds."""

    lot: str
    phase: str
    planned: int
    need_by: int
    p50: int
    p80: int
    p95: int
    promise: int
    on_time: float


def odds(
    problem: Problem,
    plan: Plan,
    *,
    season: Season | None = None,
    draws: int = 2000,
    seed: int = 1,
    promise_share: float = 0.8,
) -> tuple[PhaseOdds, ...]:
    """Odds of every phase that has not passed, lot by lot in the order of the work.

    What is called in has its odds too, though the plan no longer knows it.
    """
    season = season or Season()
    world = live(problem, plan, season, draws, seed)
    planned = plan.by_name()
    jobs, passes = list(problem.jobs), world.passes
    days = [planned[job.name].pass_day for job in jobs]
    called = [one for lot in problem.lots for one in called_in(lot, season)]
    if called:
        passes = np.vstack([passes, *(world.called[one.name] for one in called)])
        jobs += called
        days += [season.called_in[one.name] for one in called]
    found = _told(jobs, days, passes, promise_share)
    place = {
        (lot.id, phase.phase): number
        for number, (lot, phase) in enumerate(
            (lot, phase) for lot in problem.lots for phase in lot.phases
        )
    }
    return tuple(sorted(found, key=lambda one: place[one.lot, one.phase]))


def _told(
    jobs: list[Job], planned: list[int], passes: Array, promise_share: float
) -> list[PhaseOdds]:
    days = pass_quantiles(passes, (*SHARES, promise_share))
    needs = np.array([job.phase.need_by_day for job in jobs])
    on_time = (passes <= needs[:, None]).mean(axis=1)
    return [
        PhaseOdds(
            lot=job.lot.id,
            phase=job.phase.phase,
            planned=planned[place],
            need_by=job.phase.need_by_day,
            p50=int(days[0, place]),
            p80=int(days[1, place]),
            p95=int(days[2, place]),
            promise=int(days[3, place]),
            on_time=round(float(on_time[place]), 4),
        )
        for place, job in enumerate(jobs)
    ]


def pass_quantiles(passes: Array, shares: tuple[float, ...]) -> Array:
    """[shares, jobs]: the first day by which at least that share has passed."""
    number = passes.shape[1]
    places = [min(number - 1, max(0, int(np.ceil(s * number)) - 1)) for s in shares]
    ranked = np.partition(passes, sorted(set(places)), axis=1)
    return np.stack([ranked[:, place] for place in places])


@dataclass(frozen=True)
class Calibration:
    """How many of `cases` real pass days lay within the day promised for `share`."""

    share: float
    covered: float
    cases: int

    @property
    def off(self) -> bool:
        """Too far from `share` to be chance at two standard errors, and by 3 %."""
        error = (self.share * (1 - self.share) / max(1, self.cases)) ** 0.5
        return bool(abs(self.covered - self.share) > max(0.03, 2 * error))

    @property
    def too_bold(self) -> bool:
        """Less passed in time than was promised: the days lie too early."""
        return self.off and self.covered < self.share

    @property
    def too_careful(self) -> bool:
        """More passed in time than was promised: the days lie later than they need."""
        return self.off and self.covered > self.share


def calibration(
    passes: Array, real: Array, share: float = 0.8, *, seed: int = 1
) -> Calibration:
    """Hold draws [jobs, draws] against real pass days [jobs].

    Pass days come in steps, so a quantile day covers more than its share. The share
    falling on the real day itself is therefore split by a seeded draw (randomised
    probability integral transform), which is exact for a true model.
    """
    real = np.asarray(real)[:, None]
    below = (passes < real).mean(axis=1)
    equal = (passes == real).mean(axis=1)
    split = np.random.default_rng(seed).random(len(below))
    covered = float((below + split * equal <= share).mean()) if len(below) else 1.0
    return Calibration(share, covered, len(below))


def odds_json(found: tuple[PhaseOdds, ...]) -> Mapping[str, Any]:
    return {"phases": [dict(one.__dict__) for one in found]}
