"""Drain capacity, least slope, fall (IPC 704, 710; IRC P3005; UPC 703, 708)."""

import math
import re
from dataclasses import dataclass, replace
from functools import cache

from .nominal import plain
from .said import say
from .tables import Absent, Book, Cell, find, rows

CAPACITY = "dwv/02_drain_capacity"
SLOPE = "dwv/03_min_slope"
BRANCH, BUILDING, STACK = "branch", "building_drain", "stack"
_ITEMS = {
    ("IPC", BRANCH): "horizontal_branch",
    ("IRC", BRANCH): "horizontal_branch",
    ("UPC", BRANCH): "drain_horizontal",
    ("IPC", BUILDING): "building_drain_or_sewer",
    ("IRC", BUILDING): "building_drain_or_sewer",
    ("UPC", BUILDING): "drain_horizontal",
    ("IRC", STACK): "stack",
    ("UPC", STACK): "drain_vertical",
}
INTERVAL = "stack_one_branch_interval"
SHORT_STACK = "stack_total_3_intervals_or_less"
TALL_STACK = "stack_total_more_than_3_intervals"
_CLOSET_LIMIT = re.compile(
    r"at most (\d+) closets on a vertical pipe or stack, (\d+) on a horizontal"
)


@dataclass(frozen=True, slots=True)
class Capacity:
    """What a pipe may carry: units, the cells that say so, and its closet limit.

    closets is the most water closets on it, None where the book sets no number, and
    closet_cells what says so.
    """

    size_in: float
    units: float
    cells: tuple[Cell, ...]
    closets: int | None = None
    closet_cells: tuple[Cell, ...] = ()

    def carries(self, units: float, *, closets: int = 0) -> bool:
        """Whether load and closets stay within the limits."""
        fits = self.closets is None or closets <= self.closets
        return fits and units <= self.units


def column_of(book: Book, part: str, *, intervals: int = 1) -> str:
    """Name of the capacity column; IPC stacks have one for tall and short stacks."""
    if (book.code, part) == ("IPC", STACK):
        return SHORT_STACK if intervals <= 3 else TALL_STACK
    return _ITEMS[book.code, part]


@cache
def sizes(book: Book, item: str) -> tuple[float, ...]:
    """Pipe sizes the capacity column lists for the book, ascending."""
    found = {
        float(row["pipe_size_in"])
        for row in rows(CAPACITY)
        if row["code"] == book.code and row["element"] == item and row["pipe_size_in"]
    }
    return tuple(sorted(found))


def _closet_limit(
    book: Book, cell: Cell, size_in: float, condition: str, part: str
) -> tuple[int | None, Cell]:
    """Most closets, and the cell that says so: the table's, or a local setting."""
    name = f"closets_on_{plain(size_in)}_in_{part}"
    if setting := book.setting(name):
        local = Cell(
            name, "local", "", setting.note, name, setting.value, "closets",
            f"local: {setting.note}",
        )  # fmt: skip
        return int(float(setting.value)), local
    if "no water closet" in condition:
        return 0, cell
    found = _CLOSET_LIMIT.search(condition)
    if not found:
        return None, cell
    return int(found.group(1 if part == STACK else 2)), cell


@cache
def capacity(
    book: Book, part: str, size_in: float, *,
    slope_in_per_ft: float | None = None, item: str | None = None,
) -> Capacity | None:  # fmt: skip
    """Most drainage fixture units on a pipe, or None where the table has no row.

    part is branch, building_drain or stack; `item` picks another stack column. A
    slope between two columns uses the flatter one. UPC at 1/8 in. per foot takes 0.8
    of the figure, from 4 in. up only (Table 703.2 note, 708.1).
    """
    item = item or column_of(book, part)
    match = {"element": item, "pipe_size_in": plain(size_in)}
    reduced: Cell | None = None
    if item == "building_drain_or_sewer":
        column = _slope_column(book, item, size_in, slope_in_per_ft)
        if column is None:
            return None
        match["slope_in_per_ft"] = column
    if item == "drain_horizontal" and (slope_in_per_ft or 0.25) < 0.25:
        if size_in < 4 or (slope_in_per_ft or 0) < 0.125:
            return None
        reduced = find(
            CAPACITY,
            book,
            column="max_dfu",
            element="drain_horizontal_factor_at_1_8",
        )
    cell = find(CAPACITY, book, column="max_dfu", **match)
    if cell is None:
        return None
    condition = _condition(book, match)
    units = cell.number * (reduced.number if reduced else 1)
    cells = (cell, reduced) if reduced else (cell,)
    closets, closet_cell = _closet_limit(book, cell, size_in, condition, part)
    return Capacity(size_in, units, cells, closets, (closet_cell,))


