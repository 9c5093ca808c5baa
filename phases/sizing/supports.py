"""Hanger spacing and count (IRC P2605.1, IPC 308.5, UPC 313.3, IFGC 415.1)."""

import math

from .nominal import inches
from .said import say
from .tables import Absent, Book, Cell, rows

SUPPORTS = "dwv/09_supports"
_WORDS = {
    "PVC": ("PVC pipe", "PVC and ABS DWV"),
    "ABS": ("ABS pipe", "PVC and ABS DWV"),
    "PEX": ("PEX",),
    "CPVC": ("CPVC",),
    "copper": ("copper tubing",),
    "cast": ("cast iron pipe",),
    "Schedule": ("steel gas pipe",),
    "CSST": ("CSST",),
}


def spacing(book: Book, material: str, size: str) -> Cell:
    """Widest spacing of supports on a horizontal pipe in feet.

    Raises Absent where the tables say none (CSST: its maker) or hold none.
    """
    word = material.split()[0] if material else ""
    code = "IFGC" if word in ("Schedule", "CSST") else book.code
    size_in = 0.0 if size.startswith("EHD") else inches(size)
    for row in rows(SUPPORTS):
        if row["code"] != code or row["material"] not in _WORDS.get(word, ()):
            continue
        low = float(row["size_from_in"] or 0)
        high = float(row["size_to_in"] or 99)
        if low <= size_in <= high:
            cell = Cell(
                row["id"], row["code"], row["edition"], row["table_section"],
                row["material"], row["horizontal_max"], "ft", row["provenance"],
                row["note"],
            )  # fmt: skip
            cell = book.amended(cell)
            cell.number  # noqa: B018 (raises Absent where the table says `manufacturer`)
            return cell
    raise Absent(say("no_support", book=code, material=material, size=size))


def count(length_ft: float, spacing_ft: float) -> int:
    """Supports of a run: one at its start and one at the end of every spacing."""
    return math.floor(length_ft / spacing_ft + 1e-9) + 1
