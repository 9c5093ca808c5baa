"""Material as CSV and XLSX, safe to open in a spreadsheet."""

import csv
import io
from collections.abc import Iterable

from django.http import HttpResponse

from phases.sizing.materials import HEADER, Line
from tracker.desk.checks.material_queries import Week
from tracker.desk.checks.words import HEADS
from tracker.desk.money.csv_out import safe
from tracker.desk.templatetags.checks import counted, in_words, item_name, phase_name
from tracker.desk.templatetags.desk import reader_language

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
Rows = Iterable[Iterable[object]]


WEEK_HEAD = (
    *("week of", "item", "size", "quantity", "unit", "lot phases", "from a guess"),
)


def heads(names: Iterable[str]) -> tuple[str, ...]:
    """The first row in the language of who asks for the file."""
    spanish = reader_language() == "es"
    return tuple(HEADS[name] if spanish else name for name in names)


def list_rows(lines: Iterable[Line]) -> Rows:
    """The list as on its page."""
    yield heads(HEADER)
    for line in lines:
        yield (
            phase_name(line.phase),
            item_name(line.item),
            line.size,
            line.quantity,
            in_words(line.unit),
            line.net,
            line.waste_pct,
            in_words(line.basis),
            in_words(line.rule),
            counted(line.counted),
        )


def week_rows(weeks: Iterable[Week]) -> Rows:
    yield heads(WEEK_HEAD)
    for week in weeks:
        for (item, size, unit), quantity in week.items.items():
            yield (
                week.monday.isoformat(),
                item_name(item),
                size,
                quantity,
                in_words(unit),
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
