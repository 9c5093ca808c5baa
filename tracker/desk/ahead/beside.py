"""What is shown beside a plan's score. Pure."""

from collections import defaultdict
from dataclasses import dataclass
from itertools import pairwise

from tracker.desk.ahead.sheet import DAY, HALF, Sheet, Span


@dataclass(frozen=True)
class Beside:
    """Shown beside the score, never in it."""

    idle_halves: int
    split_days: int
    kept: int
    could_keep: int


def beside(sheet: Sheet, days: int) -> Beside:
    """Idle half-days, crew-days split over sites, lots that keep their crew."""
    idle = split = 0
    for row in sheet.rows("crew", Span(0, days)):
        busy: set[int] = set()
        where: dict[int, set[str]] = defaultdict(set)
        for strip in row.strips:
            busy |= set(range(strip.start // HALF, (strip.end - 1) // HALF + 1))
            for day in range(strip.start // DAY, (strip.end - 1) // DAY + 1):
                where[day].add(strip.place)
        off = {half for day in row.off for half in (2 * day, 2 * day + 1)}
        idle += sum(half not in busy and half not in off for half in range(2 * days))
        split += sum(len(places) > 1 for places in where.values())
    crews: dict[str, list[str]] = defaultdict(list)
    for strip in sorted(sheet.strips, key=lambda one: one.start):
        if strip.crew:
            crews[strip.lot].append(strip.crew)
    pairs = [(a, b) for line in crews.values() for a, b in pairwise(line)]
    return Beside(idle, split, sum(a == b for a, b in pairs), len(pairs))
