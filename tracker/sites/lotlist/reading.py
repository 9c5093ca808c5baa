"""One row of cells becomes one `LotRow`; a cell that cannot be taken is an error."""

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date

from .cells import day_of, is_error, text_of, whole_number, yes_or_no
from .grid import Cell, Row, Sheet
from .header import Header
from .place import Cells, address_of, is_date_like, place_of
from .record import CellError, LotRow
from .words import normal

LIMITS = {
    "lot": 60,
    "block": 20,
    "unit": 40,
    "subdivision": 160,
    "address": 160,
    "permit": 60,
    "parcel": 60,
    "plan": 40,
    "gate_code": 40,
}
DATES = ("issued", "start", "closing")
# Columns that only help to judge a row; nothing of them is kept.
HELPING = frozenset(("dwellings", "kind", "construction", "work"))
FOUNDATIONS = (
    ("slab", re.compile(r"slab|monolith|post[\s-]?tension|\bpt\b", re.I)),
    ("crawl", re.compile(r"crawl", re.I)),
    ("basement", re.compile(r"basement|walk[\s-]?out|daylight|bsmt", re.I)),
)


class _Errors:
    def __init__(self, headers: Mapping[str, str]) -> None:
        self.headers = headers
        self.found: list[CellError] = []

    def add(self, field: str, value: Cell, reason: str, hint: str) -> None:
        column = self.headers.get(field, field)
        shown = "" if value is None else (text_of(value) or str(value))
        self.found.append(CellError(column, shown[:200], reason, hint))


def read_row(
    sheet: Sheet,
    header: Header | None,
    columns: Mapping[str, int],
    headers: Mapping[str, str],
    row: Row,
    *,
    day_first: frozenset[str] = frozenset(),
) -> LotRow:
    """What the row says, field by field. Never fails: a bad cell is in `errors`.

    `day_first` names the date fields whose column writes the day before the month.
    """
    errors = _Errors(headers)
    values = _values(sheet, header, columns, row, errors)
    cells = Cells(values)
    place = place_of(cells, plural=normal(headers.get("lot", "")).startswith("lots"))
    dates = {field: _day(field, values, errors, day_first) for field in DATES}
    read = LotRow(
        row=row.number,
        lot=place.lot,
        lots=place.lots,
        lot_word=place.lot_word,
        part=place.part,
        block=place.block,
        unit=place.unit,
        building=place.building,
        subdivision=place.subdivision,
        phase=cells.text("phase"),
        address=address_of(cells),
        permit=cells.text("permit"),
        parcel=cells.text("parcel"),
        issued=dates["issued"],
        dwellings=whole_number(values.get("dwellings")),
        description=cells.text("description"),
        plan=cells.text("plan"),
        elevation=cells.text("elevation"),
        options=_options(cells.text("options")),
        mirrored=_checked("mirrored", yes_or_no, values, errors),
        foundation=_foundation(values, errors),
        start=dates["start"],
        closing=dates["closing"],
        gate_code=cells.text("gate_code"),
        superintendent=cells.text("superintendent"),
        notes=("hidden in the sheet",) if row.number in sheet.hidden_rows else (),
    )
    _check_lengths(read, errors)
    return _with_errors(read, errors)


def _with_errors(read: LotRow, errors: _Errors) -> LotRow:
    return replace(read, errors=tuple(errors.found)) if errors.found else read


def _values(
    sheet: Sheet,
    header: Header | None,
    columns: Mapping[str, int],
    row: Row,
    errors: _Errors,
) -> dict[str, Cell]:
    values: dict[str, Cell] = {}
    for field, column in columns.items():
        value = row.cell(column)
        if field in HELPING:
            values[field] = value
        elif is_error(value):
            errors.add(field, value, "The cell shows a spreadsheet error.", _FORMULA)
        elif (row.number, column) in sheet.unsolved:
            errors.add(
                field,
                None,
                "The cell holds a formula that was saved without its result.",
                "Open the list in your spreadsheet program, save it and try again.",
            )
        elif field in _NAMES and is_date_like(value):
            errors.add(
                field,
                value,
                "The spreadsheet turned this into a date.",
                "Format the column as text and type it again, such as 3-4.",
            )
        else:
            values[field] = value
    _take_overflow(sheet, header, columns, row, values, errors)
    return values


_FORMULA = "Correct the formula, or type the value instead of it."
_NAMES = frozenset(("lot", "block", "unit", "lot_block", "block_lot"))


def _take_overflow(
    sheet: Sheet,
    header: Header | None,
    columns: Mapping[str, int],
    row: Row,
    values: dict[str, Cell],
    errors: _Errors,
) -> None:
    """A row of a CSV with more cells than the header has a delimiter too many in it."""
    if not sheet.delimited or header is None or len(row.cells) <= len(header.texts):
        return
    width = len(header.texts)
    extra = [text for cell in row.cells[width:] if (text := text_of(cell))]
    if not extra:
        return
    if columns.get("description") == width - 1:
        first = text_of(values.get("description"))
        values["description"] = ", ".join([*([first] if first else []), *extra])
        return
    errors.add(
        header.text(width - 1),
        ", ".join(extra),
        f"The row has {len(row.cells)} cells, the header {width}.",
        "Put the cell that holds a delimiter in quotation marks.",
    )


def _checked(
    field: str,
    read: Callable[[Cell], bool | None],
    values: Mapping[str, Cell],
    errors: _Errors,
) -> bool | None:
    try:
        return read(values.get(field))
    except ValueError:
        errors.add(
            field,
            values.get(field),
            "It is not clear whether the plan is mirrored.",
            "Write yes for a mirrored plan, no for one as drawn.",
        )
        return None


def _day(
    field: str,
    values: Mapping[str, Cell],
    errors: _Errors,
    day_first: frozenset[str],
) -> date | None:
    try:
        return day_of(values.get(field), day_first=field in day_first)
    except ValueError:
        errors.add(
            field, values.get(field), "This is not a date.", "Write it as 2026-03-04."
        )
        return None


def _foundation(values: Mapping[str, Cell], errors: _Errors) -> str | None:
    text = text_of(values.get("foundation"))
    if text is None:
        return None
    for name, shape in FOUNDATIONS:
        if shape.search(text):
            return name
    errors.add(
        "foundation",
        text,
        "This is not a kind of foundation that we know.",
        "Write slab, crawl space or basement.",
    )
    return None


def _options(text: str | None) -> tuple[str, ...]:
    return tuple(o for o in (p.strip() for p in re.split(r"[,;/+\n]", text or "")) if o)


def _check_lengths(read: LotRow, errors: _Errors) -> None:
    for field, most in LIMITS.items():
        text = getattr(read, field)
        if text and len(text) > most:
            errors.add(
                field,
                text,
                f"Longer than {most} characters.",
                "Shorten it in the list.",
            )
