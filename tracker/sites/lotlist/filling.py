"""A plat's name written once above blank cells: lists that people keep by hand."""

from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise

from .cells import text_of
from .grid import Row, Sheet


def fill_down(
    sheet: Sheet, after: int, columns: Mapping[str, int], headers: Mapping[str, str]
) -> tuple[Sheet, tuple[str, ...]]:
    """Repeat the subdivision in the blank cells below it, where the list is kept so.

    Only when the first row has it, two of three rows do not, and no name stands twice
    one after the other: a list that repeats a name anywhere means its blanks as blanks.

    Returns:
        The sheet, and what was guessed in words.
    """
    column = columns.get("subdivision")
    rows = [row for row in sheet.rows if row.number > after]
    if column is None or not rows or not _is_written_once(rows, column):
        return sheet, ()
    name = rows[0].cell(column)
    filled: list[Row] = [row for row in sheet.rows if row.number <= after]
    for row in rows:
        if text_of(row.cell(column)):
            name = row.cell(column)
            filled.append(row)
        elif sum(1 for cell in row.cells if text_of(cell)) > 1:
            cells = list(row.cells) + [None] * (column + 1 - len(row.cells))
            cells[column] = name
            filled.append(Row(row.number, tuple(cells)))
        else:
            filled.append(row)
    note = f"{headers['subdivision']}: blank cells were taken as the name above them"
    return replace(sheet, rows=tuple(filled)), (note,)


def _is_written_once(rows: list[Row], column: int) -> bool:
    texts = [text_of(row.cell(column)) for row in rows]
    names = [text for text in texts if text]
    if not texts[0] or len(names) * 3 > len(texts):
        return False
    return all(one != other for one, other in pairwise(names))
