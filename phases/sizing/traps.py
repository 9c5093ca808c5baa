"""Trap arms: length to the vent, fall, closets (IPC 909, IRC P3105, UPC 1002.2)."""

import math
from dataclasses import dataclass

from .drainage import least_slope
from .nominal import plain
from .said import say
from .tables import Absent, Book, Cell, find

ARM = "dwv/04_trap_arm"


@dataclass(frozen=True, slots=True)
class ArmLimit:
    """Longest trap arm in feet; None where the book sets no limit (closets)."""

    longest_ft: float | None
    cells: tuple[Cell, ...]


def table_length(book: Book, size_in: float) -> Cell:
    """Table length from trap to vent in feet; UPC's 4 in. row also covers larger."""
    row_size = 4.0 if book.code == "UPC" and size_in > 4 else size_in
    cell = find(ARM, book, item="max_trap_to_vent", trap_arm_size_in=plain(row_size))
    if cell is None:
        raise Absent(say("no_arm_size", book=book.code, size=plain(size_in)))
    return cell


def longest(book: Book, size_in: float, *, closet: bool = False) -> ArmLimit:
    """Longest arm: the table, or the closet rule of the book.

    IPC and IRC set no length for a closet; UPC holds it to 6 ft, which for a 3 in. arm
    is also the row of its table.
    """
    if closet:
        cell = find(ARM, book, item="water_closet_max")
        if cell is None:
            raise Absent(say("no_closet_arm", book=book.code))
        if cell.value == "unlimited":
            return ArmLimit(None, (cell,))
        row = find(ARM, book, item="max_trap_to_vent", trap_arm_size_in=plain(size_in))
        if row is not None and row.number <= cell.number:
            # The table alone holds the arm to this; the closet rule adds nothing.
            return ArmLimit(row.number, (row,))
        return ArmLimit(cell.number, (cell,))
    cell = table_length(book, size_in)
    return ArmLimit(cell.number, (cell,))


def most_fall(book: Book, size_in: float) -> tuple[float, Cell]:
    """Most fall from weir to vent in inches: one pipe diameter (IPC 909.2, P3105.2).

    UPC is held to the same figure: the vent opening must not lie below the weir.
    """
    cell = find(ARM, book, item="max_total_fall") or find(
        ARM, Book("IPC"), item="max_total_fall"
    )
    assert cell is not None
    return size_in * cell.number, cell


def longest_by_fall(size_in: float, slope_in_per_ft: float) -> float:
    """Feet after which an arm has fallen one pipe diameter (geometry alone)."""
    return size_in / slope_in_per_ft


def shortest(book: Book, size_in: float) -> tuple[float, Cell]:
    """Least arm length in inches: two pipe diameters, or it is a crown vent."""
    cell = find(ARM, book, item="min_trap_arm_length")
    assert cell is not None
    return size_in * cell.number, cell


def most_turn(book: Book, size_in: float) -> Cell | None:
    """Degrees an arm may turn without a cleanout (UPC 1002.3); None elsewhere."""
    row = "3 and larger" if size_in >= 3 else "below 3"
    return find(ARM, book, item="max_turn_without_cleanout", trap_arm_size_in=row)


def slope_cell(book: Book, size_in: float) -> Cell:
    """Least slope of a trap arm in in./ft."""
    return least_slope(book, size_in, use="trap arm")


def cut(value: float, places: int = 2) -> float:
    """Cut off after so many places: an allowed length is never rounded up."""
    step = 10**places
    return float(math.floor(value * step + 1e-6) / step)
