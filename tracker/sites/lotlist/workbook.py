"""XLSX workbooks: values as a person sees them, and what merges and formulas hide."""

import warnings
import zipfile
from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from io import BytesIO
from typing import Any
from xml.etree.ElementTree import ParseError

import openpyxl
from defusedxml import DefusedXmlException  # type: ignore[import-untyped]
from openpyxl.utils import range_boundaries
from openpyxl.utils.exceptions import InvalidFileException
from openpyxl.worksheet._reader import FORMULA_TAG, WorkSheetParser

from .grid import Cell, Row, Sheet, Unreadable, is_blank
from .guard import SAVE_AS, open_package

MOST_ROWS = 100_000
MOST_COLUMNS = 256
MOST_MERGES = 400_000
MOST_FILLED = 2_000_000
MOST_SHEETS = 60
TRUE = ("1", "true")


class _Page(WorkSheetParser):  # type: ignore[misc]
    """The library's reader of one sheet, which also notes formulas without result."""

    unsolved: set[tuple[int, int]]

    def parse_cell(self, element: Any) -> dict[str, Any]:
        cell: dict[str, Any] = super().parse_cell(element)
        if cell["value"] is None and element.find(FORMULA_TAG) is not None:
            self.unsolved.add((cell["row"], cell["column"] - 1))
        return cell


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
    book = page.parent
    with package.open(page._worksheet_path) as stream:
        reader = _Page(
            stream,
            book.shared_strings,
            data_only=True,
            epoch=book.epoch,
            date_formats=book._date_formats,
            timedelta_formats=book._timedelta_formats,
        )
        reader.unsolved = set()
        rows = list(_read_rows(reader, page.title))
    rows, spans = _unmerge(rows, _merges(reader))
    return Sheet(
        name=page.title,
        rows=tuple(rows),
        hidden=page.sheet_state != "visible",
        hidden_rows=frozenset(
            int(number)
            for number, about in reader.row_dimensions.items()
            if about.get("hidden") in TRUE
        ),
        hidden_columns=frozenset(_hidden_columns(reader)),
        unsolved=frozenset(reader.unsolved),
        spans=spans,
    )


def _read_rows(reader: Any, title: str) -> Iterator[Row]:
    # Only filled rows are kept: one stray cell in the last row makes a million others.
    last = kept = 0
    for number, cells in reader.parse():
        last = max(number, last + 1)
        values: list[Cell] = [None] * min(
            max((cell["column"] for cell in cells), default=0), MOST_COLUMNS
        )
        for cell in cells:
            if 0 < cell["column"] <= len(values):
                values[cell["column"] - 1] = cell["value"]
        if all(is_blank(value) for value in values):
            continue
        kept += 1
        if kept > MOST_ROWS:
            raise Unreadable(
                f"The sheet {title!r} has more than {MOST_ROWS:,} rows. "
                "Split it by subdivision."
            )
        yield Row(last, _trim(tuple(values)))


def _merges(reader: Any) -> list[tuple[int, int, int, int]]:
    """Merged ranges as top, left, bottom, right; columns are 0-based."""
    found = reader.merged_cells.mergeCell if reader.merged_cells else ()
    if len(found) > MOST_MERGES:
        raise Unreadable(f"The sheet has too many merged cells. {SAVE_AS}")
    merges = []
    for merge in found:
        left, top, right, bottom = range_boundaries(merge.ref)
        if None not in (left, top, right, bottom):
            merges.append((top, left - 1, bottom, min(right, MOST_COLUMNS) - 1))
    return merges


def _hidden_columns(reader: Any) -> Iterator[int]:
    for about in reader.column_dimensions.values():
        if about.get("hidden") in TRUE:
            last = min(int(about.get("max", about["min"])), MOST_COLUMNS)
            yield from range(int(about["min"]) - 1, last)


def _trim(cells: tuple[Cell, ...]) -> tuple[Cell, ...]:
    end = len(cells)
    while end and is_blank(cells[end - 1]):
        end -= 1
    return cells[:end]


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
