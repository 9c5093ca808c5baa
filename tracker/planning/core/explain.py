"""Each late job: when it passes, how late, and the facts that bind it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from .chain import Chains
from .english import said_why
from .links import Link
from .marks_past import Past
from .plan import Plan
from .problem import Problem


@dataclass(frozen=True)
class Why:
    """A late job with the facts that bind it and the English sentence made of them."""

    lot: str
    phase: str
    pass_day: int
    days_late: int
    soonest: int  # the pass day were every crew free and no slot taken
    links: tuple[Link, ...]
    sentence: str

    @property
    def possible(self) -> bool:
        """Could it be on time were every crew free?"""
        return self.soonest <= self.pass_day - self.days_late

    def facts(self) -> dict[str, Any]:
        """Codes and numbers of the sentence as JSON, to be said in any language."""
        return {
            "lot": self.lot,
            "phase": self.phase,
            "pass_day": self.pass_day,
            "late": self.days_late,
            "possible": self.possible,
            "soonest": self.soonest,
            "links": [link.facts() for link in self.links],
        }


def explain(
    problem: Problem,
    plan: Plan,
    names: Iterable[tuple[str, str]] | None = None,
    past: Mapping[tuple[str, str], Past] | None = None,
) -> tuple[Why, ...]:
    """The late jobs, the dearest first; or the jobs of `names`, late or not.

    `past` is what is known of them before day 0, of which the problem says nothing.
    """
    chains = Chains(problem, plan, past)
    wanted = None if names is None else set(names)
    found: list[tuple[int, int, Why]] = []
    for job in problem.jobs:
        planned = chains.planned[job.name]
        late = planned.pass_day - job.phase.need_by_day
        if (late <= 0) if wanted is None else (job.name not in wanted):
            continue
        links, sure = chains.of(job.name), chains.soonest[job.name]
        words = said_why(problem, job.name, planned.pass_day, late, links, sure)
        why = Why(*job.name, planned.pass_day, max(0, late), sure, links, words)
        found.append((-late * job.phase.priority, len(found), why))
    return tuple(why for _, _, why in sorted(found, key=lambda one: one[:2]))


def sentences(problem: Problem, plan: Plan) -> list[str]:
    whys = explain(problem, plan)
    return [why.sentence for why in whys] or ["Nothing is late."]
