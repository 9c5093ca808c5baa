"""Material of an outline by phase: every line says its rule and what it counted.

Pipe is added up from the outline; fittings follow stated rules and are estimates.
Waste is a setting, corrected by what lots really used.
"""

import csv
import io
import math
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from statistics import median

PHASES = ("underground", "rough", "topout", "trim")
PIPE_WASTE, FITTING_WASTE = 10.0, 5.0
HEADER = (
    "phase", "item", "size", "quantity", "unit", "net", "waste_pct", "basis", "rule",
    "counted",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the list.

    net      quantity before waste; basis `counted` or `estimated`
    rule     how the quantity comes about; counted what went into it, `pipes: 3`
    """

    phase: str
    item: str
    size: str
    net: float
    unit: str
    rule: str
    counted: str
    basis: str = "counted"
    waste_pct: float = 0.0

    @property
    def quantity(self) -> float:
        """To order with waste: feet rounded up, pieces to the nearest, never under net.

        A piece of waste is added only where it adds up to one (10 at 5 per cent).
        """
        exact = self.net * (1 + self.waste_pct / 100)
        if self.unit == "ft":
            return math.ceil(exact - 1e-9)
        return max(math.floor(exact + 0.5), math.ceil(self.net - 1e-9))

    @property
    def key(self) -> tuple[str, str, str, str]:
        """What makes two lines the same thing."""
        return (self.phase, self.item, self.size, self.unit)


class Tally:
    """Adds up quantities of one item by phase and size, remembering the inputs."""

    def __init__(self, waste: Mapping[str, float] | None = None) -> None:
        self._waste = dict(waste or {})
        self._net: dict[tuple[str, str, str, str], float] = defaultdict(float)
        self._how: dict[tuple[str, str, str, str], tuple[str, str, str]] = {}
        self._inputs: dict[tuple[str, str, str, str], int] = defaultdict(int)

    def add(
        self, phase: str, item: str, size: str, amount: float, unit: str, *,
        rule: str, of: str, basis: str = "counted",
    ) -> None:  # fmt: skip
        """Add an amount; `of` names the inputs that are counted (pipes, arms ...)."""
        if amount <= 0:
            return
        key = (phase, item, size, unit)
        self._net[key] += amount
        self._inputs[key] += 1
        self._how[key] = (rule, of, basis)

    def lines(self) -> tuple[Line, ...]:
        """The lines in order of phase, item and size."""
        found = []
        for key, net in self._net.items():
            phase, item, size, unit = key
            rule, of, basis = self._how[key]
            default = PIPE_WASTE if unit == "ft" else FITTING_WASTE
            if basis == "counted" and unit != "ft":
                default = 0.0
            waste = self._waste.get(item, default)
            found.append(
                Line(
                    phase, item, size, round(net, 2), unit, rule,
                    f"{of}: {self._inputs[key]}", basis, waste,
                )
            )  # fmt: skip
        return tuple(sorted(found, key=_order))


def _order(line: Line) -> tuple[int, str, str]:
    return (PHASES.index(line.phase), line.item, line.size)


def table_rows(lines: Iterable[Line]) -> list[tuple[str | float, ...]]:
    """Header and rows for CSV, XLSX or a page."""
    body = [
        (
            line.phase, line.item, line.size, line.quantity, line.unit, line.net,
            line.waste_pct, line.basis, line.rule, line.counted,
        )
        for line in lines
    ]  # fmt: skip
    return [HEADER, *body]


def csv_text(lines: Iterable[Line]) -> str:
    """The list as CSV with a header."""
    target = io.StringIO()
    csv.writer(target).writerows(table_rows(lines))
    return target.getvalue()


@dataclass(frozen=True, slots=True)
class Change:
    """How much of an item an option adds (or saves, negative)."""

    phase: str
    item: str
    size: str
    unit: str
    before: float
    after: float

    @property
    def more(self) -> float:
        """After less before."""
        return self.after - self.before


def changes(before: Iterable[Line], after: Iterable[Line]) -> tuple[Change, ...]:
    """What differs between two lists, in order of phase and item."""
    old = {line.key: line.quantity for line in before}
    new = {line.key: line.quantity for line in after}
    keys = sorted({*old, *new}, key=lambda key: (PHASES.index(key[0]), key))
    return tuple(
        Change(*key, old.get(key, 0.0), new.get(key, 0.0))
        for key in keys
        if old.get(key, 0.0) != new.get(key, 0.0)
    )


def by_week(
    dated: Iterable[tuple[date, Iterable[Line]]],
) -> dict[date, dict[tuple[str, str, str], float]]:
    """Quantities by the Monday of the week the phase starts: item, size, unit."""
    found: dict[date, dict[tuple[str, str, str], float]] = defaultdict(
        lambda: defaultdict(float)
    )
    for day, lines in dated:
        monday = date.fromordinal(day.toordinal() - day.weekday())
        for line in lines:
            found[monday][line.item, line.size, line.unit] += line.quantity
    return {monday: dict(items) for monday, items in sorted(found.items())}


def learned_waste(used: Iterable[tuple[float, float]], *, default: float) -> float:
    """Waste per cent from (net, really used) of past lots: the median, never negative.

    The default stays until three lots are known.
    """
    shares = [100 * (real / net - 1) for net, real in used if net > 0]
    if len(shares) < 3:
        return default
    return round(max(median(shares), 0.0), 1)
