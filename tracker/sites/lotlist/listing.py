"""From a file to a `LotList`: the door to this package."""

from collections.abc import Mapping, Sequence
from pathlib import Path

from .cells import text_of
from .delimited import read_text
from .filling import fill_down
from .grid import Sheet, Unreadable
from .guard import kind_of, refuse_size
from .guess import guess_columns, present, share_of_addresses, share_of_legal
from .header import SURE, Header, find_header, fit, header_named
from .record import LotList
from .rows import Layout, read_rows
from .spelling import propose
from .workbook import read_workbook


def read_file(
    path: Path, *, sheet: str | None = None, mapping: Mapping[str, str] | None = None
) -> LotList:
    """Read a lot list from disk; see `read_bytes`.

    Raises:
        Unreadable: also when the file is not there.
    """
    try:
        refuse_size(path.stat().st_size)
        data = path.read_bytes()
    except OSError as error:
        reason = error.strerror or "unknown reason"
        raise Unreadable(f"{path.name} cannot be opened: {reason}.") from error
    return read_bytes(data, sheet=sheet, mapping=mapping)


def read_bytes(
    data: bytes,
    *,
    sheet: str | None = None,
    mapping: Mapping[str, str] | None = None,
    remembered: Mapping[str, str] | None = None,
) -> LotList:
    """Read a lot list: CSV in any usual encoding and delimiter, or XLSX.

    Args:
        data: the whole file.
        sheet: name of the sheet; None takes the one that looks most like a lot list.
        mapping: a person's word on columns: header text or letter -> our field, or
            `-` for a column to leave out.
        remembered: the same from earlier lists; a column that is not there is no
            mistake, and a word in `mapping` goes before it.

    Raises:
        Unreadable: one sentence that says what is wrong and what to do.
    """
    refuse_size(len(data))
    kind = kind_of(data)
    sheets = read_workbook(data) if kind == "xlsx" else [read_text(data)]
    page, header, notes = choose_sheet(sheets, sheet, told=tuple(mapping or ()))
    after = header.last_row if header else 0
    below = [row for row in page.rows if row.number > after]
    if not below:
        raise Unreadable("There is a header but no row below it.")
    wanted = {**present(header, remembered or {}), **(mapping or {})}
    columns = guess_columns(header, below, wanted)
    if not columns.columns:
        raise Unreadable(NO_HEADER)
    page, filled = fill_down(page, after, columns.columns, columns.headers)
    rows = read_rows(Layout(page, header, columns.columns, columns.headers))
    names = [row.subdivision for row in rows if row.subdivision]
    return LotList(
        sheet=page.name or None,
        sheets=tuple(s.name for s in sheets if s.name),
        header_row=header.row if header else None,
        columns=columns.headers,
        every_column=columns.every,
        guesses=(*page.notes, *notes, *columns.guesses, *filled),
        rows=rows,
        spellings=propose(names),
    )


NO_HEADER = (
    "No header row was found: no row names a lot, an address or a description. "
    "Put the names of the columns above the rows and try again."
)


def choose_sheet(
    sheets: Sequence[Sheet], name: str | None, *, told: Sequence[str] = ()
) -> tuple[Sheet, Header | None, tuple[str, ...]]:
    """The sheet to read, its header, and what was guessed in choosing."""
    if name is not None:
        wanted = [s for s in sheets if s.name.casefold() == name.strip().casefold()]
        if not wanted:
            names = ", ".join(repr(s.name) for s in sheets if s.name) or "none"
            raise Unreadable(f"There is no sheet {name!r}. The sheets are: {names}.")
        sheets = wanted
    judged = [(s, header_named(s, told) or find_header(s)) for s in sheets]
    best, header = max(judged, key=lambda pair: _worth(*pair))
    header = header or _strange_header(best)
    if header is None and not told and not _speaks_for_itself(best):
        raise Unreadable(NO_HEADER)
    notes = [] if header else ["no header row: columns were judged by what they hold"]
    if len(sheets) > 1:
        others = ", ".join(repr(s.name) for s in sheets if s is not best)
        notes.append(f"sheet {best.name!r} was read, not {others}")
    if best.hidden:
        notes.append(f"sheet {best.name!r} is hidden in the workbook")
    if best.hidden_rows & {row.number for row in best.rows}:
        notes.append("hidden rows were read too")
    return best, header, tuple(notes)


def _worth(sheet: Sheet, header: Header | None) -> tuple[bool, int, int]:
    fields = 0
    if header:
        fits = (fit(text)[:1] for text in header.texts)
        fields = len({f for pair in fits for f, score in pair if score >= SURE})
    return (not sheet.hidden, min(fields, 6), len(sheet.rows))


def _strange_header(sheet: Sheet) -> Header | None:
    """A first row of words above rows with figures, though no word is known."""
    if len(sheet.rows) < 2 or not _speaks_for_itself(sheet):
        return None
    first = sheet.rows[0]
    texts = tuple(text_of(cell) or "" for cell in first.cells)
    filled = [text for text in texts if text]
    if len(filled) < 2 or any(char.isdigit() for char in "".join(filled)):
        return None
    return Header(first.number, first.number, texts)


def _speaks_for_itself(sheet: Sheet) -> bool:
    """A list without header still shows lots or street addresses in a column."""
    sample = sheet.rows[:200]
    width = max(len(row.cells) for row in sample)
    return any(
        share_of_legal(c, sample) >= 0.5 or share_of_addresses(c, sample) >= 0.5
        for c in range(width)
    )