def _condition(book: Book, match: dict[str, str]) -> str:
    for row in rows(CAPACITY):
        if row["code"] == book.code and all(row[k] == v for k, v in match.items()):
            return row["limit_note"]
    return ""


def _slope_column(
    book: Book, item: str, size_in: float, slope: float | None
) -> str | None:
    """The steepest column not steeper than the pipe; 1/4 in. when no slope is said."""
    listed = sorted(
        float(row["slope_in_per_ft"])
        for row in rows(CAPACITY)
        if row["code"] == book.code
        and row["element"] == item
        and row["pipe_size_in"] == plain(size_in)
    )
    wanted = 0.25 if slope is None else slope
    fitting = [column for column in listed if column <= wanted + 1e-9]
    return plain(fitting[-1]) if fitting else None


def least_size(
    book: Book, part: str, units: float, *,
    slope_in_per_ft: float | None = None, closets: int = 0,
    at_least_in: float = 0.0, item: str | None = None,
) -> Capacity:  # fmt: skip
    """The smallest listed pipe that carries the load, its closets and its fixtures.

    Raises Absent where no listed size does.
    """
    column = item or column_of(book, part)
    floor_in = max(at_least_in, 3.0 if closets else 0.0)
    for size in sizes(book, column):
        if size < floor_in:
            continue
        found = capacity(book, part, size, slope_in_per_ft=slope_in_per_ft, item=column)
        if found and found.carries(units, closets=closets):
            return found
    raise Absent(
        say("no_size_carries", book=book.code, part=say(f"part_{part}"), units=units)
    )


def least_slope(book: Book, size_in: float, *, use: str = "drain") -> Cell:
    """Least slope in in./ft (IPC Table 704.1, IRC P3005.3, UPC 708.1).

    use is drain or trap arm. UPC asks 1/4 for all; its 1/8 needs approval first, so
    it comes only as a local setting `slope_1_8_approved`.
    """
    approved = book.code == "UPC" and book.setting("slope_1_8_approved")
    for row in rows(SLOPE):
        if book.code not in row["code"].split("/"):
            continue
        if row["confidence"] == "low" or row["condition"].startswith("building sewer"):
            continue
        is_arm = row["condition"] == "trap arm"
        by_approval = "approves" in row["condition"]
        if is_arm != (use == "trap arm" and book.code != "UPC"):
            continue
        if book.code == "UPC" and by_approval != bool(approved and size_in >= 4):
            continue
        low = float(row["pipe_size_in_from"] or 0)
        high = float(row["pipe_size_in_to"] or 99)
        if low <= size_in <= high:
            cell = find(SLOPE, book, column="min_slope_in_per_ft", id=row["id"])
            assert cell is not None
            return replace(cell, item=f"least slope of a {use}, {plain(size_in)} in.")
    raise Absent(say("no_least_slope", book=book.code, size=plain(size_in)))


def longest_vertical(book: Book, size_in: float) -> Cell | None:
    """Longest vertical drain of a size in feet (UPC Table 703.2); None elsewhere."""
    return find(
        CAPACITY, book, column="max_dfu", element="max_length_vertical_drain",
        pipe_size_in=plain(size_in),
    )  # fmt: skip


def fall_in(run_ft: float, slope_in_per_ft: float) -> float:
    """Inches a run falls: run times slope (plain geometry)."""
    return run_ft * slope_in_per_ft


def split_load(units: float, limit: float) -> int:
    """How many equal drains of a limit carry a load."""
    return math.ceil(units / limit - 1e-9)
