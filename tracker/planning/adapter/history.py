"""What the contractor's own past says: speeds, durations, waits, passes, slips.

Each is pulled towards a default by so many imagined cases, so that few data say little.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from statistics import median
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Count

from inspections.models import InspectionResult
from phases.models import Fact, LotPhase
from phases.state.view import NO_PASS
from tracker.planning.core.season import Season, Spread, fit_spread
from tracker.sites.models import BuilderDate

from .calendar import Calendar

LOOK_BACK = timedelta(days=200)
WEIGHT = 8.0  # imagined cases behind every default
PASSES = 0.85  # first visits that pass: assumed for an office without history
# Working days that a builder needs between a pass and the next phase: common practice.
WAITS: Mapping[str, int] = {"underground": 12, "rough": 1, "topout": 22, "trim": 0}
SLIPS = 0.25  # of the builder's ready dates


@dataclass(frozen=True)
class Learned:
    """`speeds` by crew, `waits` by format phase, `passes` by inspection kind."""

    speeds: Mapping[int, float] = field(default_factory=dict)
    ratios: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    waits: Mapping[str, int] = field(default_factory=dict)
    passes: Mapping[int, float] = field(default_factory=dict)
    slip_share: float = SLIPS
    slip_days: int = 3
    cases: int = 0

    def wait(self, phase: str) -> int:
        return self.waits.get(phase, WAITS.get(phase, 0))

    def pass_probability(self, kinds: Iterable[int]) -> float:
        chance = 1.0
        for kind in kinds:
            chance *= self.passes.get(kind, PASSES)
        return round(chance, 3)

    def season(self) -> Season:
        spreads = {phase: fit_spread(found) for phase, found in self.ratios.items()}
        return Season(
            durations=spreads,
            slip_share=round(self.slip_share, 3),
            slip_days=self.slip_days,
        )


def season_json(season: Season) -> dict[str, Any]:
    record = dict(season.__dict__)
    record["durations"] = {
        phase: [spread.median, spread.sigma]
        for phase, spread in season.durations.items()
    }
    return record


def read_season(record: Mapping[str, Any]) -> Season:
    if not record:
        return Season()
    spreads = {phase: Spread(*pair) for phase, pair in record["durations"].items()}
    return Season(**{**record, "durations": spreads})


def learn(slots: Mapping[str, str], quarters: Any, *, now: datetime) -> Learned:
    """Read the past up to `now` in five statements.

    `slots` leads from our phase codes to the format's; `quarters(plan's own, code)`
    gives what the plan says a phase takes.
    """
    since = now - LOOK_BACK
    speeds, ratios, cases = _durations(slots, quarters, since, now)
    share, days = _slips(since, now)
    return Learned(
        speeds=speeds,
        ratios=ratios,
        waits=_waits(slots, since.date(), now.date()),
        passes=_passes(since.date(), now.date()),
        slip_share=share,
        slip_days=days,
        cases=cases,
    )


def _durations(
    slots: Mapping[str, str], quarters: Any, since: datetime, until: datetime
) -> tuple[dict[int, float], dict[str, tuple[float, ...]], int]:
    """Real against planned quarters of finished work, by crew and by phase."""
    rows = (
        Fact.objects.filter(
            kind__in=("started", "work_done", "broken_off"),
            lot_phase__work__in=("done", "proven"),
            recorded_at__range=(since, until),
        )
        .order_by("no")
        .values_list(
            "lot_phase",
            "kind",
            "happened_at",
            "lot_phase__crew",
            "lot_phase__kind__code",
            "lot__plan__crew_quarters",
            "lot__subdivision__time_zone",
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
    by_crew: dict[int, list[tuple[int, int]]] = defaultdict(list)
    by_phase: dict[str, list[float]] = defaultdict(list)
    for phase, (end, (crew, code, own, zone)) in done.items():
        start = started.get(phase)
        # Broken-off work took a time that nobody wrote down.
        if start is None or start >= end or phase in broken:
            continue
        place = ZoneInfo(zone)
        here, there = start.astimezone(place), end.astimezone(place)
        took = Calendar(here.date()).quarters_between(here, there)
        planned = quarters(own or {}, code)
        if crew is not None:
            by_crew[crew].append((planned, took))
        if code in slots:
            by_phase[slots[code]].append(took / planned)
    speeds = {crew: _speed(pairs) for crew, pairs in by_crew.items()}
    ratios = {phase: tuple(found) for phase, found in by_phase.items()}
    return speeds, ratios, len(done)


def _speed(pairs: Iterable[tuple[int, int]]) -> float:
    """Planned over real quarters, shrunk towards 1; the reader multiplies it in."""
    pairs = list(pairs)
    mean = sum(planned for planned, _ in pairs) / len(pairs)
    planned = sum(one for one, _ in pairs) + WEIGHT * mean
    took = sum(one for _, one in pairs) + WEIGHT * mean
    return round(min(2.0, max(0.5, planned / took)), 2)


def _waits(slots: Mapping[str, str], since: date, until: date) -> dict[str, int]:
    """Median working days from a pass to the day the next phase was ready for."""
    rows = LotPhase.objects.filter(passed_on__range=(since, until)).values_list(
        "lot", "position", "kind__code", "passed_on"
    )
    passed = {
        (lot, position): (code, on) for lot, position, code, on in rows.order_by()
    }
    ready = LotPhase.objects.exclude(ready_date=None).filter(ready_date__gte=since)
    found: dict[str, list[int]] = defaultdict(list)
    for lot, position, on in ready.order_by().values_list(
        "lot", "position", "ready_date"
    ):
        before = passed.get((lot, position - 1))
        if before and before[0] in slots and on > before[1]:
            days = Calendar(before[1]).number_of(on) - 1
            found[slots[before[0]]].append(days)
    waits = {}
    for phase, days in found.items():
        default = WAITS.get(phase, 0)
        weight = len(days) / (len(days) + WEIGHT)
        waits[phase] = round(weight * median(days) + (1 - weight) * default)
    return waits


def _passes(since: date, until: date) -> dict[int, float]:
    """Share of visits that passed, by kind of inspection."""
    counts: dict[int, list[float]] = defaultdict(lambda: [0.0, 0.0])
    rows = InspectionResult.objects.filter(on__range=(since, until)).order_by()
    for kind, result, n in rows.values_list("kind", "result").annotate(n=Count("pk")):
        if result == "passed" or result in NO_PASS:
            counts[kind][0] += n * (result == "passed")
            counts[kind][1] += n
    return {
        kind: (passed + WEIGHT * PASSES) / (total + WEIGHT)
        for kind, (passed, total) in counts.items()
    }


def _slips(since: datetime, until: datetime) -> tuple[float, int]:
    """Share of ready dates said again later, and by how many working days."""
    rows = (
        BuilderDate.objects.filter(what="ready", recorded_at__range=(since, until))
        .exclude(date=None)
        .exclude(phase="")
        .order_by("fact_no")
        .values_list("lot", "phase", "date")
    )
    said: dict[tuple[int, str], list[date]] = defaultdict(list)
    for lot, phase, on in rows:
        said[lot, phase].append(on)
    slips = [
        Calendar(dates[0]).number_of(dates[-1])
        for dates in said.values()
        if dates[-1] > dates[0]
    ]
    share = (len(slips) + WEIGHT * SLIPS) / (len(said) + WEIGHT)
    return share, max(1, round(median(slips))) if slips else 3
