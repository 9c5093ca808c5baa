"""Days on which no work could be done: rain, and crews' days off.

Days that are known lie in the problem and are not drawn; the shares here are of days
that nobody knows yet. Each share is pulled towards what is assumed by so many imagined
working days, and counts only since the first such day was entered: of the time before,
nobody knows whether none was or none was said.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta

from tracker.people.models import Crew, CrewDayOff
from tracker.planning.models import RainDay

from .calendar import DAY, Calendar, is_holiday

DAYS = 40  # imagined working days behind each share
# Without history, of working days and of crew-days: assumptions, not measurements.
RAIN, ABSENT = 0.06, 0.02
NOTICE = timedelta(days=7)  # crews are told a week or more ahead: common practice


@dataclass(frozen=True)
class Stops:
    """What was entered until some moment: rain days, and days off by crew.

    `rainy` of `rain_days` working days on record rained, `absent` of `crew_days` were
    days off that were said later than `NOTICE` before.
    """

    rain: frozenset[date] = frozenset()
    off: Mapping[int, frozenset[date]] = field(default_factory=dict)
    rainy: int = 0
    rain_days: int = 0
    absent: int = 0
    crew_days: int = 0
    crews: int = 0

    @property
    def rain_share(self) -> float:
        return (self.rainy + DAYS * RAIN) / (self.rain_days + DAYS)

    @property
    def absence_share(self) -> float:
        imagined = DAYS * max(1, self.crews)
        return (self.absent + imagined * ABSENT) / (self.crew_days + imagined)

    def stopped(self, day: date, crew: int | None, exposed: bool) -> bool:
        """A working day on which this crew could do nothing of such a phase."""
        off = is_holiday(day) or day in self.off.get(crew or 0, ())
        return off or (exposed and day in self.rain)

    def between(self, first: date, last: date, crew: int | None, exposed: bool) -> int:
        """How many working days behind the first and before the last were stopped."""
        days = (first + number * DAY for number in range(1, (last - first).days))
        return sum(self.stopped(d, crew, exposed) for d in days if d.weekday() < 5)


Entry = tuple[date, datetime]  # a day, and when it was said


def read_stops(since: datetime, until: datetime) -> Stops:
    """What was known at `until`, in four statements."""
    rain = _rain(until)
    off = _days_off(until)
    entries = [one for days in off.values() for one in days]
    gone = _past(entries, since, until)
    crews = Crew.objects.filter(is_active=True).count()
    return Stops(
        rain=frozenset(day for day, _ in rain),
        off={crew: frozenset(day for day, _ in days) for crew, days in off.items()},
        rainy=len(_past(rain, since, until)),
        rain_days=_on_record(rain, since, until),
        absent=sum(day - said.date() < NOTICE for day, said in gone),
        crew_days=crews * _on_record(entries, since, until),
        crews=crews,
    )


def _rain(until: datetime) -> list[Entry]:
    rows = RainDay.objects.filter(said_at__lte=until)
    return [
        (day, said)
        for day, said, gone in rows.values_list("day", "said_at", "taken_back_at")
        if gone is None or gone > until
    ]


def _days_off(until: datetime) -> dict[int, list[Entry]]:
    """By crew; one without history was there before anybody kept it."""
    history = CrewDayOff.history.filter(history_type="+")
    said = dict(history.values_list("id", "history_date"))
    found: dict[int, list[Entry]] = defaultdict(list)
    for pk, crew, day in CrewDayOff.objects.values_list("pk", "crew", "date"):
        at = said.get(pk) or datetime.combine(day - 2 * NOTICE, time(), UTC)
        if at <= until:
            found[crew].append((day, at))
    return found


def _past(entries: Iterable[Entry], since: datetime, until: datetime) -> list[Entry]:
    first, end = since.date(), until.date()
    return [
        (day, said) for day, said in entries if first <= day < end and day.weekday() < 5
    ]


def _on_record(entries: Iterable[Entry], since: datetime, until: datetime) -> int:
    """Working days gone by since the first such day was entered."""
    known = [min(day, said.date()) for day, said in entries]
    if not known:
        return 0
    first = max(since.date(), min(known))
    return max(0, Calendar(first).number_of(until.date()))
