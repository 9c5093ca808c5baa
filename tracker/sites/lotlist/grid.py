"""A sheet as read from a file, before anybody has said what its columns mean."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time

Cell = str | int | float | bool | datetime | date | time | None


class Unreadable(ValueError):
    """The file cannot be read as a lot list; the text is one sentence for a person."""


@dataclass(frozen=True)
class Row:
    """One row that holds something. `number` is the 1-based row of the sheet."""

    number: int
    cells: tuple[Cell, ...]

    def cell(self, column: int) -> Cell:
        """Value at a 0-based column; None beyond the end of a short row."""
        return self.cells[column] if 0 <= column < len(self.cells) else None


@dataclass(frozen=True)
class Sheet:
    """Rows that hold something, in order, and what the file says about them."""

    name: str
    rows: tuple[Row, ...]
    hidden: bool = False
    hidden_rows: frozenset[int] = frozenset()
    hidden_columns: frozenset[int] = frozenset()
    # (row number, column) of formulas that were saved without a result.
    unsolved: frozenset[tuple[int, int]] = frozenset()
    # (row number, column) -> width in columns, of cells merged sideways.
    spans: Mapping[tuple[int, int], int] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    # Text with delimiters: a row wider than the header has a stray delimiter in it.
    delimited: bool = False


def is_blank(value: Cell) -> bool:
    """Nothing a person could see."""
    return value is None or (isinstance(value, str) and not value.strip())


def letter(column: int) -> str:
    """Spreadsheet letter of a 0-based column: 0 is A, 26 is AA."""
    name = ""
    column += 1
    while column:
        column, digit = divmod(column - 1, 26)
        name = chr(65 + digit) + name
    return name


def column_of(name: str) -> int | None:
    """0-based column of a spreadsheet letter such as `C`; None when it is none."""
    if not (name.isascii() and name.isalpha() and len(name) <= 2):
        return None
    column = 0
    for char in name.upper():
        column = column * 26 + ord(char) - 64
    return column - 1
