"""Which column holds what: by its header first, then by what stands below it."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from . import words
from .cells import text_of
from .grid import Cell, Row, Unreadable, column_of, letter
from .header import Header, fit
from .legal import parse_legal

SAMPLE = 200
ENOUGH = 0.3
FIELDS = (*words.PHRASES, "work")
IGNORED = frozenset(("", "-", "ignore", "none"))
_SUFFIX = (
    r"(?:ST|STREET|AVE?|AVENUE|RD|ROAD|DR|DRIVE|LN|LANE|CT|COURT|PL|PLACE|WAY|BLVD|LP|LOOP"
    r"|CIR|CIRCLE|TRL|TRAIL|PKWY|PKY|PT|POINT|TER|TERRACE|HWY|CV|COVE|RUN|PASS|BND|BEND"
    r"|XING|SQ|PATH|ROW|HOLLOW|HOLW|RDG|RIDGE|VW|VIEW|PASEO)"
)
HOUSE_NUMBER = re.compile(r"^\d{1,6}[A-Z]?(?:-\d+)?$", re.I)
SUFFIX = re.compile(rf"^{_SUFFIX}\.?$", re.I)
STREET = re.compile(
    r"^\d+[A-Z]?(?:\s?-\s?[A-Z\d]+)?(?:\s+1/2)?\s+(?:[NSEW]{1,2}\.?\s+)?[A-Z0-9'.]+.*"
    rf"\b{_SUFFIX}\b",
    re.I,
)


@dataclass(frozen=True)
class Columns:
    """Our field -> 0-based column, and in words what was guessed."""

    columns: Mapping[str, int]
    headers: Mapping[str, str]
    guesses: tuple[str, ...]
    every: tuple[str, ...]


def header_text(header: Header | None, column: int) -> str:
    """What a person calls the column: its header, else its letter."""
    text = header.text(column) if header else ""
    return text or f"column {letter(column)}"


def guess_columns(
    header: Header | None, rows: Sequence[Row], wanted: Mapping[str, str]
) -> Columns:
    """Fields of the columns. `wanted` is a person's word: column -> field.

    Raises:
        Unreadable: when `wanted` names a column or field that there is none of.
    """
    width = max((len(row.cells) for row in rows), default=0)
    width = max(width, len(header.texts) if header else 0)
    columns, told, ignored = _told(header, width, wanted)
    sample = rows[:SAMPLE]
    free = [c for c in range(width) if c not in columns.values() and c not in ignored]
    guesses: list[str] = []
    if header:
        _by_header(header, free, sample, columns)
    _by_content(header, free, sample, columns, guesses, told)
    _by_street(columns, sample)
    headers = {field: header_text(header, column) for field, column in columns.items()}
    every = tuple(header_text(header, column) for column in range(width))
    return Columns(columns, headers, tuple(guesses), every)


def present(header: Header | None, words_of: Mapping[str, str]) -> dict[str, str]:
    """Those of a builder's remembered columns that this header has."""
    names = {words.normal(text) for text in header.texts} if header else set()
    known = {*FIELDS, *IGNORED}
    return {
        name: field
        for name, field in words_of.items()
        if words.normal(name) in names and field in known
    }


def _told(
    header: Header | None, width: int, wanted: Mapping[str, str]
) -> tuple[dict[str, int], frozenset[str], frozenset[int]]:
    columns: dict[str, int] = {}
    ignored: set[int] = set()
    for name, field in wanted.items():
        column = _column_named(header, width, name)
        if column is None:
            raise Unreadable(
                f"There is no column {name!r} in this sheet. Give its header or letter."
            )
        key = field.strip().lower().replace(" ", "_").replace("-", "_")
        if field.strip().lower() in IGNORED:
            ignored.add(column)
        elif key not in FIELDS:
            raise Unreadable(
                f"There is no field {field!r}. The fields are: {', '.join(FIELDS)}."
            )
        else:
            columns[key] = column
    return columns, frozenset(columns), frozenset(ignored)


def _column_named(header: Header | None, width: int, name: str) -> int | None:
    texts = header.texts if header else ()
    exact = [c for c, text in enumerate(texts) if text.lower() == name.strip().lower()]
    same = [
        c
        for c, text in enumerate(texts)
        if text and words.normal(text) == words.normal(name)
    ]
    for found in (exact, same):
        if found:
            return found[0]
    short = name.strip().lower().removeprefix("column ")
    column = column_of(short)
    return column if column is not None and column < width else None


