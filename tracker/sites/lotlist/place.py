"""Lot, block, unit, plat and address of a row, from whichever columns it has."""

import re
from dataclasses import dataclass, replace
from datetime import date, datetime, time

from . import legal_words as w
from .cells import text_of
from .designators import label
from .grid import Cell
from .legal import Legal, parse_legal

PAIR = re.compile(
    r"^(?P<one>.+?)\s*(?:[/|;:\\,–]|\s-\s|-|\s)\s*(?P<two>[A-Z0-9]+)$", w.I
)


@dataclass(frozen=True)
class Cells:
    """Values of one row by our field, as read from the sheet."""

    values: dict[str, Cell]

    def text(self, field: str) -> str | None:
        text = text_of(self.values.get(field))
        # A number column exported as text keeps a needless .0.
        if text and field in _NUMBERED:
            text = re.sub(r"^(\d+)\.0+$", r"\1", text)
        return text


_NUMBERED = frozenset(
    [
        "lot",
        "block",
        "lot_block",
        "block_lot",
        "unit",
        "phase",
        "house_number",
        "plan",
        "permit",
        "parcel",
    ]
)


def is_date_like(value: Cell) -> bool:
    """A lot such as 3-4 that a spreadsheet turned into a date."""
    return isinstance(value, datetime | date | time)


def place_of(cells: Cells, *, plural: bool = False) -> Legal:
    """Where the row's house stands. Columns of their own win over the description.

    Args:
        cells: the row.
        plural: the lot column is headed "Lots", so `1-4` is a range.
    """
    legal = _of_columns(cells, plural=plural)
    text = cells.text("description")
    if text:
        legal = _filled(legal, parse_legal(text[:1000]))
    plat = cells.text("subdivision")
    if plat:
        legal = _with_plat(legal, plat)
    if legal.lot is None and legal.unit is None:
        legal = _with_address(legal, cells.text("address"))
    return legal


def _with_address(legal: Legal, address: str | None) -> Legal:
    """12 EGRET LN LOT 4 BLK 2: where nothing else names the lot, the address may."""
    found = re.search(r"(?:\bLOTS?|\bLT)\b.*$", address, w.I) if address else None
    if found is None or not found.start():
        return legal
    named = parse_legal(found.group())
    return replace(
        legal,
        lot=named.lot,
        lots=named.lots,
        block=legal.block or named.block,
        lot_word=named.lot_word,
        part=named.part,
    )


def _of_columns(cells: Cells, *, plural: bool) -> Legal:
    legal = Legal()
    pair = cells.text("lot_block") or cells.text("block_lot")
    if pair:
        legal = _of_pair(pair, block_first=cells.text("lot_block") is None)
    lot = cells.text("lot")
    if lot:
        legal = _filled(_of_lot(lot, plural=plural), legal)
    block = cells.text("block")
    if block:
        legal = replace(legal, block=_of_block(block))
    unit = cells.text("unit")
    if unit:
        legal = replace(legal, unit=_of_unit(unit))
    return legal


def _of_lot(text: str, *, plural: bool) -> Legal:
    """A cell of the lot column: `18A`, `Lot 18A`, `12 & 13`, `18A, Block 6`."""
    if w.LOT.search(text):
        named = parse_legal(text)
        if named.lot:
            return named
    several = plural or bool(re.search(r"[,;&+]", text))
    named = parse_legal(f"{'LOTS' if several else 'LOT'} {text}")
    if named.lot is None or (named.subdivision and not re.search(r"\s", text)):
        return Legal(lot=label(text) or None, lot_word="LOT")
    return named


def _of_block(text: str) -> str | None:
    named = parse_legal(text if w.BLOCK.search(text) else f"BLOCK {text}")
    return named.block or label(text) or None


def _of_unit(text: str) -> str | None:
    named = parse_legal(text)
    return named.unit or label(text) or None


def _of_pair(text: str, *, block_first: bool) -> Legal:
    """A cell that holds both: `18/6`, `18-6`, `L18 B6`, `Lot 18 Blk 6`."""
    named = parse_legal(text)
    if named.lot and named.block:
        return named
    if named.lot and not block_first:
        return named
    found = PAIR.match(text.strip())
    if not found:
        return _of_lot(text, plural=False)
    one, two = found["one"], found["two"]
    lot, block = (two, one) if block_first else (one, two)
    return replace(_of_lot(lot, plural=False), block=_of_block(block))


def _filled(first: Legal, second: Legal) -> Legal:
    """`first`, and from `second` what it leaves open."""
    return Legal(
        lot=first.lot or second.lot,
        lots=first.lots if first.lot else second.lots,
        block=first.block or second.block,
        unit=first.unit or second.unit,
        subdivision=first.subdivision or second.subdivision,
        building=first.building or second.building,
        lot_word=first.lot_word if first.lot else second.lot_word,
        part=first.part if first.lot else second.part,
    )


def _with_plat(legal: Legal, plat: str) -> Legal:
    if re.search(r"\bLOTS?\b|\bBLO?C?K\b", plat, w.I):
        named = parse_legal(plat)
        if named.lot or named.block:
            merged = _filled(legal, named)
            return replace(merged, subdivision=named.subdivision or legal.subdivision)
    return replace(legal, subdivision=plat)


def address_of(cells: Cells) -> str | None:
    """The street address, put together where the sheet keeps its parts apart."""
    address = cells.text("address")
    if address:
        return address
    parts = ("house_number", "street_direction", "street", "street_suffix")
    if not cells.text("street"):
        return None
    return " ".join(text for part in parts if (text := cells.text(part))) or None
