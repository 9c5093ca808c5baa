"""Nominal pipe sizes: the trade writes 1-1/2, the tables use 1.5."""

from fractions import Fraction
from functools import lru_cache

NOMINALS: tuple[str, ...] = (
    "1/4", "3/8", "1/2", "5/8", "3/4", "1", "1-1/4", "1-1/2", "2", "2-1/2", "3",
    "4", "5", "6", "8",
)  # fmt: skip


@lru_cache(maxsize=512)
def inches(text: str) -> float:
    """Inches of a nominal size such as `3/4` or `1-1/2`.

    Raises ValueError where the text is no such size.
    """
    words = text.strip().removesuffix("in.").removesuffix("in").strip()
    total = Fraction(0)
    parts = words.replace("-", " ").split()
    if not parts or len(parts) > 2:
        raise ValueError(f"{text!r} is no pipe size such as 3/4 or 1-1/2")
    try:
        for part in parts:
            total += Fraction(part)
    except (ValueError, ZeroDivisionError) as error:
        raise ValueError(f"{text!r} is no pipe size such as 3/4 or 1-1/2") from error
    return float(total)


_BY_INCHES = {inches(name): name for name in NOMINALS}


def nominal(size_in: float) -> str:
    """Trade name of a size: 1.5 is `1-1/2`. Raises ValueError for an unknown size."""
    try:
        return _BY_INCHES[round(float(size_in), 4)]
    except KeyError:
        raise ValueError(f"{size_in:g} in. is no nominal pipe size") from None


def is_nominal(size_in: float) -> bool:
    """Whether a pipe of this size is made."""
    return round(float(size_in), 4) in _BY_INCHES


def plain(value: float) -> str:
    """A number without a trailing zero: 2.0 is `2`, 2.5 stays `2.5`."""
    return f"{value:g}"


def tidy(value: float, places: int = 2) -> float | int:
    """Round for print; a whole number comes back as an int."""
    rounded = round(value, places)
    return int(rounded) if rounded == int(rounded) else rounded
