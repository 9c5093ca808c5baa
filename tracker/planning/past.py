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

from inspections.office import office_of
from phases.models import Fact, LotPhase, PhaseKind
from tracker.people.models import Crew
from tracker.planning.core import problem as core
from tracker.planning.core.draws import draw_passes
from tracker.planning.core.odds import Calibration, calibration
from tracker.planning.core.plan import Plan, PlannedJob, Score
from tracker.sites.models import Company, InspectionKind, Subdivision

from .adapter.calendar import Calendar
from .adapter.history import Learned, learn
from .adapter.offices import office_line
from .adapter.rows import slots_of

EVERY, LENGTH = 4, 100  # working days: between two looks back, and how far
LATEST = 20  # so many working days must have gone by since, or failing is not seen yet
DRAWS = 500
SHARES = (0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95)
NEVER = 10_000
Order = Mapping[str, int]  # of the work, by phase code


@dataclass(frozen=True)
class Past:
    """One calibration a share, and how many cases lie behind them."""

    points: tuple[Calibration, ...]
    cases: int
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
            problem, plan = _problem(jobs, cut, kinds, learned)
            passes.append(draw_passes(problem, plan, learned.season(), DRAWS, 1))
            calendar = Calendar(cut)
            real += [
                calendar.number_of(one.passed) if one.passed else NEVER for one in jobs
            ]
    if not passes:
        return Past(tuple(Calibration(one, one, 0) for one in shares), 0, share)
    drawn = np.vstack(passes)
    points = tuple(calibration(drawn, np.array(real), one) for one in shares)
    return Past(points, len(real), share)


def _workday(day: date) -> date:
    return day - timedelta(days=max(0, day.weekday() - 4))


@dataclass(frozen=True)
class Was:
    """One piece of work as it had been told, and the day it passed."""

    phase: int
    lot: int
    code: str
    place: Subdivision
    crew: str
    known: date
    start: date
    half: int
    quarters: int
    passed: date | None


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
    crews = dict(Crew.objects.values_list("pk", "name"))
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
                place=row.lot.subdivision,
                crew=crews.get(payload["crew"], "?"),
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


def _problem(
    jobs: list[Was],
    cut: date,
    kinds: Mapping[int, list[InspectionKind]],
    learned: Learned,
) -> tuple[core.Problem, Plan]:
    """The told work as lots of one phase each, and the plan as it was told."""
    calendar = Calendar(cut)
    slots = slots_of(list(PhaseKind.objects.all()))
    places = {one.place.pk: one.place for one in jobs}
    lines = {
        place.jurisdiction_id: office_line(
            place.jurisdiction.name,
            office_of(
                place.jurisdiction,
                kinds[place.jurisdiction_id],
                time_zone=place.time_zone,
            ).record,
            ("",),
            booked={},
            kinds_a_visit=1.0,
            calendar=calendar,
        ).line
        for place in places.values()
    }
    lots, planned = _lots(jobs, calendar, slots, kinds, learned)
    order = list(places)
    problem = core.Problem(
        name="past",
        working_days=calendar.days,
        weekday_of_day0=cut.weekday(),
        jurisdictions=tuple(lines.values()),
        subdivisions=tuple(
            core.Subdivision(str(pk), lines[place.jurisdiction_id].id)
            for pk, place in places.items()
        ),
        move_quarters=tuple(tuple(int(a != b) for b in order) for a in order),
        crews=tuple(
            core.Crew(name, frozenset(core.PHASES), 1.0, frozenset(), str(order[0]), 0)
            for name in sorted({one.crew for one in jobs})
        ),
        lots=tuple(lots),
        rain_days=frozenset(),
        rain_exposed_phases=frozenset(),
        pins=(),
        published=(),
        weights=core.Weights(),
    )
    return problem, Plan("past", tuple(planned), Score(0, 0, 0, 0, 0, 0, 0))


def _lots(
    jobs: list[Was],
    calendar: Calendar,
    slots: Mapping[str, str],
    kinds: Mapping[int, list[InspectionKind]],
    learned: Learned,
) -> tuple[list[core.Lot], list[PlannedJob]]:
    lots, planned = [], []
    for one in jobs:
        proving = [
            kind.pk
            for kind in kinds[one.place.jurisdiction_id]
            if one.code in kind.proves
        ]
        phase = core.LotPhase(
            phase=slots[one.code],
            status=core.OPEN,
            crew_quarters=one.quarters,
            ready_day=calendar.number_of(one.start),
            need_by_day=0,
            priority=1,
            builder_days_after_pass=0,
            pass_probability=learned.pass_probability(proving),
            inspected=any(proving),
        )
        label = f"{one.lot}-{one.phase}"
        start = 4 * calendar.number_of(one.start) + 2 * one.half
        end = start + one.quarters
        lots.append(core.Lot(label, str(one.place.pk), (phase,)))
        planned.append(
            PlannedJob(label, phase.phase, one.crew, start, end, end // 4 + 1)
        )
    return lots, planned


def _own(one: Was, kinds: Mapping[int, list[InspectionKind]], order: Order) -> bool:
    """Nothing that proves it waits for a later phase.

    What passes with a later phase passes on that one's day: no promise was made of it.
    """
    proving = [k for k in kinds[one.place.jurisdiction_id] if one.code in k.proves]
    last = [max(kind.proves, key=lambda code: order.get(code, -1)) for kind in proving]
    return all(code == one.code for code in last)
