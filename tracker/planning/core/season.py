"""What may go otherwise than planned, and how far: the model behind the odds."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import exp, log, sqrt

from .problem import PASSED, PHASES, Job, Lot, Problem

Name = tuple[str, str]  # lot, phase


@dataclass(frozen=True)
class Spread:
    """Real over planned duration: lognormal with this median and spread of the log."""

    median: float = 1.0
    sigma: float = 0.25


@dataclass(frozen=True)
class Sampled:
    """Real over planned duration: any of these ratios of the past, each alike."""

    ratios: tuple[float, ...]


@dataclass(frozen=True)
class Season:
    """Chances a day, a job or an inspection.

    The defaults are assumptions for a contractor without history, not measurements.
    """

    # By phase, or closer by (lot, phase).
    durations: Mapping[str | Name, Spread | Sampled] = field(default_factory=dict)
    slip_share: float = 0.25  # of the builder's dates that slip
    slip_days: int = 3  # by 1 to so many days, each alike
    rain_share: float = 0.0  # of days that stop exposed work, beside those given
    absence_share: float = 0.02  # of crew-days lost
    failures: bool = True  # by each phase's pass probability
    rework_days: int = 1  # from a failed inspection to the new call
    rework_quarters: float = 1.0  # of the crew, for each failure
    fill_waits: bool = True  # a crew kept waiting does later work meanwhile
    # Visit days of phases that the format counts as passed, whose result is still open.
    called_in: Mapping[Name, int] = field(default_factory=dict)

    def spread(self, job: Job) -> Spread | Sampled:
        by_phase = self.durations.get(job.phase.phase, Spread())
        return self.durations.get(job.name, by_phase)


CERTAIN = Season(
    durations={phase: Spread(1.0, 0.0) for phase in PHASES},
    slip_share=0.0,
    absence_share=0.0,
    failures=False,
)


def called_in(lot: Lot, season: Season) -> list[Job]:
    """Phases of a lot whose inspection is booked and not heard yet.

    All lie ahead of its jobs, for the format counts them as passed.
    """
    return [
        Job(lot, phase)
        for phase in lot.phases
        if phase.status == PASSED and (lot.id, phase.phase) in season.called_in
    ]


def fit_spread(
    ratios: Sequence[float], *, prior: Spread | None = None, weight: float = 8.0
) -> Spread:
    """Median and spread of real over planned durations, few data leaning on `prior`.

    The prior counts as `weight` jobs; none at all give the prior itself. Ratios must be
    above 0, else ValueError.
    """
    prior = prior or Spread()
    if any(not ratio > 0 for ratio in ratios):
        raise ValueError("A duration ratio must be above 0.")
    if not ratios:
        return prior
    logs = [log(ratio) for ratio in ratios]
    n, middle = len(logs), log(prior.median)
    mean = (sum(logs) + weight * middle) / (n + weight)
    squares = sum((value - mean) ** 2 for value in logs)
    squares += weight * (prior.sigma**2 + (middle - mean) ** 2)
    return Spread(exp(mean), sqrt(squares / (n + weight)))


def expected_repeat_days(problem: Problem, job: Job, season: Season) -> float:
    """Mean days that failing costs: share failing x (re-work, lead, half the gap).

    The estimate of one round; a second failure is left out, it is rare.
    """
    if not job.phase.inspected:
        return 0.0
    place = problem.subdivisions[problem.subdivision_index[job.lot.subdivision]]
    rules = problem.jurisdictions[problem.jurisdiction_index[place.jurisdiction]]
    gap = 5 / len(rules.weekdays)
    fails = 1 - job.phase.pass_probability
    return fails * (season.rework_days + rules.lead_days + gap / 2)


def buffers(
    problem: Problem, level: float, season: Season | None = None
) -> dict[tuple[str, str], int]:
    """Days before need-by to aim at, per (lot, phase): `level` x expected repeat."""
    season = season or Season()
    found = {}
    for job in problem.jobs:
        days = round(level * expected_repeat_days(problem, job, season))
        if days > 0:
            found[job.name] = days
    return found
