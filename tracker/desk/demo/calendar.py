"""Working days and crews' half-days, for telling a season's history."""

from collections import defaultdict
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

ZONE = ZoneInfo("America/Chicago")


def at(day: date, hour: int, minute: int = 0) -> datetime:
    return datetime.combine(day, time(hour, minute), tzinfo=ZONE)


def is_working(day: date) -> bool:
    return day.weekday() < 5


def plus(day: date, working_days: int) -> date:
    """The day so many working days later (or earlier), never a weekend."""
    step = 1 if working_days >= 0 else -1
    left = abs(working_days)
    while left or not is_working(day):
        day += timedelta(days=step if left else 1)
        if left and is_working(day):
            left -= 1
    return day


class CrewBook:
    """Which half-days of which crew are taken: 2 * ordinal day + half."""

    def __init__(self) -> None:
        self.taken: dict[int, set[int]] = defaultdict(set)

    def book(self, crew_ids: list[int], day: date, halves: int) -> tuple[int, int, int]:
        """Take the earliest run of half-days from `day`; (crew, first, last half)."""
        best: tuple[int, int, list[int]] | None = None
        for crew in crew_ids:
            run = self._run(crew, day, halves)
            if best is None or run[-1] < best[0]:
                best = (run[-1], crew, run)
        if best is None:
            raise ValueError("no crew is qualified")
        self.taken[best[1]].update(best[2])
        return best[1], best[2][0], best[2][-1]

    def _run(self, crew: int, day: date, halves: int) -> list[int]:
        run: list[int] = []
        slot = 2 * day.toordinal()
        while len(run) < halves:
            if slot in self.taken[crew]:
                run = []
            elif is_working(date.fromordinal(slot // 2)):
                run.append(slot)
            slot += 1
        return run