def _by_header(
    header: Header,
    free: list[int],
    sample: Sequence[Row],
    columns: dict[str, int],
) -> None:
    order = list(words.PHRASES)
    offers = [
        (-score, -_content(field, column, sample), order.index(field), column, field)
        for column in free
        for field, score in fit(header.text(column))
    ]
    for _, _, _, column, field in sorted(offers):
        if column not in free:
            continue
        if field not in columns:
            columns[field] = column
            free.remove(column)
        elif field == "kind" and "construction" not in columns:
            columns["construction"] = column
            free.remove(column)
        elif field == "description" and "work" not in columns:
            # Of two descriptions the one with lots in it is the legal one.
            columns["work"] = column
            free.remove(column)


def _content(field: str, column: int, sample: Sequence[Row]) -> float:
    if field == "description":
        return round(share_of_legal(column, sample), 1)
    if field == "address":
        return round(share_of_addresses(column, sample), 1)
    return 0.0 if _is_empty(column, sample) else 0.5


def _by_content(
    header: Header | None,
    free: list[int],
    sample: Sequence[Row],
    columns: dict[str, int],
    guesses: list[str],
    told: frozenset[str],
) -> None:
    has_lot = columns.keys() & {"lot", "lot_block", "block_lot"}
    if not has_lot and "description" not in told:
        _find_legal(header, free, sample, columns, guesses, told)
    if "address" not in columns and "street" not in columns:
        best = max(free, key=lambda c: share_of_addresses(c, sample), default=None)
        if best is not None and share_of_addresses(best, sample) >= ENOUGH:
            columns["address"] = best
            free.remove(best)
            guesses.append(
                f"{header_text(header, best)}: taken as the address, since most of "
                "its cells are street addresses"
            )


def _find_legal(
    header: Header | None,
    free: list[int],
    sample: Sequence[Row],
    columns: dict[str, int],
    guesses: list[str],
    told: frozenset[str],
) -> None:
    now = columns.get("description")
    if now is not None and share_of_legal(now, sample) >= ENOUGH:
        return
    movable = [
        c for f, c in columns.items() if f in ("subdivision", "work") and f not in told
    ]
    best = max(free + movable, key=lambda c: share_of_legal(c, sample), default=None)
    if best is None or share_of_legal(best, sample) < ENOUGH:
        return
    for field in [f for f, c in columns.items() if c == best]:
        del columns[field]
    if now is not None:
        columns["work"] = now
    columns["description"] = best
    if best in free:
        free.remove(best)
    guesses.append(
        f"{header_text(header, best)}: taken as the description, since its cells "
        "name lots"
    )


def _by_street(columns: dict[str, int], sample: Sequence[Row]) -> None:
    """Beside a street's name, Type holds St and Ave, and Address the house number."""
    address = columns.get("address")
    if address is not None and "street" in columns and "house_number" not in columns:
        texts = _filled(address, sample)
        plain = sum(1 for text in texts if HOUSE_NUMBER.match(text))
        if plain * 2 > len(texts):
            columns["house_number"] = columns.pop("address")
    kind = columns.get("kind")
    if kind is None or "street" not in columns or "street_suffix" in columns:
        return
    texts = _filled(kind, sample)
    if texts and sum(1 for t in texts if SUFFIX.match(t)) * 2 > len(texts):
        columns["street_suffix"] = columns.pop("kind")
        if "construction" in columns:
            columns["kind"] = columns.pop("construction")


def _filled(column: int, sample: Sequence[Row]) -> list[str]:
    texts = (text_of(row.cell(column)) for row in sample)
    return [text for text in texts if text]


def _is_empty(column: int, sample: Sequence[Row]) -> bool:
    return not _filled(column, sample)


def share_of_legal(column: int, sample: Sequence[Row]) -> float:
    """Part of the filled cells that name a lot or unit in words."""
    texts = _filled(column, sample)
    named = sum(1 for text in texts if _names_lot(text))
    return named / len(texts) if texts else 0.0


def _names_lot(text: str) -> bool:
    if not re.search(r"[A-Za-z]{1,}\s*[#:.]?\s*\w", text) or text.isdigit():
        return False
    legal = parse_legal(text[:300])
    return legal.lot is not None or (legal.unit is not None and len(text) > 4)


def share_of_addresses(column: int, sample: Sequence[Row]) -> float:
    """Part of the filled cells that read as a street address."""
    texts = _filled(column, sample)
    return sum(1 for t in texts if STREET.match(t)) / len(texts) if texts else 0.0


def same_header(header: Header, cells: Sequence[Cell]) -> bool:
    """The row repeats the header, as each page of a printed report does."""
    return any(_same(texts, cells) for texts in (header.texts, *header.lines))


def _same(texts: Sequence[str], cells: Sequence[Cell]) -> bool:
    pairs = [
        (text.casefold(), texts[column].casefold() if column < len(texts) else "")
        for column, cell in enumerate(cells)
        if (text := text_of(cell))
    ]
    same = sum(1 for here, there in pairs if here and here == there)
    return bool(pairs) and same * 5 >= len(pairs) * 4 and (same > 1 or len(pairs) == 1)
