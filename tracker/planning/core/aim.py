"""Aiming before need-by, so that a plan is not brittle."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from .plan import PlannedJob
from .problem import Problem

Name = tuple[str, str]


@dataclass(frozen=True)
class Aim:
    """Aim before need-by: days per (lot, phase), each priced below a late day."""

    buffer: Mapping[Name, int] = field(default_factory=dict)
    price: int = 3

    def cost(self, problem: Problem, jobs: tuple[PlannedJob, ...]) -> int:
        """What the days inside the buffers cost, beside the score."""
        total = 0
        for job, planned in zip(problem.jobs, jobs, strict=True):
            days, need = self.buffer.get(job.name, 0), job.phase.need_by_day
            inside = min(planned.pass_day, need) - (need - days)
            total += self.price * job.phase.priority * max(0, inside)
        return total
