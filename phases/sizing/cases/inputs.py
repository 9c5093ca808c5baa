"""Reading the inputs of a case: numbers, sizes and books, each error naming its key."""

import math
import re
from collections.abc import Callable, Mapping
from typing import Any

from ..nominal import NOMINALS, inches, is_nominal
from ..tables import CODES, Book

_UNITS = re.compile(
    r"_(in_per_ft|in_wc|mm_wc|in_hg|oz_per_ft|ml_per_m|l_per_m|psi_per_ft|per_ft|kpa_per_m|btu_per_cf|"
    r"mj_per_m3|btu_h|btuh|btu|kbtu_h|mbh|cfh|cfm|ft|in|inches|inch|feet|foot|yd|m|"
    r"mm|cm|km|mm_per_m|cm_per_m|m_per_m|pct|percent|psi|psig|psf|kpa|mpa|pa|bar|mbar|"
    r"gpm|gph|lpm|lps|l_s|l_min|l_per_s|m3_h|gal|l|litres|liters|kw|w|mj_h|kcal_h|"
    r"degrees|deg|rad|f|c|k|tons|kg|oz|ml)$",
    re.IGNORECASE,
)
_YEAR = re.compile(r"\b(19|20)\d\d\b")


class BadInput(ValueError):
    """An input that cannot be used. `key` names it, the message says what to give."""

    def __init__(self, key: str, message: str) -> None:
        super().__init__(message)
        self.key = key


def shown(value: object) -> str:
    """A value in a message, cut where it is long."""
    text = type(value).__name__ if isinstance(value, dict | list) else repr(value)
    return text if len(text) <= 60 else f"{text[:57]}..."


def stem(key: str) -> str:
    """The name of an input without its unit."""
    return _UNITS.sub("", key)


class Inputs:
    """The inputs of one case. Remembers which keys were asked for."""

    def __init__(self, values: Mapping[str, Any], *, prefix: str = "") -> None:
        self.values = values
        self.prefix = prefix
        self.asked: dict[str, None] = {}
        self._lower = {str(key).lower(): key for key in values}

    def _found(self, names: tuple[str, ...]) -> str | None:
        """The first name that is given; `rise_F` is `rise_f`."""
        self.asked.update(dict.fromkeys(names))
        for name in names:
            if name in self.values:
                return name
            if written := self._lower.get(name.lower()):
                self.asked[written] = None
                return written
        return None

    def has(self, *names: str) -> bool:
        """Whether one of the names is given (and not null)."""
        name = self._found(names)
        return name is not None and self.values[name] is not None

    def key_of(self, *names: str) -> str:
        """The name in use; raises BadInput where none of them is given."""
        name = self._found(names)
        if name is not None:
            return name
        self.refuse_other_units()
        raise BadInput(self.prefix + names[0], f"{self.prefix + names[0]} is missing.")

    def require_one_of(self, names: tuple[str, ...], others: tuple[str, ...]) -> None:
        """Raise BadInput that names the first where neither set is given."""
        if not self.has(*others):
            self.key_of(*names)

    def _raise_on_other_unit(self, names: tuple[str, ...]) -> None:
        for key in self.values:
            for name in names:
                if key not in self.asked and stem(key) == stem(name):
                    raise BadInput(
                        self.prefix + key,
                        f"{self.prefix + key}: give {name} instead, in that unit.",
                    )

    def refuse_other_units(self) -> None:
        """Raise BadInput for a leftover input that is a known one in another unit."""
        self._raise_on_other_unit(tuple(self.asked))

    def leftover(self) -> list[str]:
        """Inputs that no check asked for."""
        return [key for key in self.values if key not in self.asked]

    def number(
        self, *names: str, least: float = 0.0, over: float | None = None,
        most: float = 1e9, default: float | None = None,
    ) -> float:  # fmt: skip
        """A finite number. `over` forbids the bound itself, `least` allows it."""
        if default is not None and not self.has(*names):
            return default
        key = self.key_of(*names)
        return check_number(
            self.values[key], self.prefix + key, least=least, over=over, most=most
        )

    def length(self, *names: str, default: float | None = None) -> float:
        """A number over zero: a length, a slope or a flow."""
        return self.number(*names, over=0.0, default=default)

    def count(self, *names: str, default: int | None = None, least: int = 0) -> int:
        """A whole number."""
        if default is not None and not self.has(*names):
            return default
        key = self.key_of(*names)
        return check_count(self.values[key], self.prefix + key, least=least)

    def size(self, *names: str) -> float:
        """A nominal pipe size in inches, given as a number or as `1-1/2`."""
        key = self.key_of(*names)
        return check_size(self.values[key], self.prefix + key)

    def text(self, *names: str, default: str | None = None) -> str:
        """Words that are not blank."""
        if default is not None and not self.has(*names):
            return default
        key = self.key_of(*names)
        value = self.values[key]
        if not isinstance(value, str) or not value.strip():
            raise BadInput(self.prefix + key, f"{self.prefix + key}: give a word.")
        return value.strip()

    def mapping(self, *names: str) -> tuple[str, Mapping[str, Any]]:
        """An object with at least one entry, and the key it was found under."""
        key = self.key_of(*names)
        value = self.values[key]
        if not isinstance(value, dict) or not value:
            raise BadInput(
                self.prefix + key, f"{self.prefix + key}: give an object of entries."
            )
        return self.prefix + key, value

    def items(self, *names: str) -> tuple[str, list[Any]]:
        """A list, and the key it was found under."""
        key = self.key_of(*names)
        value = self.values[key]
        if not isinstance(value, list):
            raise BadInput(self.prefix + key, f"{self.prefix + key}: give a list.")
        return self.prefix + key, value

    def inside(self, *names: str) -> "Inputs":
        """The inputs of an object within this one."""
        key, value = self.mapping(*names)
        return Inputs(value, prefix=f"{key}.")

    def book(self, *, default: str | None = None) -> Book:
        """Code book and edition; of `IPC/IRC` the first named is taken."""
        text = self.text("code", "code_book", "book", default=default)
        words = [word for word in re.split(r"[^A-Za-z]+", text.upper()) if word]
        named = [word for word in words if word in CODES]
        if not named and {"IFGC", "IMC", "IPMC"} & set(words):
            named = ["IPC"]
        if not named and "UMC" in words:
            named = ["UPC"]
        if not named:
            raise BadInput(
                self.key_of("code", "code_book", "book"),
                f"Code book {text!r} is not known. Give one of: {', '.join(CODES)}.",
            )
        return Book(named[0], self.edition(text))

    def edition(self, code_text: str) -> int:
        """Edition as a year, from `edition` or from the code text; 2021 otherwise."""
        if not self.has("edition"):
            found = _YEAR.search(code_text)
            return int(found.group()) if found else 2021
        value = self.values["edition"]
        found = _YEAR.search(str(value))
        if isinstance(value, bool) or not found:
            raise BadInput("edition", "edition: give the year, such as 2021.")
        return int(found.group())


