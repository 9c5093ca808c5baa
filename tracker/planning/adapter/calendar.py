"""Working days and quarters of a day, counted from today. Pure."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

import holidays

from tracker.planning.core.problem import QUARTERS

# Work is from seven to three, a quarter of a day is two hours: common practice.
STARTS, QUARTER_HOURS = 7, 2
LISTED = 180  # working days; behind them Monday to Friday go on without holidays
DAY = timedelta(days=1)
_HOLIDAYS = holidays.country_holidays("US")


def is_holiday(day: date) -> bool:
    """No crew works."""
    return day in _HOLIDAYS


def quarters_gone(at: time) -> int:
    """How many quarters of the day are over; one half over counts as over."""
    hours = at.hour + at.minute / 60 - STARTS
    return max(0, min(QUARTERS, int(hours / QUARTER_HOURS + 0.5)))


@dataclass(frozen=True)
class Calendar:
    """Day 0 is the first working day with a quarter left; `gone` are its quarters."""

    day0: date
    gone: int = 0

    @classmethod
    def at(cls, local: datetime) -> "Calendar":
        day, gone = local.date(), quarters_gone(local.time())
        if gone == QUARTERS:
            day, gone = day + DAY, 0
        while day.weekday() > 4:
            day, gone = day + DAY, 0
        return cls(day, gone)

    @property
    def days(self) -> tuple[date, ...]:
        return tuple(self.date_of(number) for number in range(LISTED))

    def date_of(self, number: int) -> date:
        weeks, rest = divmod(self.day0.weekday() + number, 5)
        return self.day0 + timedelta(days=7 * weeks + rest - self.day0.weekday())

    def number_of(self, day: date, *, back: bool = False) -> int:
        """Position of a day; a weekend is the Monday after, or the Friday before."""
        if day.weekday() > 4:
            over = day.weekday() - 4
            day += timedelta(days=-over if back else 3 - over)
        weeks = (day - self.day0).days - (day.weekday() - self.day0.weekday())
        return weeks // 7 * 5 + day.weekday() - self.day0.weekday()

    def moment(self, quarter: int) -> datetime:
        """The local time at which that many quarters from day 0 on are over."""
        day, done = divmod(max(0, quarter - 1), QUARTERS)
        hour = STARTS + QUARTER_HOURS * (done + 1)
        return datetime.combine(self.date_of(day), time(hour))

    def quarters_between(self, start: datetime, end: datetime) -> int:
        """Working quarters from one local time to another, at least 1."""
        days = self.number_of(end.date(), back=True) - self.number_of(start.date())
        part = quarters_gone(end.time()) - quarters_gone(start.time())
        return max(1, QUARTERS * days + part)
