"""Days of the office. Pure."""

from datetime import date, timedelta

import holidays

_HOLIDAYS = holidays.country_holidays("US")


def next_workday(today: date) -> date:
    """The working day after today (Monday to Friday, no federal holiday)."""
    day = today + timedelta(days=1)
    while day.weekday() >= 5 or day in _HOLIDAYS:
        day += timedelta(days=1)
    return day