def check_number(
    value: object, key: str, *,
    least: float = 0.0, over: float | None = None, most: float = 1e9,
) -> float:  # fmt: skip
    """A finite number within bounds, or BadInput naming the key."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise BadInput(key, f"{key}: give a number, not {shown(value)}.")
    try:
        number = float(value)
    except OverflowError:
        raise BadInput(key, f"{key}: {shown(value)} is too large.") from None
    if not math.isfinite(number):
        raise BadInput(key, f"{key}: give a finite number, not {shown(value)}.")
    if over is not None and number <= over:
        raise BadInput(key, f"{key}: give a number over {over:g}, not {number:g}.")
    if number < least:
        raise BadInput(key, f"{key}: give {least:g} or more, not {number:g}.")
    if number > most:
        raise BadInput(key, f"{key}: {number:g} is more than {most:g}.")
    return number


def check_count(value: object, key: str, *, least: int = 0) -> int:
    """A whole number, or BadInput naming the key."""
    number = check_number(value, key, least=least)
    if number != int(number):
        raise BadInput(key, f"{key}: give a whole number, not {number:g}.")
    return int(number)


def check_size(value: object, key: str) -> float:
    """A nominal size in inches from a number or a text such as `3/4`."""
    if isinstance(value, str):
        try:
            number = inches(value)
        except ValueError as error:
            raise BadInput(key, f"{key}: {error}.") from None
    else:
        number = check_number(value, key, over=0.0)
    if not is_nominal(number):
        known = ", ".join(NOMINALS)
        raise BadInput(key, f"{key}: {number:g} in. is no pipe size. Sizes: {known}.")
    return number


def each(
    values: Mapping[str, Any], key: str, read: Callable[[object, str], float]
) -> dict[str, float]:
    """Every entry of an object read by one function, errors naming key and entry."""
    return {name: read(value, f"{key}.{name}") for name, value in values.items()}
