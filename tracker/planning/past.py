"""How the odds would have done on the contractor's own past.

For every few days of the past the work that crews had been told then is lived through
many times with what was known then, and held against the days on which it really
passed. Work that has not passed yet counts as later than any draw.
"""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

import numpy as np

from phases.models import Fact, LotPhase, PhaseKind
from tracker.people.models import Crew
from tracker.planning.core.draws import draw_passes
from tracker.planning.core.odds import Calibration, calibration
from tracker.sites.models import Company, InspectionKind

from .adapter.calendar import Calendar
from .adapter.history import Learned, learn
from .adapter.rows import slots_of
from .then import Was, problem_then

EVERY, LENGTH = 4, 100  # working days: between two looks back, and how far
LATEST = 20  # so many working days must have gone by since, or failing is not seen yet
DRAWS = 500
SHARES = (0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95)
NEVER = 10_000
Order = Mapping[str, int]  # of the work, by phase code


@dataclass(frozen=True)
class Past:
    """One calibration a share, the cases behind them, and what is drawn now."""

    points: tuple[Calibration, ...]
    cases: int
    learned: Learned
    share: float = 0.8  # of promise dates, as the owner set it

    @property
    def promised_percent(self) -> int:
        return round(100 * self.share)

    @property
    def promise_percent(self) -> int:
        return round(100 * self.promise.covered)

    @property
    def promise(self) -> Calibration:
        return next(one for one in self.points if one.share == self.share)


def calibrated(*, now: datetime, today: date) -> Past:
    """Calibration of the odds on work that was told and has had time to pass."""
    share = Company.get().promise_percent / 100
    shares = sorted({*SHARES, share})
    kinds = _kinds()
    order = dict(PhaseKind.objects.values_list("code", "position"))
    told = [one for one in _told(today) if _own(one, kinds, order)]
    passes, real = [], []
    for number in range(-LENGTH, -LATEST, EVERY):
        cut = Calendar(_workday(today)).date_of(number)
        jobs = [one for one in told if one.known <= cut <= one.start]
        jobs = [one for one in jobs if one.start < cut + timedelta(days=7)]
        told = [one for one in told if one not in jobs]
        if jobs:
            learned = _learned(now - (today - cut))
            problem, plan, season = problem_then(jobs, cut, kinds, learned)
            passes.append(draw_passes(problem, plan, season, DRAWS, 1))
            calendar = Calendar(cut)
            real += [
                calendar.number_of(one.passed) if one.passed else NEVER for one in jobs
            ]
    if not passes:
        points = tuple(Calibration(one, one, 0) for one in shares)
        return Past(points, 0, _learned(now), share)
    drawn = np.vstack(passes)
    points = tuple(calibration(drawn, np.array(real), one) for one in shares)
    return Past(points, len(real), _learned(now), share)


def _workday(day: date) -> date:
    return day - timedelta(days=max(0, day.weekday() - 4))


def _told(today: date) -> list[Was]:
    """The last word on each lot phase before its work began."""
    facts = Fact.objects.filter(kind="planned", lot__retired_at=None).order_by("no")
    last: dict[int, Any] = {}
    for row in facts.values_list("lot_phase", "payload", "recorded_at__date"):
        if date.fromisoformat(row[1]["start"]) >= row[2]:
            last[row[0]] = row
    phases = LotPhase.objects.filter(pk__in=last).select_related(
        "kind", "lot__subdivision__jurisdiction", "lot__plan"
    )
    crews = Crew.objects.in_bulk()
    found = []
    for row in phases:
        _, payload, known = last[row.pk]
        start, plan = date.fromisoformat(payload["start"]), row.lot.plan
        if start >= today or row.lot.subdivision.jurisdiction is None:
            continue
        own = plan.crew_quarters.get(row.kind.code) if plan else None
        found.append(
            Was(
                phase=row.pk,
                lot=row.lot_id,
                code=row.kind.code,
                plan=row.lot.plan_id,
                place=row.lot.subdivision,
                crew=crews.get(payload["crew"]),
                known=known,
                start=start,
                half=payload.get("half", 0),
                quarters=own or row.kind.crew_quarters,
                passed=row.passed_on,
            )
        )
    return [one for one in found if one.start.weekday() < 5]


def _kinds() -> Mapping[int, list[InspectionKind]]:
    kinds: dict[int, list[InspectionKind]] = defaultdict(list)
    for kind in InspectionKind.objects.all():
        kinds[kind.jurisdiction_id].append(kind)
    return kinds


def _learned(at: datetime) -> Learned:
    """What the past said then."""
    kinds = list(PhaseKind.objects.all())
    usual = {kind.code: kind.crew_quarters for kind in kinds}
    return learn(
        slots_of(kinds),
        lambda own, code: int(own.get(code) or usual[code] or 1),
        now=at,
    )


def _own(one: Was, kinds: Mapping[int, list[InspectionKind]], order: Order) -> bool:
    """Nothing that proves it waits for a later phase.

    What passes with a later phase passes on that one's day: no promise was made of it.
    """
    proving = [k for k in kinds[one.place.jurisdiction_id] if one.code in k.proves]
    last = [max(kind.proves, key=lambda code: order.get(code, -1)) for kind in proving]
    return all(code == one.code for code in last)
