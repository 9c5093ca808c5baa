"""Walk the rows below the header: houses, headings, totals, repeats, bad cells."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import median

from .cells import is_day_first, text_of
from .dwelling import why_not_a_house
from .grid import Row, Sheet
from .guess import STREET, same_header
from .header import Header
from .legal import parse_legal
from .legal_words import LABEL
from .reading import DATES, read_row
from .record import BAD, SKIPPED, CellError, LotRow

TOTAL = re.compile(
    r"^(?:grand\s+|sub-?\s?|report\s+|overall\s+)?totals?\b|^(?:count|sum|average|avg)\b"
    r"|^page\s+\d+|^(?:printed|run|report(?:ed)?|created|generated|as of)\b.*\d"
    r"|^(?:number|no\.?|#)\s+of\s+(?:records|permits|lots|rows)\b"
    r"|^\d[\d,]*\s+(?:records?|permits?|rows?|lots?)\b|^end\s+of\b|^\*+\s*end\b",
    re.I,
)
REMARK = re.compile(
    r"^(?:notes?\b|\*|see\b|legend\b|key\b|prepared\b|revised\b|updated\b|source\b"
    r"|disclaimer\b|confidential\b|continued\b|https?:)|[.!?]$",
    re.I,
)
COUNT_ASIDE = re.compile(
    r"\s*[(\[-]?\s*\d+\s+(?:lots|homes|houses|units|homesites)\s*[)\]]?$", re.I
)
# A lone permit number is a row of data that says too little, not a heading.
NUMBER = re.compile(r"^[A-Z]{0,6}[-/]?\d[\w/-]*$", re.I)
# A heading of permit reports that says what kind of building the rows below are.
KIND_HEADING = re.compile(
    r"^(?:\d{3}\b[\s:-]*)?(?:new\s+|residential\s+|commercial\s+)*(?:single[\s-]fam\w*.*"
    r"|(?:one|two|1|2|multi)[\s-](?:and\s+two[\s-])?fam\w*.*|duplex(?:es)?|townho\w+"
    r"|apartments?.*|condominiums?|residential|commercial|residences?|dwellings?"
    r"|(?:detached\s+|attached\s+)?(?:garages?|carports?|accessory.*)(?:\s+.*)?"
    r"|(?:swimming\s+)?pools?.*|signs?|sheds?|fences?|decks?|demoli\w+.*|additions?"
    r"|remodels?|alterations?.*|repairs?|reroof\w*|solar.*|manufactured\s+homes?"
    r"|mobile\s+homes?|other.*)$",
    re.I,
)
HEADING = "Heading: it names the rows below."


@dataclass(frozen=True)
class Layout:
    """What is known of a sheet before its rows are read."""

    sheet: Sheet
    header: Header | None
    columns: Mapping[str, int]
    headers: Mapping[str, str]


def read_rows(layout: Layout) -> tuple[LotRow, ...]:
    """One entry for each row below the header that holds anything, in order."""
    after = layout.header.last_row if layout.header else 0
    rows = [row for row in layout.sheet.rows if row.number > after]
    several = [count for row in rows if (count := _filled(row)) > 1]
    usual = median(several) if several else 0
    return tuple(_without_repeats(layout, _walk(layout, rows, usual)))


def _walk(layout: Layout, rows: Sequence[Row], usual: float) -> Iterator[LotRow]:
    section: str | None = None
    group: str | None = None
    day_first = _day_first(layout, rows)
    for row in rows:
        reason, heading = _why_no_data(layout, row, usual)
        if heading is not None and KIND_HEADING.match(heading):
            group = heading
        elif heading is not None:
            section = heading
        if reason:
            yield LotRow(row=row.number, status=SKIPPED, reason=reason)
            continue
        read = read_row(
            layout.sheet,
            layout.header,
            layout.columns,
            layout.headers,
            row,
            day_first=day_first,
        )
        if read.subdivision is None and section:
            read = replace(read, subdivision=section)
        yield _judged(layout, row, read, group)


def _day_first(layout: Layout, rows: Sequence[Row]) -> frozenset[str]:
    return frozenset(
        field
        for field in DATES
        if field in layout.columns
        and is_day_first(row.cell(layout.columns[field]) for row in rows)
    )


def _filled(row: Row) -> int:
    return sum(1 for cell in row.cells if text_of(cell))


def _why_no_data(
    layout: Layout, row: Row, usual: float
) -> tuple[str | None, str | None]:
    """Reason why the row is no house at all, and the heading it gives the next ones."""
    texts = [text for cell in row.cells if (text := text_of(cell))]
    if not texts:
        return "Nothing but marks for 'nothing yet'.", None
    if layout.header and same_header(layout.header, row.cells):
        return "The header again.", None
    if _is_total(layout, row, texts):
        return f"A total or a footer: {texts[0]!r}.", None
    if len(set(texts)) > 1 or not _stands_out(layout, row, usual):
        return None, None
    text = texts[0]
    if REMARK.search(text) or len(text.split()) > 8:
        return f"A remark: {text[:80]!r}.", None
    if STREET.match(text) or not re.search(r"[A-Za-z]{3}", text):
        return None, None
    if NUMBER.match(text):
        return None, None
    if parse_legal(text).lot or parse_legal(text).unit:
        return None, None
    name = COUNT_ASIDE.sub("", LABEL.sub("", text)).strip(" :-")
    return HEADING, name or None


def _stands_out(layout: Layout, row: Row, usual: float) -> bool:
    """A row of one text among rows of several is a heading or a remark.

    In a list of two columns a single text may well be data of its column.
    """
    if usual >= 3:
        return True
    own = ("description", "address", "subdivision")
    places = {layout.columns[field] for field in own if field in layout.columns}
    filled = {c for c, cell in enumerate(row.cells) if text_of(cell)}
    return usual >= 2 and not filled & places


def _is_total(layout: Layout, row: Row, texts: Sequence[str]) -> bool:
    if not TOTAL.search(texts[0]):
        return False
    address = layout.columns.get("address")
    text = text_of(row.cell(address)) if address is not None else None
    return not (text and STREET.match(text))


def _judged(layout: Layout, row: Row, read: LotRow, group: str | None) -> LotRow:
    """The row with its status: not a house, bad, or to be taken."""
    kinds: dict[str, str | None] = {
        layout.headers[field]: text_of(row.cell(layout.columns[field]))
        for field in ("kind", "construction")
        if field in layout.columns
    }
    if group:
        kinds["the heading"] = group
    reason = why_not_a_house(
        kinds=kinds,
        dwellings=read.dwellings,
        work=_work(layout, row, read),
        description=" ".join(
            text
            for field in ("description", "work")
            if field in layout.columns
            and (text := text_of(row.cell(layout.columns[field])))
        )
        or None,
    )
    if reason:
        return replace(read, status=SKIPPED, reason=reason, errors=())
    if not (read.lot or read.unit or read.address) and not read.errors:
        read = _nameless(layout, read)
    return replace(read, status=BAD) if read.errors else read


def _work(layout: Layout, row: Row, read: LotRow) -> str | None:
    """What the row says of the work, where that text names no plat."""
    column = layout.columns.get("work")
    text = text_of(row.cell(column)) if column is not None else None
    if text is None and "lot" in layout.columns and read.description:
        named = parse_legal(read.description)
        text = None if named.lot or named.subdivision else read.description
    return text


def _nameless(layout: Layout, read: LotRow) -> LotRow:
    if not (read.permit or read.parcel or read.subdivision or read.description):
        return replace(
            read, status=SKIPPED, reason="No lot, address or permit in this row."
        )
    column = layout.headers.get("lot") or layout.headers.get("description")
    error = CellError(
        column=column or layout.headers.get("address") or "lot",
        value=read.description or "",
        reason="The row names no lot and no address.",
        hint="Fill in the lot or the address.",
    )
    return replace(read, errors=(error,))


def _without_repeats(layout: Layout, rows: Iterator[LotRow]) -> Iterator[LotRow]:
    """A row that says the same as an earlier one is skipped; one that differs is bad.

    A permit that comes again with another parcel or address is its own row.
    """
    seen: dict[tuple[str | None, ...], LotRow] = {}
    for row in rows:
        if row.status in (SKIPPED, BAD):
            yield row
            continue
        first = seen.setdefault(row.place, row)
        if first is row:
            yield row
        elif first.choices == row.choices:
            yield replace(
                row, status=SKIPPED, reason=f"The same house as row {first.row}."
            )
        else:
            error = _contradiction(first, row, layout.headers)
            yield replace(row, status=BAD, errors=(error,))


def _contradiction(first: LotRow, row: LotRow, headers: Mapping[str, str]) -> CellError:
    names = ("plan", "elevation", "options", "mirrored", "start")
    pairs = zip(names, first.choices, row.choices, strict=True)
    name, there, here = next(pair for pair in pairs if pair[1] != pair[2])
    return CellError(
        column=headers.get(name, name),
        value=_shown(here),
        reason=f"Row {first.row} names the same house with "
        f"{_shown(there) or 'nothing'}.",
        hint="Keep the right one of the two rows.",
    )


def _shown(value: object) -> str:
    if isinstance(value, tuple):
        return ", ".join(str(v) for v in value)
    return "" if value is None else str(value)
