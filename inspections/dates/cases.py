"""Cases as JSON lines: each line's rules and ask, answered or complained about."""

import json
from collections.abc import Iterable, Iterator
from datetime import date
from typing import Any

from inspections.dates import fields
from inspections.dates.answers import earliest, latest_request
from inspections.dates.malformed import Malformed
from inspections.dates.reading import parse_rules

ASK_KEYS = {
    "earliest": ("kind", "requested_at", "booked", "not_before"),
    "latest_request": ("kind", "inspect_on", "booked"),
}


def answer_lines(lines: Iterable[bytes]) -> Iterator[dict[str, Any]]:
    """One `{"id", "answer"}` or `{"id", "error"}` for each line that is not blank.

    A wrong line never stops the next one. Lines are UTF-8 bytes, numbered from 1.
    """
    seen: dict[str | int, int] = {}
    for number, line in enumerate(lines, start=1):
        if line.strip():
            yield _answer_line(line, number, seen)


def _answer_line(
    line: bytes, number: int, seen: dict[str | int, int]
) -> dict[str, Any]:
    name: str | int | None = None
    try:
        case = _read_line(line, number)
        name = _read_id(case, number)
        if name in seen:
            raise Malformed("id", "line_same_id", line=number, other=seen[name])
        seen[name] = number
        return {"id": name, "answer": answer_case(case)}
    except Malformed as wrong:
        return {"id": name, "error": {"key": wrong.key, "message": wrong.message}}


def _read_line(line: bytes, number: int) -> dict[str, Any]:
    try:
        case = json.loads(line.decode("utf-8-sig"), object_pairs_hook=_once_each)
    except UnicodeDecodeError:
        raise Malformed("line", "line_not_text", line=number) from None
    except RecursionError:
        raise Malformed("line", "line_too_deep", line=number) from None
    except Malformed as wrong:
        raise Malformed(wrong.key, "line_twice", line=number) from None
    except ValueError as wrong:
        raise Malformed("line", "line_not_json", line=number, why=str(wrong)) from None
    if not isinstance(case, dict):
        raise Malformed("line", "line_an_object", line=number)
    return case


def _once_each(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """JSON lets a key come twice; which one is meant would be a guess."""
    seen: dict[str, Any] = {}
    for key, value in pairs:
        if key in seen:
            raise Malformed(key, "twice")
        seen[key] = value
    return seen


def _read_id(case: dict[str, Any], number: int) -> str | int:
    name = case.get("id")
    if isinstance(name, bool) or not isinstance(name, str | int) or name == "":
        raise Malformed("id", "line_no_id", line=number)
    return name


def answer_case(case: dict[str, Any]) -> dict[str, Any]:
    """The answer in the shape of `expect`. Raises `Malformed`."""
    for key in ("rules", "ask"):
        if key not in case:
            raise Malformed(key, "missing")
    rules = parse_rules(case["rules"])
    kind = _ask_kind(case["ask"])
    ask = fields.an_object(case["ask"], "ask", allowed=ASK_KEYS[kind])
    booked = _booked(ask.get("booked"))
    if kind == "latest_request":
        inspect_on = fields.a_date(_needed(ask, "inspect_on"), "ask.inspect_on")
        answer = latest_request(rules, inspect_on=inspect_on, booked=booked)
        return answer.as_json()
    not_before = ask.get("not_before")
    return earliest(
        rules,
        requested_at=fields.a_local_moment(
            _needed(ask, "requested_at"), "ask.requested_at"
        ),
        booked=booked,
        not_before=None
        if not_before is None
        else fields.a_date(not_before, "ask.not_before"),
    ).as_json()


def _ask_kind(ask: object) -> str:
    if not isinstance(ask, dict):
        raise Malformed("ask", "an_object", value=fields.shown(ask))
    kind = _needed(ask, "kind")
    if not isinstance(kind, str) or kind not in ASK_KEYS:
        known = ", ".join(f'"{name}"' for name in ASK_KEYS)
        value = fields.shown(kind)
        raise Malformed("ask.kind", "one_of_not", known=known, value=value)
    return kind


def _needed(ask: Any, name: str) -> object:
    if name not in ask:
        raise Malformed(f"ask.{name}", "missing")
    return ask[name]


def _booked(value: object) -> dict[date, int]:
    if value is None:
        return {}
    if not isinstance(value, dict):
        raise Malformed("ask.booked", "an_object", value=fields.shown(value))
    return {
        fields.a_date(day, "ask.booked"): fields.a_whole_number(
            count, f"ask.booked.{day}", least=0
        )
        for day, count in value.items()
    }
