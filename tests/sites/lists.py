"""Small lot lists made in the test itself."""

import io
from collections.abc import Callable, Sequence
from typing import Any

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from tracker.sites.lotlist import read_bytes


def workbook(
    rows: Sequence[Sequence[Any]], change: Callable[[Worksheet], None] | None = None
) -> bytes:
    """An XLSX of one sheet, changed by `change` before it is saved."""
    book = Workbook()
    page = book.active
    for row in rows:
        page.append(list(row))
    if change:
        change(page)
    return saved(book)


def saved(book: Workbook) -> bytes:
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def places(data: bytes | str, **told: Any) -> list[tuple[Any, ...]]:
    """Where each new row is, of a list of these bytes."""
    listing = read_bytes(data if isinstance(data, bytes) else data.encode(), **told)
    return [
        (row.row, row.lot, row.block, row.subdivision, row.address)
        for row in listing.rows
        if row.status == "new"
    ]
