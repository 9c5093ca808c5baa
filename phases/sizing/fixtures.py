"""Fixtures as the load tables name them, and the trade words people use instead."""

from functools import cache

from .said import say
from .tables import Absent, Book, Cell, find, rows

LOADS = "dwv/01_fixture_units_traps"
CLOSETS = frozenset(
    {"water_closet_private_1_6", "water_closet_private_gt_1_6",
     "water_closet_public_1_6"}
)  # fmt: skip
GROUPS_WITH_CLOSET = frozenset(
    {"bath_group_1_6", "bath_group_gt_1_6", "half_bath_group",
     "half_bath_group_gt_1_6"}
)  # fmt: skip
_WORDS = {
    "water_closet": "water_closet_private_1_6",
    "closet": "water_closet_private_1_6",
    "toilet": "water_closet_private_1_6",
    "shower": "shower_le_5_7gpm",
    "shower_stall": "shower_le_5_7gpm",
    "tub": "bathtub",
    "bath": "bathtub",
    "tub_shower": "bathtub",
    "dishwasher": "dishwasher_independent",
    "clothes_washer": "clothes_washer_standpipe",
    "washing_machine": "clothes_washer_standpipe",
    "washer": "clothes_washer_standpipe",
    "laundry_sink": "laundry_tub",
    "laundry_tray": "laundry_tub",
    "sink": "kitchen_sink",
    "basin": "lavatory",
    "lav": "lavatory",
    "bath_group": "bath_group_1_6",
    "bathroom_group": "bath_group_1_6",
    "full_bath": "bath_group_1_6",
    "half_bath": "half_bath_group",
}


@cache
def known(code: str) -> frozenset[str]:
    """Fixture keys the load table of a book holds."""
    return frozenset(row["fixture_key"] for row in rows(LOADS) if row["code"] == code)


def fixture_key(name: str, book: Book) -> str:
    """The table's key of a fixture; raises Absent where the book lists none."""
    word = name.strip().lower().replace(" ", "_").replace("-", "_")
    for key in (word, _WORDS.get(word, "")):
        if key in known(book.code):
            return key
    listed = ", ".join(sorted(known(book.code)))
    raise Absent(say("no_fixture", book=book.code, name=name, listed=listed))


def load(book: Book, key: str) -> Cell:
    """Drainage fixture units of a fixture (IPC 709.1, IRC P3004.1, UPC 702.1)."""
    cell = find(LOADS, book, column="dfu", provenance="dfu_provenance", fixture_key=key)
    if cell is None:
        raise Absent(say("no_dfu", book=book.code, key=key))
    return cell


def trap(book: Book, key: str) -> Cell | None:
    """Least trap size in inches, or None where the trap is part of the fixture."""
    return find(
        LOADS,
        book,
        column="min_trap_in",
        provenance="trap_provenance",
        fixture_key=key,
    )


def closets_in(key: str) -> int:
    """Water closets in a fixture or group row: one or none."""
    return int(key in CLOSETS or key in GROUPS_WITH_CLOSET)


def fixture_drain_in(book: Book, key: str) -> float:
    """Least drain of one fixture: its trap size, 3 in. for a closet."""
    if closets_in(key):
        return 3.0
    size = trap(book, key)
    return size.number if size else 1.25


@cache
def needs_two_inch_branch(book: Book, key: str) -> bool:
    """UPC: the drain of a sink or dishwasher past its trap arm is 2 in. or larger."""
    row = next(
        (r for r in rows(LOADS) if r["code"] == book.code and r["fixture_key"] == key),
        None,
    )
    return row is not None and "must be 2 in." in row["note"]
