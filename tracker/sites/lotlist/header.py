"""Which row is the header, under titles and blank rows and over two lines."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from rapidfuzz.distance import OSA

from . import words
from .cells import text_of
from .grid import Row, Sheet, column_of

# The header is looked for among the first rows that hold anything.
LOOKED_AT = 60
SURE = 0.7
_FILLERS = frozenset(
    ["1", "number", "no", "num", "id", "of", "the", "and", "name", "s", "nbr"]
)
_VOCABULARY = frozenset(
    token for phrases in words.PHRASES.values() for p in phrases for token in p.split()
) | frozenset(
    [
        "info",
        "information",
        "date",
        "data",
        "details",
        "total",
        "id",
        "nbr",
        "type",
        "status",
    ]
)


@dataclass(frozen=True)
class Header:
    """Header texts by 0-based column; data begin after `last_row`."""

    row: int
    last_row: int
    texts: tuple[str, ...]
    # Each printed line of a header of two, to know it when a page repeats it.
    lines: tuple[tuple[str, ...], ...] = ()

    def text(self, column: int) -> str:
        return self.texts[column] if column < len(self.texts) else ""


def fit(text: str) -> list[tuple[str, float]]:
    """Fields that a header text may mean, with how well it fits (0 to 1)."""
    normal = words.normal(text)
    if not normal or len(normal) > 60:
        return []
    if normal in words.EXACT:
        return [(words.EXACT[normal], 1.0)]
    tokens = normal.split()
    bare = " ".join(token for token in tokens if token not in _FILLERS)
    if bare in words.EXACT:
        return [(words.EXACT[bare], 0.95)]
    if normal in words.SQUEEZED:
        return [(words.SQUEEZED[normal], 0.95)]
    typo = _typo(normal)
    if typo:
        return [(typo, 0.9)]
    if words.OTHERS & set(tokens):
        return []
    if _NAMES_PLAT & set(tokens) and _NAMES_LOT & set(tokens):
        # Subdivision, Lot, Block in one column is a legal description.
        return [("description", 0.9)]
    return _contained(tokens)


_NAMES_PLAT = frozenset(("subdivision", "subd", "subdiv", "addition", "legal"))
_NAMES_LOT = frozenset(("lot", "lots", "lt", "block", "blk"))


def _typo(normal: str) -> str | None:
    if len(normal) < 6 or any(char.isdigit() for char in normal):
        return None
    for phrase, name in words.EXACT.items():
        if len(phrase) >= 6 and OSA.distance(normal, phrase, score_cutoff=1) == 1:
            return name
    return None


def _contained(tokens: Sequence[str]) -> list[tuple[str, float]]:
    found: dict[str, float] = {}
    if len(tokens) > 5 or any(token.isdigit() for token in tokens):
        return []
    for field in words.STRONG:
        for phrase in words.PHRASES[field]:
            part = phrase.split()
            if len(part) == 1 and part[0] not in _LONE:
                continue
            if any(
                list(tokens[at : at + len(part)]) == part for at in range(len(tokens))
            ):
                score = 0.6 + 0.25 * len(part) / len(tokens)
                found[field] = max(found.get(field, 0), score)
    return sorted(found.items(), key=lambda pair: -pair[1])


# One-word phrases that keep their meaning inside a longer header.
_LONE = frozenset(
    [
        "lot",
        "block",
        "subdivision",
        "address",
        "permit",
        "parcel",
        "legal",
        "subd",
        "community",
        "plan",
        "apn",
    ]
)


def find_header(sheet: Sheet) -> Header | None:
    """The row (or pair of rows) whose cells name our fields best; None for none."""
    best: Header | None = None
    best_score = 0.0
    rows = sheet.rows[:LOOKED_AT]
    for index, row in enumerate(rows):
        texts = _texts(row)
        for header in _readings(sheet, rows, index, texts):
            score = _score(header)
            if score > best_score:
                best, best_score = header, score
    return best


def header_named(sheet: Sheet, names: Sequence[str]) -> Header | None:
    """The row in which every column stands that a person has named; None for none."""
    wanted = {words.normal(name) for name in names if column_of(name.strip()) is None}
    for row in sheet.rows[:LOOKED_AT] if wanted else ():
        texts = _texts(row)
        if wanted <= {words.normal(text) for text in texts}:
            return Header(row.number, row.number, texts)
    return None


def _readings(
    sheet: Sheet, rows: Sequence[Row], index: int, texts: tuple[str, ...]
) -> list[Header]:
    """The row alone; with the group headings above; with a second line below."""
    row = rows[index]
    readings = []
    if not _is_heading_like(row):
        return []
    width = len(texts)
    above = rows[index - 1] if index else None
    if above and above.number == row.number - 1 and _is_group(sheet, above, width):
        tops = _spread(sheet, above, width)
        joined = tuple(_better(top, low) for top, low in zip(tops, texts, strict=True))
        lines = (_texts(above), texts)
        readings.append(Header(above.number, row.number, joined, lines))
    # The last row of a sheet is data, whatever it says.
    below = rows[index + 1] if index + 2 < len(sheet.rows) else None
    if below and below.number == row.number + 1 and _continues(below):
        lows = _texts(below)
        width = max(len(texts), len(lows))
        tops = _spread(sheet, row, width)
        lows += ("",) * (width - len(lows))
        joined = tuple(_better(top, low) for top, low in zip(tops, lows, strict=True))
        lines = (texts, _texts(below))
        readings.append(Header(row.number, below.number, joined, lines))
    # A reading over two rows must beat or equal the plain one to be taken; equal
    # is enough, since its second row is otherwise a row of data that says nothing.
    readings.append(Header(row.number, row.number, texts))
    return readings


def _texts(row: Row) -> tuple[str, ...]:
    return tuple(text_of(cell) or "" for cell in row.cells)


def _is_heading_like(row: Row) -> bool:
    texts = [text_of(cell) for cell in row.cells]
    filled = [text for text in texts if text]
    plain = [t for t in filled if not re.fullmatch(r"[\d\s./:#-]+", t) and len(t) <= 60]
    return bool(filled) and len(plain) * 4 >= len(filled) * 3


def _spread(sheet: Sheet, row: Row, width: int) -> tuple[str, ...]:
    """Texts of a row with each sideways merge repeated over the columns it covers."""
    texts = list(_texts(row))[:width]
    texts += [""] * (width - len(texts))
    for column in range(width):
        reach = sheet.spans.get((row.number, column), 1)
        for covered in range(column + 1, min(column + reach, width)):
            texts[covered] = texts[covered] or texts[column]
    return tuple(texts)


def _is_group(sheet: Sheet, row: Row, width: int) -> bool:
    filled = [column for column, text in enumerate(_texts(row)) if text]
    merged = any(sheet.spans.get((row.number, column), 1) > 1 for column in filled)
    whole = any(sheet.spans.get((row.number, c), 1) >= width for c in filled)
    return not whole and (merged or len(filled) > 1) and _all_known(row)


def _continues(row: Row) -> bool:
    # One word below a header is a cell of data: UNIT in the column of addresses.
    worded = [t for t in _texts(row) if _words_in(t)]
    return len(worded) > 1 and _all_known(row)


def _words_in(text: str) -> bool:
    # B 1 is a cell of data, though B and 1 stand in headers too.
    return any(t.isalpha() and len(t) > 1 for t in words.normal(text).split())


def _all_known(row: Row) -> bool:
    tokens = [t for text in _texts(row) for t in words.normal(text).split()]
    named = any(_words_in(text) for text in _texts(row))
    return named and all(token in _VOCABULARY for token in tokens)


def _better(top: str, low: str) -> str:
    """The reading of two header lines that names a field best."""
    both = f"{top} {low}".strip()
    vague = all(token in _FILLERS for token in words.normal(low).split())
    order = (both, low, top) if vague else (low, both, top)
    choices = [text for text in dict.fromkeys(order) if text]
    scored = [(max((s for _, s in fit(text)), default=0.0), text) for text in choices]
    best = max(scored, key=lambda pair: pair[0])[1] if scored else ""
    same = [f for f, _ in fit(best)[:1]] == [f for f, _ in fit(both)[:1]]
    return both if same else best


def _score(header: Header) -> float:
    fields: dict[str, float] = {}
    for text in header.texts:
        for field, score in fit(text)[:1]:
            if score >= SURE:
                fields[field] = max(fields.get(field, 0.0), score)
    strong = words.STRONG & fields.keys()
    filled = [text for text in header.texts if text]
    if not strong or (len(fields) < 2 and (len(filled) > 1 or not _alone(fields))):
        return 0.0
    return sum(s * (2 if f in strong else 1) for f, s in fields.items())


def _alone(fields: dict[str, float]) -> bool:
    # A list of one column is a list when that column says where the house is.
    return bool(words.PLACE & fields.keys()) and max(fields.values()) == 1.0
