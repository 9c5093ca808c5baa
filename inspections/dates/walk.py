"""Walking the calendar, with an end: some rules leave no day open at all."""

from collections.abc import Callable, Iterator
from datetime import date, timedelta

from inspections.dates.malformed import Malformed
from inspections.dates.rules import Booked, Rules, is_open, is_request_day

DAY = timedelta(days=1)

# Weekdays, "never the n-th" and public holidays repeat within a year or two. Past the
# last date that any list names, this many shut days in a row mean that none ever opens.
SHUT_FOR_EVER = 800


def days(
    rules: Rules, start: date, *, step: timedelta = DAY, booked: Booked | None = None
) -> Iterator[date]:
    """Days from `start` on (or back); `Malformed` once no open day can follow."""
    named = [*rules.closed_dates, *(booked or ()), start]
    edge = max(named) if step > timedelta() else min(named)
    last = edge + SHUT_FOR_EVER * step
    day = start
    while day != last:
        yield day
        day += step
    raise Malformed(_shut_by(rules), "never_open")


def _shut_by(rules: Rules) -> str:
    if rules.closed_monthly:
        return "rules.closed_monthly"
    if set(rules.request_weekdays) - set(rules.inspection_weekdays):
        return "rules.request_weekdays"
    return "rules.inspection_weekdays"


def first_where(
    test: Callable[[Rules, date], bool],
    rules: Rules,
    start: date,
    *,
    step: timedelta = DAY,
) -> date:
    """The first day at or after (or before) `start` that passes `test`."""
    return next(day for day in days(rules, start, step=step) if test(rules, day))


def next_request_day(rules: Rules, start: date) -> date:
    return first_where(is_request_day, rules, start)


def last_request_day(rules: Rules, start: date) -> date:
    return first_where(is_request_day, rules, start, step=-DAY)


def nth_inspection_day(
    rules: Rules, start: date, *, n: int, step: timedelta = DAY
) -> date:
    """The n-th inspection day at or after (or before) `start`, n at least 1."""
    day = first_where(is_open, rules, start, step=step)
    for _ in range(n - 1):
        day = first_where(is_open, rules, day + step, step=step)
    return day
