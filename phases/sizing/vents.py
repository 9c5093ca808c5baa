"""Vent sizes, lengths, wet vents and areas (IPC 906 and 912, IRC P3113, UPC 904)."""

import math
from fractions import Fraction

from .drainage import BRANCH, least_size
from .fixtures import CLOSETS, fixture_drain_in, load
from .nominal import plain
from .said import say
from .tables import Absent, Book, Cell, find, rows

VENTS = "dwv/05_vents"
VENT_SIZES = (1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0)
UPC_TABLE_SIZES = (1.25, 1.5, 2.0, 2.5, 3.0, 4.0)
WET_SIZES = ("1_5", "2", "2_5", "3", "4")


def _vent(book: Book, item: str, topic: str = "size") -> Cell | None:
    return find(VENTS, book, item=item, topic=topic)


def next_size(size_in: float) -> float:
    """The next larger vent size."""
    for size in VENT_SIZES:
        if size > size_in + 1e-9:
            return size
    raise Absent(say("no_larger_vent", size=plain(size_in)))


def at_least(size_in: float) -> float:
    """The smallest made vent size of at least so many inches."""
    for size in VENT_SIZES:
        if size >= size_in - 1e-9:
            return size
    raise Absent(say("no_vent_of", size=size_in))


def least_vent(
    book: Book, drain_in: float, *,
    closet: bool = False, developed_length_ft: float = 0.0, units: float | None = None,
) -> tuple[float, tuple[Cell, ...]]:  # fmt: skip
    """Least vent of a drain in inches and the deciding cells.

    Half the required drain, at least 1-1/4 in. (IPC 906.2, P3113.1, UPC 904.1); UPC
    closets 2 in. (908.1.2) and UPC loads by Table 703.2; IPC and IRC vents over 40 ft
    go up one size over their whole length.
    """
    prefix = "individual_vent" if book.code == "UPC" else "individual_branch_vent"
    half = _vent(book, f"{prefix}_min_fraction_of_drain")
    least = _vent(book, f"{prefix}_min")
    assert half is not None
    assert least is not None
    size = at_least(max(drain_in * half.number, least.number))
    cells = [half if drain_in * half.number >= least.number else least]
    if book.code == "UPC":
        if closet:
            closet_cell = _vent(book, "water_closet_vent_min")
            assert closet_cell is not None
            if closet_cell.number > size:
                size, cells = closet_cell.number, [closet_cell]
        if units is not None or developed_length_ft:
            by_table, cell = upc_vent(
                book, units or 0, length_ft=developed_length_ft, closet=closet
            )
            if by_table > size:
                size, cells = by_table, [cell]
        return size, tuple(cells)
    limit = _vent(book, "upsize_when_developed_length_over")
    assert limit is not None
    if developed_length_ft > limit.number:
        return next_size(size), (*cells, limit)
    return size, tuple(cells)


def upc_row(book: Book, size_in: float) -> tuple[Cell, Cell]:
    """UPC Table 703.2 vents: most units and longest total length of a size."""
    units = find(VENTS, book, item=f"max_dfu_on_{plain(size_in)}_in_vent")
    length = find(VENTS, book, item=f"max_length_of_{plain(size_in)}_in_vent")
    if units is None or length is None:
        raise Absent(say("no_vent_row", book=book.code, size=plain(size_in)))
    return units, length


def upc_vent(
    book: Book, units: float, *, length_ft: float = 0.0, closet: bool = False
) -> tuple[float, Cell]:
    """Smallest vent of UPC Table 703.2 for a load and total length."""
    for size in UPC_TABLE_SIZES:
        if closet and size < 2:
            continue
        most, longest = upc_row(book, size)
        if units <= most.number and length_ft <= longest.number:
            return size, most
    raise Absent(say("no_upc_vent", units=units, length=length_ft))


def common_vent(book: Book, keys: list[str]) -> tuple[float, tuple[Cell, ...]]:
    """Least vent that two fixtures share: by the drain that serves both."""
    loads = [load(book, key) for key in keys]
    units = sum(cell.number for cell in loads)
    closets = sum(key in CLOSETS for key in keys)
    largest = max(fixture_drain_in(book, key) for key in keys)
    drain = least_size(book, BRANCH, units, closets=closets, at_least_in=largest)
    size, cells = least_vent(book, drain.size_in, closet=bool(closets), units=units)
    return size, (*cells, *loads)


def area_rule(book: Book) -> Cell | None:
    """UPC 904.1: vent ends together have the area of the sewer; others have no rule."""
    return _vent(book, "aggregate_vent_area")


def vents_needed(sewer_in: float, vent_in: float) -> int:
    """Vents of one size whose nominal areas add up to the sewer's."""
    ratio = Fraction(str(sewer_in)) ** 2 / Fraction(str(vent_in)) ** 2
    return math.ceil(ratio)


def area_enough(sewer_in: float, vents_in: list[float]) -> bool:
    """Whether the nominal areas of the vents reach the sewer's."""
    total = sum((Fraction(str(size)) ** 2 for size in vents_in), Fraction(0))
    return total >= Fraction(str(sewer_in)) ** 2


def wet_vent_limit(book: Book, size_in: float) -> Cell | None:
    """Most units on a horizontal wet vent of a size, or None where it may not be one.

    IPC 912.3 and IRC P3108.3 by table; UPC 908.2 takes 2 in. to 4 units, 3 in. above.
    """
    if book.code == "UPC":
        small = find(VENTS, book, item="horizontal_wet_vent_min_up_to_4_dfu")
        large = find(VENTS, book, item="horizontal_wet_vent_min_5_dfu_or_more")
        assert small is not None
        assert large is not None
        if size_in >= large.number:
            return large
        return small if size_in >= small.number else None
    name = plain(size_in).replace(".", "_")
    if name not in WET_SIZES:
        return None
    # The IRC's own row is one list, `same figures as IPC`; its cell is the list.
    if book.code == "IRC":
        return find(VENTS, book, item="dfu_limits", topic="wet_vent")
    return find(VENTS, book, item=f"dfu_limit_{name}_in", topic="wet_vent")


def wet_vent_units(book: Book, size_in: float) -> float | None:
    """The number of `wet_vent_limit`: most units, or None where not allowed."""
    cell = wet_vent_limit(book, size_in)
    if cell is None:
        return None
    if book.code == "UPC":
        # Two rows: the smaller size carries up to 4 units, the larger any number.
        return math.inf if "5_dfu_or_more" in cell.item else 4.0
    if ";" in cell.value:
        position = WET_SIZES.index(plain(size_in).replace(".", "_"))
        return float(cell.value.split(";")[position])
    return cell.number


def rise_above_rim(book: Book) -> Cell:
    """Inches above the flood rim at which a dry vent may go level (IPC 905.4 ...)."""
    code_item = {
        "IPC": "dry_vent_rise_above_flood_rim",
        "IRC": "horizontal_vent_above_flood_rim",
        "UPC": "horizontal_vent_above_flood_rim",
    }[book.code]
    cell = _vent(book, code_item, "connection")
    assert cell is not None
    return cell


def takeoff(book: Book) -> Cell:
    """Where a dry vent leaves a level drain (IPC 905.3; the other books the same)."""
    cell = _vent(book, "dry_vent_takeoff", "connection")
    assert cell is not None
    return cell


def terminal(book: Book, item: str) -> Cell | None:
    """A figure of the vent end at the roof: height, distance to openings, frost."""
    topics = {row["item"]: row["topic"] for row in rows(VENTS)}
    return find(VENTS, book, item=item, topic=topics[item])
