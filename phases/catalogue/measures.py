"""Lengths in sixteenths of an inch, read and written as the trade does."""

from fractions import Fraction
from math import gcd

SIXTEENTHS = 16


def parse_inches(text: str) -> int:
    """Read `12`, `12.5`, `12 1/2`, `3/4` or `-1/4` (inches) as sixteenths.

    Raises ValueError when the text is no length or is finer than a sixteenth.
    """
    words = text.strip().replace('"', "").replace("-", " -", 1).split()
    negative = bool(words) and words[0].startswith("-")
    if negative:
        words[0] = words[0][1:]
    try:
        if not 1 <= len(words) <= 2:
            raise ValueError
        parts = [Fraction(word) for word in words]
    except (ValueError, ZeroDivisionError):
        raise ValueError(
            f"{text!r} is not a length in inches. Write it like 12, 12.5 or 12 1/2."
        ) from None
    if any(part < 0 for part in parts) or (
        len(parts) == 2 and (parts[0].denominator != 1 or parts[1] >= 1)
    ):
        raise ValueError(f"{text!r} is not a length in inches. Write it like 12 1/2.")
    length = sum(parts) * SIXTEENTHS
    if length.denominator != 1:
        raise ValueError(f"{text!r} is finer than a sixteenth of an inch. Round it.")
    return -int(length) if negative else int(length)


def format_number(sixteenths: int) -> str:
    """Write sixteenths as inches without the mark: 200 is `12 1/2`."""
    sign = "-" if sixteenths < 0 else ""
    whole, rest = divmod(abs(sixteenths), SIXTEENTHS)
    if not rest:
        return f"{sign}{whole}"
    shared = gcd(rest, SIXTEENTHS)
    fraction = f"{rest // shared}/{SIXTEENTHS // shared}"
    return f"{sign}{whole} {fraction}" if whole else f"{sign}{fraction}"


def format_inches(sixteenths: int) -> str:
    """Write sixteenths as inches with the mark: 200 is `12 1/2"`."""
    return f'{format_number(sixteenths)}"'
