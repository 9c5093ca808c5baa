"""When a warning is due: in the morning list, and again before the cut-off. Pure."""

from datetime import date, datetime, time, timedelta

MORNING = time(6)
# Common practice: the office can still make a call two hours before the cut-off.
AHEAD = timedelta(hours=2)
OFFICE_OPENS = time(8)
LAST_CHANCE = time(15)
EVENING = time(17)
DAY = timedelta(days=1)


def morning_of(call_in_by: datetime) -> datetime:
    """06:00 of the last working morning on which the call can still be made."""
    day = call_in_by.date()
    if call_in_by.time() < OFFICE_OPENS:
        day -= DAY
    return datetime.combine(weekday_before(day), MORNING, tzinfo=call_in_by.tzinfo)


def last_warning(call_in_by: datetime) -> datetime:
    """Two hours before the cut-off; on the last working afternoon where that is at
    night or on a weekend.
    """
    moment = call_in_by - AHEAD
    day = morning_of(call_in_by).date()
    latest = datetime.combine(day, LAST_CHANCE, tzinfo=call_in_by.tzinfo)
    return min(moment, latest)


def weekday_before(day: date) -> date:
    """The day itself, or the Friday before a weekend."""
    while day.weekday() > 4:
        day -= DAY
    return day


def warning_now(call_in_by: datetime, now: datetime) -> str | None:
    """`morning` or `cutoff` where that warning is due now, None before and after."""
    if now > call_in_by:
        return None
    if now >= last_warning(call_in_by):
        return "cutoff"
    return "morning" if now >= morning_of(call_in_by) else None
