"""The rules of one office, and whether a day is open under them."""

from collections.abc import Container, Mapping
from dataclasses import dataclass
from datetime import date, time
from functools import lru_cache
from zoneinfo import ZoneInfo

import holidays as public_holidays

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
MON_TO_FRI = frozenset(range(5))

# A booking sheet: how many inspections this contractor already has on a day.
Booked = Mapping[date, int]


@dataclass(frozen=True, slots=True)
class Window:
    """A span of one day, local time; the inspector comes inside it."""

    opens: time
    closes: time

    def as_json(self) -> list[str]:
        return [f"{self.opens:%H:%M}", f"{self.closes:%H:%M}"]


@dataclass(frozen=True, slots=True)
class Lead:
    """`amount` inspection days, or `amount` elapsed hours."""

    unit: str
    amount: int

    @property
    def in_hours(self) -> bool:
        return self.unit == "hours"


@dataclass(frozen=True, slots=True)
class HolidayCalendar:
    """Public holidays of a country or a part of it, observed days included."""

    country: str
    subdiv: str | None = None


ALL_DAY_HOURS = (Window(time(8), time(16)),) * 7


@dataclass(frozen=True, slots=True)
class Rules:
    """One office's rules. Weekdays count from Monday = 0; times are local."""

    timezone: str
    lead: Lead
    inspection_weekdays: frozenset[int] = MON_TO_FRI
    request_weekdays: frozenset[int] = MON_TO_FRI
    holidays: HolidayCalendar | None = None
    closed_dates: frozenset[date] = frozenset()
    closed_monthly: frozenset[tuple[int, int]] = frozenset()  # (weekday, nth)
    cutoff: time | None = None
    windows: tuple[Window, ...] = ()
    hours: tuple[Window, ...] = ALL_DAY_HOURS  # one for each weekday
    cap_per_day: int | None = None
    book_ahead_days: int | None = None

    @property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.timezone)

    def windows_on(self, day: date) -> tuple[Window, ...]:
        """The spans in which an inspector may come on an open day, first one first."""
        if self.windows:
            return tuple(sorted(self.windows, key=lambda window: window.opens))
        return (self.hours[day.weekday()],)


@lru_cache(maxsize=64)
def calendar_of(holidays: HolidayCalendar) -> Container[date]:
    """The library's calendar. Raises NotImplementedError for a place it lacks."""
    return public_holidays.country_holidays(holidays.country, subdiv=holidays.subdiv)


def why_office_closed(rules: Rules, day: date) -> str | None:
    """`holiday` or `closed`: neither inspections nor requests count."""
    if rules.holidays is not None and day in calendar_of(rules.holidays):
        return "holiday"
    if day in rules.closed_dates:
        return "closed"
    return None


def why_closed(rules: Rules, day: date) -> str | None:
    """Why no inspection is held that day, first reason first; None when one is.

    `weekday`, `holiday`, `closed` or `closed monthly`.
    """
    if day.weekday() not in rules.inspection_weekdays:
        return "weekday"
    reason = why_office_closed(rules, day)
    if reason is None and (day.weekday(), (day.day + 6) // 7) in rules.closed_monthly:
        return "closed monthly"
    return reason


def why_not_held(rules: Rules, day: date, booked: Booked) -> str | None:
    """As `why_closed`, and `full` when this contractor's cap is reached."""
    reason = why_closed(rules, day)
    if reason is not None or rules.cap_per_day is None:
        return reason
    return "full" if booked.get(day, 0) >= rules.cap_per_day else None


def is_open(rules: Rules, day: date) -> bool:
    """An inspection day: inspectors go out."""
    return why_closed(rules, day) is None


def is_request_day(rules: Rules, day: date) -> bool:
    """A request made that day (by the cut-off) counts on it."""
    return (
        day.weekday() in rules.request_weekdays
        and why_office_closed(rules, day) is None
    )
