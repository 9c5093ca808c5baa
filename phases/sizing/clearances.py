"""Room around a fixture: side, front, floor, standpipe, heater (10_rough_in.csv)."""

from functools import cache

from .tables import Book, Cell, edition_span, rows

ROUGH_IN = "dwv/10_rough_in"
# Dimension as the file words it, by what is asked; the first that a book has is used.
_SIDE = ("centre to side wall or obstruction", "centre to side wall")
_NEXT = ("centre to centre of the next fixture", "centre to centre of a like fixture")
_FRONT = ("clear in front", "clear in front of closet, lavatory or bidet")
_STANDPIPE = ("standpipe top above trap weir", "standpipe top above trap")
_TRAP = ("trap above floor",)
_AREA = ("least floor area",)
_SPACE = ("level work space in front",)
_IGNITION = ("ignition source above garage floor",)
_RELIEF = (
    "T&P discharge end above floor or receptor",
    "T&P discharge end above ground outside",
)  # fmt: skip
ASKED = {
    "side": ("water_closet", _SIDE),
    "next": ("water_closet", _NEXT),
    "front": ("water_closet", _FRONT),
    "lavatory_front": ("lavatory", _FRONT),
    "area": ("shower", _AREA),
    "standpipe": ("laundry", _STANDPIPE),
    "trap": ("laundry", _TRAP),
    "space": ("water_heater", _SPACE),
    "ignition": ("water_heater", _IGNITION),
    "relief": ("water_heater", _RELIEF),
}


def _row_code(text: str, book: Book) -> bool:
    """Whether a row is of the model book; `UPC (Oregon amended)` is not."""
    return book.code in {part.strip() for part in text.split("/")}


@cache
def least(book: Book, asked: str) -> tuple[Cell, Cell | None] | None:
    """Low and high figure of a clearance, or None where the book states none.

    asked is a key of ASKED. The high figure is None where the row has only a least.
    """
    fixture, dimensions = ASKED[asked]
    found = [
        row
        for row in rows(ROUGH_IN)
        if row["basis"] == "code" and row["fixture"] == fixture
        and row["dimension"] in dimensions and _row_code(row["code"], book)
    ]  # fmt: skip
    if not found:
        return None
    row = min(found, key=lambda r: _apart(r["edition"], book.edition))
    low, high = _cell(row, "value_low", book), _cell(row, "value_high", book)
    assert low is not None
    return low, high


def _apart(edition: str, asked: int) -> int:
    span = edition_span(edition)
    return 1000 if span is None else max(span[0] - asked, asked - span[1], 0)


def _cell(row: object, column: str, book: Book) -> Cell | None:
    assert isinstance(row, dict)
    if not row[column]:
        return None
    name = row["id"] if column == "value_low" else f"{row['id']}:high"
    return book.amended(
        Cell(
            name, row["code"], row["edition"], row["table_section"],
            f"{row['fixture']}, {row['dimension']}", row[column], row["unit"],
            row["provenance"], row["note"],
        )
    )  # fmt: skip
