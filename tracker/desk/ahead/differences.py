"""A draft beside what crews are told now, by crew and by lot. Pure but for names."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from tracker.desk.ahead.sheet import DAY, Sheet, Strip

Score = Mapping[str, int]


@dataclass(frozen=True)
class Difference:
    strip: Strip
    was_crew: str
    was_day: date | None
    was_half: int
    now_day: date | None
    now_half: int
    phase: str = ""

    @property
    def crews(self) -> set[str]:
        return {self.strip.crew, self.was_crew} - {""}


def differences(
    sheet: Sheet,
    until: date,
    told: Mapping[tuple[str, str], tuple[str, int]],
    names: Mapping[str, str],
) -> list[Difference]:
    """Jobs whose crew or half-day is otherwise, or that are told for the first time."""
    last = sheet.calendar.number_of(until, back=True)
    found = []
    for strip in sheet.strips:
        if not strip.crew:
            continue
        shown = strip.start < DAY * (last + 1)
        was = told.get(strip.name)
        if was is None and not shown:
            continue
        if was is not None and shown and strip.was is None:
            continue
        now = sheet.calendar.date_of(strip.start // DAY) if shown else None
        before = sheet.calendar.date_of(was[1] // DAY) if was else None
        half = was[1] % DAY // 2 if was else 0
        crew = was[0] if was else ""
        afternoon = strip.start % DAY // 2
        phase = names.get(strip.phase, strip.phase)
        found.append(Difference(strip, crew, before, half, now, afternoon, phase))
    return sorted(found, key=lambda one: (one.strip.start, one.strip.lot))


def by_crew(found: list[Difference]) -> dict[str, list[Difference]]:
    lines: dict[str, list[Difference]] = defaultdict(list)
    for one in found:
        for crew in one.crews:
            lines[crew].append(one)
    return dict(sorted(lines.items()))


def by_lot(found: list[Difference]) -> dict[str, list[Difference]]:
    lines: dict[str, list[Difference]] = defaultdict(list)
    for one in found:
        lines[one.strip.lot].append(one)
    return dict(sorted(lines.items()))


@dataclass(frozen=True)
class Part:
    """One part of the score in two plans."""

    name: str
    before: int | None
    after: int

    @property
    def text(self) -> str:
        return PART_TEXTS[self.name]

    @property
    def change(self) -> int:
        return self.after - (self.before or 0)


PART_TEXTS = {
    "total": "score",
    "weighted_late_days": "late days, weighted",
    "late_days": "late days",
    "late_jobs": "late jobs",
    "moves": "drives",
    "crew_changes": "crews changed",
    "day_changes": "days changed",
}
PARTS = (
    *("total", "weighted_late_days", "late_days", "late_jobs"),
    *("moves", "crew_changes", "day_changes"),
)


def parts(before: Score | None, after: Score) -> list[Part]:
    """Both scores answer the same problem; else they say nothing of each other."""
    return [
        Part(name, before.get(name) if before else None, after[name]) for name in PARTS
    ]


def on_time(odds: list[list[Any]]) -> float | None:
    """Mean chance of a phase to pass by need-by."""
    if not odds:
        return None
    return float(sum(row[8] for row in odds) / len(odds))
