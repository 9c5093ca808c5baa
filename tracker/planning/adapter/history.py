"""What the contractor's own past says: speeds, durations, waits, passes, slips.

How speeds and durations go together stands in `durations`. Each is pulled towards a
default by so many imagined cases, so that few data say little.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from statistics import median
from typing import Any

from django.db.models import Count

from inspections.models import InspectionResult
from phases.models import LotPhase
from phases.state.view import NO_PASS
from tracker.planning.core.season import Sampled, Season, Spread
from tracker.sites.models import BuilderDate

from .calendar import Calendar
from .durations import (
    WEIGHT,
    Kind,
    Quarters,
    finished,
    learned_ratios,
    learned_speeds,
    spreads_of,
)
from .keys import Name
from .stops import ABSENT, RAIN, Stops, read_stops

LOOK_BACK = timedelta(days=200)
PASSES = 0.85  # first visits that pass: assumed for an office without history
# Working days that a builder needs between a pass and the next phase: common practice.
WAITS: Mapping[str, int] = {"underground": 12, "rough": 1, "topout": 22, "trim": 0}
# Of the builder's ready dates, and by how many working days: assumed without history.
SLIPS, SLIPPED = 0.25, 2


@dataclass(frozen=True)
class Belief:
    """A chance that is drawn: in per cent, as assumed, and the cases it rests on."""

    code: str
    percent: float
    assumed: float
    cases: int


@dataclass(frozen=True)
class Learned:
    """`speeds` by crew, `ratios` by format phase and house plan, `waits` by format
    phase, `passes` by kind of inspection.
    """

    speeds: Mapping[int, float] = field(default_factory=dict)
    ratios: Mapping[Kind, tuple[float, ...]] = field(default_factory=dict)
    waits: Mapping[str, int] = field(default_factory=dict)
    passes: Mapping[int, float] = field(default_factory=dict)
    slip_share: float = SLIPS
    slip_days: int = 3
    slip_dates: int = 0  # said in the past, from which the share is learned
    stops: Stops = field(default_factory=Stops)
    cases: int = 0

    def speed(self, crew: int | None, set_speed: float) -> float:
        """The crew's learned speed; without finished work the one that was set."""
        return self.speeds.get(crew or 0, set_speed)

    def wait(self, phase: str) -> int:
        return self.waits.get(phase, WAITS.get(phase, 0))

    def pass_probability(self, kinds: Iterable[int]) -> float:
        chance = 1.0
        for kind in kinds:
            chance *= self.passes.get(kind, PASSES)
        return round(chance, 3)

    def beliefs(self) -> tuple[Belief, ...]:
        """What nobody plans and the draws count on, for people to see."""
        stops = self.stops
        told = (
            ("slip", self.slip_share, SLIPS, self.slip_dates),
            ("rain", stops.rain_share, RAIN, stops.rain_days),
            ("absence", stops.absence_share, ABSENT, stops.crew_days),
        )
        return tuple(
            Belief(code, round(100 * share, 1), round(100 * assumed, 1), cases)
            for code, share, assumed, cases in told
        )

    def season(self, plans: Mapping[Name, int | None] | None = None) -> Season:
        """What is drawn, for jobs of these house plans."""
        phases, kinds = spreads_of(self.ratios)
        durations: dict[str | Name, Spread | Sampled] = dict(phases)
        for name, plan in (plans or {}).items():
            if (name[1], plan) in kinds:
                durations[name] = kinds[name[1], plan]
        return Season(
            durations=durations,
            slip_share=round(self.slip_share, 3),
            slip_days=self.slip_days,
            rain_share=round(self.stops.rain_share, 3),
            absence_share=round(self.stops.absence_share, 3),
        )


def season_json(season: Season) -> dict[str, Any]:
    """The season as JSON: spreads by phase are `durations`, by job `of_jobs`."""
    spreads = {
        name: [spread.median, spread.sigma]
        for name, spread in season.durations.items()
        if isinstance(spread, Spread)
    }
    return {
        **season.__dict__,
        "durations": {n: pair for n, pair in spreads.items() if isinstance(n, str)},
        "of_jobs": [
            [*n, *pair] for n, pair in spreads.items() if not isinstance(n, str)
        ],
        "called_in": [[*name, day] for name, day in season.called_in.items()],
    }


def read_season(record: Mapping[str, Any]) -> Season:
    if not record:
        return Season()
    more = dict(record)
    durations: dict[str | Name, Spread | Sampled] = {
        phase: Spread(*pair) for phase, pair in more.pop("durations").items()
    }
    for lot, phase, *pair in more.pop("of_jobs", ()):
        durations[lot, phase] = Spread(*pair)
    called_in = {(lot, phase): day for lot, phase, day in more.pop("called_in", ())}
    return Season(**more, durations=durations, called_in=called_in)


def learn(slots: Mapping[str, str], quarters: Quarters, *, now: datetime) -> Learned:
    """Read the past up to `now` in nine statements.

    `slots` leads from our phase codes to the format's; `quarters` is as for `finished`.
    """
    since = now - LOOK_BACK
    stops = read_stops(since, now)
    done = finished(quarters, stops, since, now)
    speeds = learned_speeds(done)
    ratios = learned_ratios(done, speeds)
    share, days, dates = _slips(since, now)
    return Learned(
        speeds=speeds,
        ratios={
            (slots[code], plan): found
            for (code, plan), found in ratios.items()
            if code in slots
        },
        waits=_waits(slots, since.date(), now.date()),
        passes=_passes(since.date(), now.date()),
        slip_share=share,
        slip_days=days,
        slip_dates=dates,
        stops=stops,
        cases=len(done),
    )


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


def _slips(since: datetime, until: datetime) -> tuple[float, int, int]:
    """Share of ready dates said again later, and by how many working days at most; of
    so many dates.

    A slip is drawn as 1 to so many days, each alike; so many that the middle of them is
    the median of the past. Dates of one part of readiness are no dates of the phase.
    """
    rows = (
        BuilderDate.objects.filter(what="ready", recorded_at__range=(since, until))
        .filter(part="")
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
    usual = WEIGHT * SLIPPED + (len(slips) * median(slips) if slips else 0)
    most = max(1, round(2 * usual / (WEIGHT + len(slips)) - 1))
    return share, most, len(said)
