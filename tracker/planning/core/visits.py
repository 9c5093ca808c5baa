"""Inspections of all draws: which days are taken, and who passes at which visit."""

from typing import Any

import numpy as np

from .problem import QUARTERS, Job, Problem
from .season import Season

Array = Any
MOST_FAILURES = 4


class Offices:
    """What is booked with each office in each draw, up to day `days`."""

    def __init__(
        self, problem: Problem, season: Season, shape: tuple[int, int], dice: Any
    ) -> None:
        self.problem, self.season, self.dice = problem, season, dice
        self.days, self.draws = shape
        self.every = np.arange(self.draws)
        self.visits = [self._visits(line) for line in range(len(problem.jurisdictions))]
        size = (self.days + 1, self.draws)
        self.booked = [np.zeros(size, dtype=np.int16) for _ in self.visits]

    def _visits(self, line: int) -> Array:
        """Per day the next inspection day."""
        rules = self.problem.jurisdictions[line]
        row, coming = np.zeros(self.days + 2, dtype=np.int32), self.days
        for day in range(self.days, -1, -1):
            if self.problem.inspects(rules, day):
                coming = day
            row[day] = coming
        row[-1] = self.days
        return row

    def _line_of(self, job: Job) -> int:
        place = self.problem.subdivision_index[job.lot.subdivision]
        office = self.problem.subdivisions[place].jurisdiction
        return self.problem.jurisdiction_index[office]

    def first_visit(self, job: Job, end: Array) -> Array:
        """The day of the visit called for when work ends with that quarter."""
        line = self._line_of(job)
        rules = self.problem.jurisdictions[line]
        call = np.ceil((end - rules.cutoff_quarter) / QUARTERS - 1e-9)
        call = np.maximum(call, 0).astype(np.int64)
        return self._book(line, call + rules.lead_days, None)

    def until_passed(self, job: Job, day: Array) -> tuple[Array, Array]:
        """From the first visit to the one that passes, and how often it failed."""
        line = self._line_of(job)
        wait = self.season.rework_days + self.problem.jurisdictions[line].lead_days
        failed, failures = self._fails(job), np.zeros(self.draws)
        for _ in range(MOST_FAILURES):
            if not failed.any():
                break
            day = np.where(failed, self._book(line, day + wait, failed), day)
            failures += failed
            failed &= self._fails(job)
        return day, failures

    def _fails(self, job: Job) -> Array:
        if job.phase.pass_probability >= 1 or not self.season.failures:
            return np.zeros(self.draws, dtype=bool)
        return self.dice.random(self.draws) >= job.phase.pass_probability

    def _book(self, line: int, asked: Array, who: Array | None) -> Array:
        """The first day with room from `asked` on, booked for the draws `who`."""
        visits = self.visits[line]
        cap, booked = self.problem.jurisdictions[line].daily_cap, self.booked[line]
        day = visits[np.minimum(asked, self.days)]
        seeking = self.every if who is None else np.flatnonzero(who)
        while seeking.size:
            at = day[seeking]
            seeking = seeking[(booked[at, seeking] >= cap) & (at < self.days)]
            day[seeking] = visits[np.minimum(day[seeking] + 1, self.days)]
        booked[day, self.every] += 1 if who is None else who.astype(np.int16)
        return day
