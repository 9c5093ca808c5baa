"""How long work takes: the one model that the planner, the odds and the past share.

- A plan says how many quarters a phase takes a plain crew.
- The owner sets each crew's speed. It is the prior: the learned speed, planned over
  real quarters of the crew's finished work, is pulled towards it by `WEIGHT` imagined
  jobs that took just what the set speed says. The learned speed takes the place of the
  set one; nothing multiplies the two.
- A crew is expected to take `quarters_at(its learned speed, planned)`: what the solver
  plans with.
- Days that stop work (rain, days off) are drawn by themselves, so real quarters leave
  them out.
- The drawn ratio is real over expected. What the crew's speed has already said is not
  in it, so it centres on 1; what is left is the spread, and what a phase takes more or
  less than its plan whoever does it. It is fitted by phase and house plan, pulled
  towards the same phase on all other plans, which is pulled towards the default.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from phases.models import Fact
from tracker.planning.core.problem import QUARTERS, quarters_at
from tracker.planning.core.season import Spread, fit_spread

from .calendar import Calendar
from .stops import Stops

WEIGHT = 8.0  # imagined cases behind every default
FARTHEST = 2.0  # a learned speed stays within half and twice the set one
Quarters = Callable[[Mapping[str, int], str], int]
Kind = tuple[str, int | None]  # of work: phase and house plan


@dataclass(frozen=True)
class Finished:
    """One piece of finished work; `crew` None: nobody wrote down who did it."""

    code: str
    plan: int | None
    crew: int | None
    set_speed: float
    planned: int
    took: int


def finished(
    quarters: Quarters, stops: Stops, since: datetime, until: datetime
) -> list[Finished]:
    """Work said done between two moments, in one statement.

    `quarters(plan's own, code)` gives what the plan says a phase takes.
    """
    rows = (
        Fact.objects.filter(
            kind__in=("started", "work_done", "broken_off"),
            lot_phase__work__in=("done", "proven"),
            recorded_at__range=(since, until),
        )
        .order_by("no")
        .values_list(
            *("lot_phase", "kind", "happened_at", "lot_phase__kind__code"),
            *("lot_phase__crew", "lot_phase__crew__speed"),
            *("lot_phase__kind__rain_exposed", "lot__subdivision__time_zone"),
            *("lot__plan__crew_quarters", "lot__plan"),
        )
    )
    started: dict[int, datetime] = {}
    done: dict[int, tuple[datetime, Any]] = {}
    broken = set()
    for phase, kind, at, *rest in rows:
        if kind == "started":
            started.setdefault(phase, at)
        elif kind == "work_done":
            done[phase] = (at, rest)
        else:
            broken.add(phase)
    found = []
    for phase, (end, (code, crew, speed, exposed, zone, own, plan)) in done.items():
        start = started.get(phase)
        # Broken-off work took a time that nobody wrote down.
        if start is None or start >= end or phase in broken:
            continue
        place = ZoneInfo(zone)
        here, there = start.astimezone(place), end.astimezone(place)
        took = Calendar(here.date()).quarters_between(here, there)
        lost = stops.between(here.date(), there.date(), crew, exposed)
        planned = quarters(own or {}, code)
        took -= QUARTERS * lost
        found.append(Finished(code, plan, crew, speed or 1.0, planned, took))
    return found


def learned_speeds(done: Iterable[Finished]) -> dict[int, float]:
    """By crew, to take the place of the speed that was set."""
    by_crew: dict[int, list[Finished]] = defaultdict(list)
    for one in done:
        if one.crew is not None:
            by_crew[one.crew].append(one)
    return {crew: _speed(jobs) for crew, jobs in by_crew.items()}


def _speed(jobs: list[Finished]) -> float:
    """Planned over real quarters, with `WEIGHT` mean jobs done at the set speed."""
    set_speed = jobs[0].set_speed
    imagined = WEIGHT * sum(one.planned for one in jobs) / len(jobs)
    planned = sum(one.planned for one in jobs) + imagined
    took = sum(one.took for one in jobs) + imagined / set_speed
    least, most = set_speed / FARTHEST, set_speed * FARTHEST
    return round(min(most, max(least, planned / took)), 2)


def learned_ratios(
    done: Iterable[Finished], speeds: Mapping[int, float]
) -> dict[Kind, tuple[float, ...]]:
    """Real over expected quarters, by phase code and house plan."""
    found: dict[Kind, list[float]] = defaultdict(list)
    for one in done:
        speed = speeds.get(one.crew, 1.0) if one.crew is not None else 1.0
        ratio = one.took / quarters_at(speed, one.planned)
        found[one.code, one.plan].append(ratio)
    return {kind: tuple(ratios) for kind, ratios in found.items()}


def spreads_of(
    ratios: Mapping[Kind, tuple[float, ...]],
) -> tuple[dict[str, Spread], dict[Kind, Spread]]:
    """Spreads by phase, for plans without history, and by phase and plan."""
    by_phase: dict[str, dict[int | None, tuple[float, ...]]] = defaultdict(dict)
    for (phase, plan), found in ratios.items():
        by_phase[phase][plan] = found
    phases, kinds = {}, {}
    for phase, plans in by_phase.items():
        phases[phase] = fit_spread([one for found in plans.values() for one in found])
        for plan, found in plans.items():
            others = [one for p in plans if p != plan for one in plans[p]]
            kinds[phase, plan] = fit_spread(found, prior=fit_spread(others))
    return phases, kinds
