"""XLSX workbooks: values as a person sees them, and what merges and formulas hide."""

import warnings
import zipfile
from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, field
from io import BytesIO
from typing import Any
from xml.etree.ElementTree import ParseError

import openpyxl
from defusedxml import DefusedXmlException  # type: ignore[import-untyped]
from defusedxml.ElementTree import iterparse  # type: ignore[import-untyped]
from openpyxl.utils import range_boundaries
from openpyxl.utils.cell import column_index_from_string, coordinate_from_string
from openpyxl.utils.exceptions import InvalidFileException

from .grid import Cell, Row, Sheet, Unreadable, is_blank
from .guard import SAVE_AS, open_package

MOST_ROWS = 100_000
MOST_COLUMNS = 256
MOST_MERGES = 400_000
MOST_FILLED = 2_000_000
MOST_SHEETS = 60


@dataclass
class Marks:
    """What the values alone do not say about a sheet."""

    merges: list[tuple[int, int, int, int]] = field(default_factory=list)
    hidden_rows: set[int] = field(default_factory=set)
    hidden_columns: set[int] = field(default_factory=set)
    unsolved: set[tuple[int, int]] = field(default_factory=set)


def read_workbook(data: bytes) -> list[Sheet]:
    """All sheets that hold something, in order; hidden ones are marked.

    Raises:
        Unreadable: for a damaged, protected or oversized workbook.
    """
    package = open_package(data)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            book = openpyxl.load_workbook(BytesIO(data), read_only=True, data_only=True)
            sheets = [
                _read_sheet(page, package) for page in book.worksheets[:MOST_SHEETS]
            ]
    except Unreadable:
        raise
    except (
        InvalidFileException,
        ParseError,
        zipfile.BadZipFile,
        LookupError,
        ValueError,
        TypeError,
        AttributeError,
        OSError,
        EOFError,
        OverflowError,
        NotImplementedError,
        RuntimeError,
    ) as error:
        # A damaged package fails anywhere inside the library, in any of these ways.
        raise Unreadable(f"{_what_is_wrong(error)} {SAVE_AS}") from error
    found = [sheet for sheet in sheets if sheet.rows]
    if not found:
        raise Unreadable("The workbook holds no rows. Save the list again.")
    return found


def _what_is_wrong(error: BaseException | None) -> str:
    while error is not None:
        if isinstance(error, DefusedXmlException):
            return "The workbook holds instructions that a sheet never has."
        error = error.__cause__ or error.__context__
    return "The workbook is damaged."


def _read_sheet(page: Any, package: zipfile.ZipFile) -> Sheet:
    part = page._worksheet_path
    marks = _read_marks(package, part)
    rows = list(_read_rows(page))
    rows, spans = _unmerge(rows, marks.merges)
    return Sheet(
        name=page.title,
        rows=tuple(rows),
        hidden=page.sheet_state != "visible",
        hidden_rows=frozenset(marks.hidden_rows),
        hidden_columns=frozenset(marks.hidden_columns),
        unsolved=frozenset(marks.unsolved),
        spans=spans,
    )


def _read_rows(page: Any) -> Iterator[Row]:
    # The size written in the file is often wrong, and one stray cell in the last
    # row makes a million empty ones: rows are walked, only filled ones kept.
    page.reset_dimensions()
    kept = 0
    for number, values in enumerate(page.iter_rows(values_only=True), 1):
        cells = tuple(values[:MOST_COLUMNS])
        if all(is_blank(cell) for cell in cells):
            continue
        kept += 1
        if kept > MOST_ROWS:
            raise Unreadable(
                f"The sheet {page.title!r} has more than {MOST_ROWS:,} rows. "
                "Split it by subdivision."
            )
        yield Row(number, _trim(cells))


def _trim(cells: tuple[Cell, ...]) -> tuple[Cell, ...]:
    end = len(cells)
    while end and is_blank(cells[end - 1]):
        end -= 1
    return cells[:end]


def _read_marks(package: zipfile.ZipFile, part: str) -> Marks:
    marks = Marks()
    with package.open(part) as stream:
        for _, element in iterparse(stream):
            tag = element.tag.rpartition("}")[2]
            if tag == "c":
                _mark_formula(element, marks)
            elif tag == "row":
                if element.get("hidden") in ("1", "true"):
                    marks.hidden_rows.add(int(element.get("r", "0")))
                element.clear()
            elif tag == "mergeCell":
                _mark_merge(element, marks)
            elif tag == "col" and element.get("hidden") in ("1", "true"):
                first, last = int(element.get("min")), int(element.get("max"))
                last = min(last, MOST_COLUMNS)
                marks.hidden_columns.update(range(first - 1, last))
    return marks


def _mark_formula(element: Any, marks: Marks) -> None:
    has_formula = has_value = False
    for child in element:
        tag = child.tag.rpartition("}")[2]
        has_formula |= tag == "f"
        has_value |= tag == "v" and child.text is not None
    if has_formula and not has_value and element.get("r"):
        name, row = coordinate_from_string(element.get("r"))
        marks.unsolved.add((row, column_index_from_string(name) - 1))


def _mark_merge(element: Any, marks: Marks) -> None:
    if len(marks.merges) >= MOST_MERGES:
        raise Unreadable(f"The sheet has too many merged cells. {SAVE_AS}")
    left, top, right, bottom = range_boundaries(element.get("ref"))
    if None not in (left, top, right, bottom):
        marks.merges.append((top, left - 1, bottom, min(right, MOST_COLUMNS) - 1))


def _unmerge(
    rows: list[Row], merges: list[tuple[int, int, int, int]]
) -> tuple[list[Row], dict[tuple[int, int], int]]:
    """Repeat a value merged downwards in each row that it covers and that holds more.

    A value merged sideways stays in its first column; how far it reaches is returned,
    for headings that stand over several columns.
    """
    spans = {
        (top, left): right - left + 1 for top, left, _, right in merges if right > left
    }
    numbers = [row.number for row in rows]
    budget = MOST_FILLED
    for top, left, bottom, _ in merges:
        first = bisect_left(numbers, top)
        if bottom == top or first == len(rows) or numbers[first] != top:
            continue
        value = rows[first].cell(left)
        last = bisect_right(numbers, bottom)
        budget -= last - first
        if budget < 0:
            raise Unreadable(f"The sheet has too many merged cells. {SAVE_AS}")
        for index in range(first + 1, last if not is_blank(value) else 0):
            if is_blank(rows[index].cell(left)):
                rows[index] = _with_cell(rows[index], left, value)
    return rows, spans


def _with_cell(row: Row, column: int, value: Cell) -> Row:
    cells = list(row.cells) + [None] * (column + 1 - len(row.cells))
    cells[column] = value
    return Row(row.number, tuple(cells))
