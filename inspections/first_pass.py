"""How often work passes the first time, with honest intervals, and why it fails."""

import math
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

# Two-sided 95 percent of the normal distribution.
Z_95 = 1.959963984540054
# Common practice: below this a rate says little, whatever it is.
FEW = 10


@dataclass(frozen=True, slots=True)
class Rate:
    """`passed` of `total`; the true rate lies in `low`..`high` with 95 percent."""

    passed: int
    total: int
    low: float
    high: float

    @property
    def share(self) -> float | None:
        return self.passed / self.total if self.total else None

    @property
    def few(self) -> bool:
        """Too few to compare anybody by."""
        return self.total < FEW

    @property
    def words(self) -> str:
        """ "18 of 20 (90 %, between 70 % and 97 %)", and a warning when few."""
        if self.share is None:
            return "none yet"
        said = (
            f"{self.passed} of {self.total} ({self.share:.0%}, "
            f"between {self.low:.0%} and {self.high:.0%})"
        )
        return said + (": too few to tell" if self.few else "")


def first_pass_rate(passed: int, total: int) -> Rate:
    """Wilson's score interval (1927). Raises ValueError for counts that cannot be.

    Nothing seen yet leaves everything open: 0 to 1.
    """
    if not 0 <= passed <= total:
        raise ValueError(f"{passed} of {total} cannot be")
    if total == 0:
        return Rate(0, 0, 0.0, 1.0)
    share, square = passed / total, Z_95 * Z_95
    middle = (share + square / (2 * total)) / (1 + square / total)
    half = (
        Z_95
        * math.sqrt(share * (1 - share) / total + square / (4 * total * total))
        / (1 + square / total)
    )
    low = 0.0 if passed == 0 else middle - half
    high = 1.0 if passed == total else middle + half
    return Rate(passed, total, low, high)


def differ(one: Rate, other: Rate) -> bool:
    """The two intervals do not touch, so chance is a poor explanation."""
    return one.high < other.low or other.high < one.low


@dataclass(frozen=True, slots=True)
class Reason:
    """Why inspections failed, most frequent first, with its share of all fails."""

    reason: str
    count: int
    share: Rate


def ranked(reasons: Iterable[str]) -> list[Reason]:
    """Reasons for failing, most frequent first, then by name."""
    counted = Counter(reasons)
    total = counted.total()
    return [
        Reason(reason, count, first_pass_rate(count, total))
        for reason, count in sorted(
            counted.items(), key=lambda pair: (-pair[1], pair[0])
        )
    ]
