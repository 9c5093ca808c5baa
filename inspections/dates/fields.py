"""Single values read strictly: the right kind, or a complaint with the key."""

import re
from collections.abc import Collection, Mapping
from datetime import date, datetime, time
from typing import Any

from inspections.dates.malformed import Malformed

FIRST_YEAR, LAST_YEAR = 1970, 2200

_TIME = re.compile(r"[0-2][0-9]:[0-5][0-9]", re.ASCII)
_DATE = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
_MOMENT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d(:\d\d(\.\d{1,6})?)?", re.ASCII)


def an_object(
    value: object,
    key: str,
    *,
    allowed: Collection[str],
    required: Collection[str] = (),
) -> Mapping[str, Any]:
    if not isinstance(value, dict):
        raise Malformed(key, "an_object", value=shown(value))
    for name in value:
        if name not in allowed:
            known = ", ".join(sorted(allowed))
            raise Malformed(f"{key}.{name}", "not_a_key", known=known)
    for name in required:
        if name not in value:
            raise Malformed(f"{key}.{name}", "missing")
    return value


def a_list(value: object, key: str) -> list[Any]:
    if not isinstance(value, list):
        raise Malformed(key, "a_list", value=shown(value))
    return value


def a_text(value: object, key: str) -> str:
    if not isinstance(value, str) or not value.strip():
        raise Malformed(key, "a_text", value=shown(value))
    return value


def a_whole_number(value: object, key: str, *, least: int, most: int = 10_000) -> int:
    if not isinstance(value, int) or isinstance(value, bool):
        raise Malformed(key, "a_whole_number", value=shown(value))
    if not least <= value <= most:
        raise Malformed(key, "from_to", least=least, most=most, value=shown(value))
    return value


def a_time(value: object, key: str) -> time:
    """`"15:00"`: hours and minutes, nothing else."""
    if isinstance(value, str) and _TIME.fullmatch(value) and value < "24:00":
        return time.fromisoformat(value)
    raise Malformed(key, "a_time", value=shown(value))


def a_date(value: object, key: str) -> date:
    if isinstance(value, str) and _DATE.fullmatch(value):
        try:
            return _believable(date.fromisoformat(value), key)
        except ValueError as wrong:
            _pass_on(wrong)
    raise Malformed(key, "a_date", value=shown(value))


def a_local_moment(value: object, key: str) -> datetime:
    """Local date and time of day, no offset: the office's clock is meant."""
    if isinstance(value, str) and _MOMENT.fullmatch(value):
        try:
            moment = datetime.fromisoformat(value)
            _believable(moment.date(), key)
            return moment
        except ValueError as wrong:
            _pass_on(wrong)
    raise Malformed(key, "a_moment", value=shown(value))


def _believable(day: date, key: str) -> date:
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise Malformed(key, "years", first=FIRST_YEAR, last=LAST_YEAR, year=day.year)
    return day


def _pass_on(wrong: ValueError) -> None:
    """A complaint of ours goes on as it is; one of the library is reworded."""
    if isinstance(wrong, Malformed):
        raise wrong


def shown(value: object) -> str:
    """The value as a person may recognise it, never longer than a line."""
    names = {dict: "an object", list: "a list", type(None): "null"}
    if type(value) in names:
        return names[type(value)]
    text = repr(value) if not isinstance(value, int) or abs(value) < 10**20 else "that"
    return text if len(text) <= 60 else text[:57] + "..."
