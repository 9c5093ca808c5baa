"""The list as JSON and the list of its errors as a sheet to send back."""

import csv
import io
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from typing import Any

from openpyxl import Workbook
from openpyxl.styles import Alignment, Font

from .record import LotList, LotRow, counts_of

TITLES = ("Row", "Column", "Value", "Reason", "What to do", "Status")
# A cell that begins so is a formula to a spreadsheet.
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")


def as_json(listing: LotList) -> dict[str, Any]:
    """`columns`, `rows`, `counts`, and what was guessed; absent values are None."""
    return {
        "sheet": listing.sheet,
        "header_row": listing.header_row,
        "columns": dict(listing.columns),
        "rows": [row_as_json(row) for row in listing.rows],
        "counts": counts_of(listing.rows),
        "guessed": list(listing.guesses),
        "spellings": [dict(pair) for pair in listing.spellings],
    }


def row_as_json(row: LotRow) -> dict[str, Any]:
    """One data row. `lots` is None unless the row names several."""
    return {
        "row": row.row,
        "status": row.status,
        "lot": row.lot,
        "lots": list(row.lots) or None,
        "block": row.block,
        "unit": row.unit,
        "subdivision": row.subdivision,
        "address": row.address,
        "phase": row.phase,
        "building": row.building,
        "part": row.part,
        "land": row.lot_word if row.lot_word != "LOT" else None,
        "permit": row.permit,
        "parcel": row.parcel,
        "issued": _day(row.issued),
        "dwellings": row.dwellings,
        "description": row.description,
        "plan": row.plan,
        "elevation": row.elevation,
        "options": list(row.options) or None,
        "mirrored": row.mirrored,
        "foundation": row.foundation,
        "start": _day(row.start),
        "closing": _day(row.closing),
        "superintendent": row.superintendent,
        "reason": row.reason,
        "notes": list(row.notes) or None,
        "errors": [
            {
                "column": error.column,
                "value": error.value,
                "reason": error.reason,
                "hint": error.hint,
            }
            for error in row.errors
        ],
    }


def _day(day: date | None) -> str | None:
    return day.isoformat() if day else None


def error_lines(rows: Iterable[Mapping[str, Any]]) -> Iterator[tuple[str, ...]]:
    """Lines of the error sheet: each bad cell, each row left out, with reasons.

    Args:
        rows: as `row_as_json` makes them.
    """
    for row in rows:
        number, status = str(row["row"]), row["status"]
        for error in row["errors"]:
            cells = (error["column"], error["value"], error["reason"], error["hint"])
            yield (number, *cells, status)
        if row["reason"] and not row["errors"]:
            yield (number, "", "", row["reason"], "", status)


def harmless(text: str) -> str:
    """Text that a spreadsheet shows and never runs: an apostrophe before `=`."""
    text = "".join(char for char in text if char >= " " or char in "\t\n")
    return f"'{text}" if text.startswith(FORMULA) else text


def errors_csv(rows: Iterable[Mapping[str, Any]]) -> bytes:
    """The error sheet as CSV (UTF-8 with mark, so that Excel reads it rightly)."""
    stream = io.StringIO(newline="")
    writer = csv.writer(stream)
    writer.writerow(TITLES)
    for line in error_lines(rows):
        writer.writerow([harmless(text) for text in line])
    return stream.getvalue().encode("utf-8-sig")


def errors_xlsx(rows: Iterable[Mapping[str, Any]]) -> bytes:
    """The error sheet as a workbook, every cell plain text."""
    book = Workbook()
    page = book.active
    assert page is not None  # a new workbook has one sheet
    page.title = "Rows to correct"
    page.append(list(TITLES))
    for cell in page[1]:
        cell.font = Font(bold=True)
    for line in error_lines(rows):
        page.append([int(line[0]), *(harmless(text) for text in line[1:])])
        for cell in page[page.max_row][1:]:
            cell.data_type = "s"
            cell.alignment = Alignment(wrap_text=True, vertical="top")
    for letter, width in zip("ABCDEF", (7, 22, 32, 48, 48, 10), strict=True):
        page.column_dimensions[letter].width = width
    page.freeze_panes = "A2"
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()
