"""Material as CSV and XLSX, safe to open in a spreadsheet."""

import csv
import io
from collections.abc import Iterable

from django.http import HttpResponse

from phases.sizing.materials import Line, table_rows
from tracker.desk.checks.material_queries import Week
from tracker.desk.money.csv_out import safe

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
Rows = Iterable[Iterable[object]]


def list_rows(lines: Iterable[Line]) -> Rows:
    return table_rows(lines)


def week_rows(weeks: Iterable[Week]) -> Rows:
    yield ("week of", "item", "size", "quantity", "unit", "lot phases", "from a guess")
    for week in weeks:
        for (item, size, unit), quantity in week.items.items():
            yield (
                week.monday.isoformat(),
                item,
                size,
                quantity,
                unit,
                len(week.phases),
                week.guesses,
            )


def file_of(rows: Rows, *, name: str, kind: str) -> HttpResponse:
    """The rows as `name.csv` or `name.xlsx`."""
    if kind == "xlsx":
        response = HttpResponse(_xlsx(rows), content_type=XLSX)
    else:
        target = io.StringIO()
        csv.writer(target).writerows([safe(cell) for cell in row] for row in rows)
        response = HttpResponse(
            target.getvalue(), content_type="text/csv; charset=utf-8"
        )
    response["Content-Disposition"] = f'attachment; filename="{name}.{kind}"'
    return response


def _xlsx(rows: Rows) -> bytes:
    # It takes a while to load, and most pages need none.
    from openpyxl import Workbook
    from openpyxl.cell import WriteOnlyCell
    from openpyxl.styles import Font

    book = Workbook(write_only=True)
    sheet = book.create_sheet("Material")
    sheet.freeze_panes = "A2"
    for number, row in enumerate(rows):
        # A size such as 1/2 stays text: no cell is read as a date or a formula.
        cells = [WriteOnlyCell(sheet, value=_plain(value)) for value in row]
        for cell in cells:
            if number == 0:
                cell.font = Font(bold=True)
            if isinstance(cell.value, str):
                cell.data_type = "s"
                cell.number_format = "@"
        sheet.append(cells)
    target = io.BytesIO()
    book.save(target)
    return target.getvalue()


def _plain(value: object) -> object:
    return value if isinstance(value, int | float) else str(value)
