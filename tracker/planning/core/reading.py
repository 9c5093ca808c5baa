"""Small strict readers of parsed JSON; every error names the place and the key."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

from .errors import BadProblem

Raw = Mapping[str, Any]

# Read past, whatever they say: for people and other programs.
REMARKS = frozenset({"comment", "note", "seed", "generator"})


def record(raw: object, place: str, needed: Iterable[str], more: Iterable[str]) -> Raw:
    """`raw` as an object that has every key of `needed` and none beyond `more`."""
    if not isinstance(raw, Mapping):
        raise BadProblem(f"{place}: expected an object, got {show(raw)}.")
    needed = tuple(needed)
    for key in needed:
        if key not in raw:
            raise BadProblem(f'{place}: the key "{key}" is missing.')
    unknown = set(map(str, raw)) - set(needed) - set(more) - REMARKS
    if unknown:
        raise BadProblem(f'{place}: unknown key "{min(unknown)}".')
    return raw


def show(value: object) -> str:
    text = repr(value)
    return text if len(text) <= 60 else text[:57] + "..."


def whole(
    raw: Raw, key: str, place: str, low: int | None = 0, high: int = 10**6
) -> int:
    """An integer of at least `low` and at most `high`."""
    value = raw[key]
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    if isinstance(value, bool) or not isinstance(value, int):
        raise BadProblem(f"{place}: {key} must be a whole number, got {show(value)}.")
    low = -(10**6) if low is None else low
    if not low <= value <= high:
        raise BadProblem(
            f"{place}: {key} must be from {low} to {high}, got {show(value)}."
        )
    return value


def number(raw: Raw, key: str, place: str, low: float, high: float) -> float:
    """A finite number of at least `low` and at most `high`."""
    value = raw[key]
    fine = isinstance(value, int | float) and not isinstance(value, bool)
    if not fine or not low <= value <= high:
        raise BadProblem(
            f"{place}: {key} must be a number from {low} to {high}, got {show(value)}."
        )
    return float(value)


def text(raw: Raw, key: str, place: str) -> str:
    value = raw[key]
    if not isinstance(value, str) or not value:
        raise BadProblem(f"{place}: {key} must be a text, got {show(value)}.")
    return value


def flag(raw: Raw, key: str, place: str, default: bool) -> bool:
    value = raw.get(key, default)
    if not isinstance(value, bool):
        raise BadProblem(f"{place}: {key} must be true or false, got {show(value)}.")
    return value


def one_of(raw: Raw, key: str, place: str, known: Iterable[str], what: str) -> str:
    """A text that is one of `known`, else an error calling it an unknown `what`."""
    value = text(raw, key, place)
    if value not in known:
        raise BadProblem(f'{place}: {key} names the unknown {what} "{value}".')
    return value


def items(raw: Raw, key: str, place: str) -> Sequence[Any]:
    value = raw[key]
    if isinstance(value, str) or not isinstance(value, Sequence):
        raise BadProblem(f"{place}: {key} must be a list, got {show(value)}.")
    return value


def days(raw: Raw, key: str, place: str) -> frozenset[int]:
    """A list of day numbers, each 0 or more; doubles are harmless."""
    return frozenset(
        whole({key: value}, key, place) for value in items(raw, key, place)
    )


def iso_day(value: object, place: str) -> date:
    try:
        return date.fromisoformat(value)  # type: ignore[arg-type]
    except (TypeError, ValueError):
        raise BadProblem(
            f"{place}: {show(value)} is not a date such as 2026-01-05."
        ) from None


def unique(names: Iterable[str], place: str) -> None:
    """Refuse a name that comes twice."""
    seen: set[str] = set()
    for name in names:
        if name in seen:
            raise BadProblem(f'{place}: "{name}" is there twice.')
        seen.add(name)
