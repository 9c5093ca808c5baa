"""Rules and asks read from JSON values; every complaint names its key."""

from collections.abc import Callable, Mapping
from datetime import date
from functools import lru_cache
from typing import Any, TypeVar
from zoneinfo import available_timezones

import holidays as public_holidays

from inspections.dates import fields
from inspections.dates.malformed import Malformed
from inspections.dates.rules import (
    ALL_DAY_HOURS,
    MON_TO_FRI,
    WEEKDAYS,
    HolidayCalendar,
    Lead,
    Rules,
    Window,
    calendar_of,
)

KEYS = frozenset(
    {
        "timezone",
        "inspection_weekdays",
        "request_weekdays",
        "holidays",
        "closed_dates",
        "closed_monthly",
        "cutoff",
        "lead",
        "windows",
        "hours",
        "cap_per_day",
        "book_ahead_days",
    }
)
Read = TypeVar("Read")

MOST = {"inspection_days": 366, "hours": 366 * 24}


def parse_rules(data: object, *, key: str = "rules") -> Rules:
    """Rules from a JSON object with the keys of `KEYS`; `Malformed` names the first
    wrong key. `key` is the place of the object, for messages.
    """
    given = fields.an_object(data, key, allowed=KEYS, required=("timezone", "lead"))
    open_on = _weekdays(given, "inspection_weekdays", key, default=MON_TO_FRI)
    return Rules(
        timezone=_timezone(given["timezone"], f"{key}.timezone"),
        lead=_lead(given["lead"], f"{key}.lead"),
        inspection_weekdays=open_on,
        request_weekdays=_weekdays(given, "request_weekdays", key, default=open_on),
        holidays=_or_none(_holidays, given, "holidays", key),
        closed_dates=_closed_dates(given.get("closed_dates", []), key),
        closed_monthly=_closed_monthly(given.get("closed_monthly", []), key),
        cutoff=_or_none(fields.a_time, given, "cutoff", key),
        windows=_or_none(_windows, given, "windows", key) or (),
        hours=_hours(given, f"{key}.hours", open_on),
        cap_per_day=_count(given, "cap_per_day", key, least=1),
        book_ahead_days=_count(given, "book_ahead_days", key, least=0),
    )


def _or_none(
    read: Callable[[object, str], Read], given: Mapping[str, Any], name: str, key: str
) -> Read | None:
    """None where the key is missing or null, which both mean "none"."""
    value = given.get(name)
    return None if value is None else read(value, f"{key}.{name}")


def _timezone(value: object, key: str) -> str:
    name = fields.a_text(value, key)
    if name not in _zones():
        raise Malformed(key, "no_time_zone", value=fields.shown(name))
    return name


@lru_cache(maxsize=1)
def _zones() -> frozenset[str]:
    return frozenset(available_timezones())


def _weekdays(
    given: Mapping[str, Any], name: str, key: str, *, default: frozenset[int]
) -> frozenset[int]:
    if name not in given:
        return default
    where = f"{key}.{name}"
    named = fields.a_list(given[name], where)
    if not named:
        raise Malformed(where, "no_weekday")
    return frozenset(_weekday(value, where) for value in named)


def _weekday(value: object, key: str) -> int:
    if not isinstance(value, str) or value not in WEEKDAYS:
        known = ", ".join(WEEKDAYS)
        raise Malformed(key, "uses", known=known, value=fields.shown(value))
    return WEEKDAYS.index(value)


def _lead(value: object, key: str) -> Lead:
    parts = ("unit", "amount")
    given = fields.an_object(value, key, allowed=parts, required=parts)
    unit = given["unit"]
    if not isinstance(unit, str) or unit not in MOST:
        known, value = '"inspection_days", "hours"', fields.shown(unit)
        raise Malformed(f"{key}.unit", "one_of_not", known=known, value=value)
    amount = fields.a_whole_number(
        given["amount"], f"{key}.amount", least=0, most=MOST[unit]
    )
    return Lead(unit, amount)


def _holidays(value: object, key: str) -> HolidayCalendar:
    given = fields.an_object(
        value, key, allowed=("country", "subdiv"), required=("country",)
    )
    country = fields.a_text(given["country"], f"{key}.country")
    if country not in _countries():
        value = fields.shown(country)
        raise Malformed(f"{key}.country", "no_country", value=value)
    subdiv = given.get("subdiv")
    if subdiv is not None:
        fields.a_text(subdiv, f"{key}.subdiv")
    calendar = HolidayCalendar(country, subdiv)
    try:
        calendar_of(calendar)
    except NotImplementedError:
        known = ", ".join(_countries()[country]) or "none"
        raise Malformed(
            f"{key}.subdiv",
            "no_part",
            value=fields.shown(subdiv),
            country=country,
            known=known,
        ) from None
    return calendar


@lru_cache(maxsize=1)
def _countries() -> Mapping[str, list[str]]:
    return public_holidays.list_supported_countries()


def _closed_dates(value: object, key: str) -> frozenset[date]:
    where = f"{key}.closed_dates"
    return frozenset(fields.a_date(day, where) for day in fields.a_list(value, where))


def _closed_monthly(value: object, key: str) -> frozenset[tuple[int, int]]:
    where = f"{key}.closed_monthly"
    parts = ("weekday", "nth")
    closed = set()
    for item in fields.a_list(value, where):
        given = fields.an_object(item, where, allowed=parts, required=parts)
        weekday = _weekday(given["weekday"], f"{where}.weekday")
        nth = fields.a_whole_number(given["nth"], f"{where}.nth", least=1, most=5)
        closed.add((weekday, nth))
    return frozenset(closed)


def _windows(value: object, key: str) -> tuple[Window, ...]:
    spans = fields.a_list(value, key)
    if not spans:
        raise Malformed(key, "no_window")
    return tuple(_window(span, key) for span in spans)


def _window(value: object, key: str) -> Window:
    span = fields.a_list(value, key)
    if len(span) != 2:
        raise Malformed(key, "two_times")
    opens, closes = (fields.a_time(part, key) for part in span)
    if not opens < closes:
        hours = {"opens": f"{opens:%H:%M}", "closes": f"{closes:%H:%M}"}
        raise Malformed(key, "opens_late", **hours)
    return Window(opens, closes)


def _hours(
    given: Mapping[str, Any], key: str, open_on: frozenset[int]
) -> tuple[Window, ...]:
    if "hours" not in given:
        return ALL_DAY_HOURS
    value = given["hours"]
    if isinstance(value, list):
        return (_window(value, key),) * 7
    spans = {
        name: _window(span, f"{key}.{name}")
        for name, span in fields.an_object(
            value, key, allowed=(*WEEKDAYS, "default")
        ).items()
    }
    bare = [name for name in WEEKDAYS if name not in spans]
    if "default" not in spans and any(WEEKDAYS.index(name) in open_on for name in bare):
        raise Malformed(f"{key}.default", "missing_too", days=", ".join(bare))
    # A day without inspections needs hours only to fill its place.
    fallback = spans.get("default", ALL_DAY_HOURS[0])
    return tuple(spans.get(name, fallback) for name in WEEKDAYS)


def _count(given: Mapping[str, Any], name: str, key: str, *, least: int) -> int | None:
    if given.get(name) is None:
        return None
    return fields.a_whole_number(given[name], f"{key}.{name}", least=least)
