"""An office's own date rules brought down to weekdays, cut-off, lead and cap.

The format has one cut-off quarter and one lead in working days for an office. They are
found by asking the exact rules at the end of each quarter of the coming weeks: the
cheapest pair that never promises an earlier day than the exact rules give. Where the
calendar later proves even that pair too bold (a holiday inside a lead, a full day), the
visit is put off; where it cannot be, `tighten` closes the day and the plan is made
again.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from itertools import product

from inspections.dates import Earliest, why_closed
from inspections.offices import DateRules, OfficeRecord, Within, when
from tracker.planning.core.problem import QUARTERS, Jurisdiction

from .calendar import DAY, LISTED, Calendar

SAMPLED = 25  # working days
MOST_LEAD = 15
NO_CAP = 1000
ASSUMED_LEAD = 2  # where the office does not say how soon it comes: common practice
RESULT_BY = time(17)
NO_OFFICE = "no office"


@dataclass(frozen=True)
class OfficeLine:
    """An office in the format; `again` are days from one visit to the next that waits
    for it, `assumed` says that the office does not publish its dates.
    """

    line: Jurisdiction
    again: int = 0
    assumed: bool = False


def no_office() -> OfficeLine:
    """For lots whose office nobody has named: nothing is inspected there."""
    weekdays = frozenset(range(5))
    return OfficeLine(Jurisdiction(NO_OFFICE, weekdays, frozenset(), 0, 4, NO_CAP))


def office_line(
    name: str,
    office: OfficeRecord,
    kinds: tuple[str, ...],
    *,
    booked: Mapping[date, int],
    kinds_a_visit: float,
    calendar: Calendar,
) -> OfficeLine:
    """The office as the format can say it, never bolder than its own rules."""
    weekdays, closed = _open_days(office, kinds, calendar)
    cap = office.usual.rules.cap_per_day
    full = {
        calendar.number_of(day)
        for day, count in booked.items()
        if cap is not None
        and count >= cap
        and day.weekday() < 5
        and day >= calendar.day0
    }
    line = Jurisdiction(
        id=name,
        weekdays=weekdays,
        closed_days=closed | full,
        lead_days=ASSUMED_LEAD,
        cutoff_quarter=QUARTERS,
        daily_cap=max(1, int(cap / max(1.0, kinds_a_visit))) if cap else NO_CAP,
    )
    usual = _without_holidays(office)
    exact = {
        (day, quarter): first
        for day, quarter in product(range(SAMPLED), range(1, QUARTERS + 1))
        if (first := _exact(usual, kinds, calendar, day, quarter)) is not None
    }
    if not exact:
        return OfficeLine(line, again=ASSUMED_LEAD + 1, assumed=True)
    plain = replace(line, closed_days=frozenset())
    lead, cutoff = _cheapest(plain, exact, calendar)
    line = replace(line, lead_days=lead, cutoff_quarter=cutoff)
    return OfficeLine(line, again=_again(usual, kinds, calendar))


def _without_holidays(office: OfficeRecord) -> OfficeRecord:
    """The office in a week without closed days: what lead and cut-off come from."""

    def usual(given: DateRules) -> DateRules:
        rules = replace(
            given.rules,
            holidays=None,
            closed_dates=frozenset(),
            closed_monthly=frozenset(),
        )
        return replace(given, rules=rules)

    by_kind = {kind: usual(given) for kind, given in office.by_kind.items()}
    return replace(office, usual=usual(office.usual), by_kind=by_kind)


def tighten(line: Jurisdiction, *, day: int) -> Jurisdiction:
    """A stricter line after the exact rules refused an inspection on `day`."""
    return replace(line, closed_days=line.closed_days | {day})


def _open_days(
    office: OfficeRecord, kinds: tuple[str, ...], calendar: Calendar
) -> tuple[frozenset[int], frozenset[int]]:
    """Weekdays with inspections of every kind, and days that are shut all the same."""
    rules = {office.date_rules(kind).rules for kind in ("", *kinds)}
    weekdays = frozenset(range(5))
    for one in rules:
        weekdays &= one.inspection_weekdays
    weekdays = weekdays or frozenset(range(5))
    closed = set()
    for number in range(LISTED):
        day = calendar.date_of(number)
        shut = any(why_closed(one, day) for one in rules)
        if shut and day.weekday() in weekdays:
            closed.add(number)
    return weekdays, frozenset(closed)


def _ask(
    office: OfficeRecord, kind: str, at: datetime, day: date | None
) -> date | None:
    found = when(office, kind=kind, requested_at=at, not_before=day)
    if isinstance(found, Earliest):
        return found.inspect_on
    return found.latest_on if isinstance(found, Within) else None


def _exact(
    office: OfficeRecord,
    kinds: tuple[str, ...],
    calendar: Calendar,
    day: int,
    quarter: int,
) -> date | None:
    """The day that the slowest kind gets when work ends with that quarter."""
    at = calendar.moment(QUARTERS * day + quarter)
    found = [_ask(office, kind, at, at.date() + DAY) for kind in kinds or ("",)]
    return max((one for one in found if one is not None), default=None)


def _cheapest(
    line: Jurisdiction, exact: Mapping[tuple[int, int], date], calendar: Calendar
) -> tuple[int, int]:
    """Lead and cut-off that never come before the exact days, with the least delay."""
    wanted = {key: calendar.number_of(day) for key, day in exact.items()}
    best: tuple[int, int, int] | None = None
    for lead, cutoff in product(range(MOST_LEAD), range(QUARTERS, -1, -1)):
        given = replace(line, lead_days=lead, cutoff_quarter=cutoff)
        days = {key: simple_day(given, calendar, *key) for key in wanted}
        if any(days[key] < wanted[key] for key in wanted):
            continue
        cost = sum(days.values())
        if best is None or cost < best[0]:
            best = (cost, lead, cutoff)
    return (best[1], best[2]) if best else (MOST_LEAD, 0)


def simple_day(line: Jurisdiction, calendar: Calendar, day: int, quarter: int) -> int:
    """The day the format gives to work that ends with `quarter` of `day`."""
    call = day if quarter <= line.cutoff_quarter else day + 1
    visit = call + line.lead_days
    shut = line.closed_days
    while calendar.date_of(visit).weekday() not in line.weekdays or visit in shut:
        visit += 1
    return visit


def _again(office: OfficeRecord, kinds: tuple[str, ...], calendar: Calendar) -> int:
    """Working days from a visit to the one that is asked for after its result."""
    most = 1
    for number in range(5):
        day = calendar.date_of(number)
        at = datetime.combine(day, RESULT_BY) - timedelta(minutes=1)
        for kind in kinds or ("",):
            found = _ask(office, kind, at, None)
            if found is not None:
                most = max(most, calendar.number_of(found) - number)
    return most
