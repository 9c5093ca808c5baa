"""Read a legal description: `LOT 18A, BLOCK 6, LOW'S ADDITION` and its many cousins.

The lot, block, unit and building are taken out of the text; what is left, in order, is
the name of the plat with its phases, filings and supplements.
"""

import re
from dataclasses import dataclass

from . import legal_words as w
from .designators import Run, joined, label, lots_of, read_run

EDGE = " \t,;:/|&+-–—.=*"


@dataclass(frozen=True)
class Legal:
    """What a description names; None for what it does not say.

    `lot` and `block` are upper case without words, `#` and punctuation. A row that
    names several lots has `lot` as written and `lots` one by one.
    """

    lot: str | None = None
    lots: tuple[str, ...] = ()
    block: str | None = None
    unit: str | None = None
    subdivision: str | None = None
    building: str | None = None
    # LOT, or TRACT, PARCEL ... where the land is not called a lot.
    lot_word: str | None = None
    # The piece of the lot that belongs, such as E 1/2.
    part: str | None = None


class _Text:
    """The description with the spans that are already understood."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.taken: list[tuple[int, int]] = []

    def take(self, start: int, end: int) -> None:
        self.taken.append((start, end))

    def free(self, start: int, end: int) -> bool:
        return all(end <= s or start >= e for s, e in self.taken)

    def next_taken(self, at: int) -> int:
        return min((s for s, _ in self.taken if s >= at), default=len(self.text))

    def pieces(self) -> list[tuple[int, str]]:
        """Untaken stretches with where they start, in order."""
        found, at = [], 0
        for start, end in sorted(self.taken):
            found.append((at, self.text[at:start]))
            at = max(at, end)
        found.append((at, self.text[at:]))
        return [(start, piece) for start, piece in found if piece.strip(EDGE)]


def parse_legal(text: str) -> Legal:
    """Lot, block, unit and plat named in a description. Never fails."""
    words = _Text(_prepared(text))
    for aside in w.ASIDE.finditer(words.text):
        words.take(*aside.span())
    # Lots named after REPLAT OF were there before; they are part of the name.
    frozen = w.REPLAT.search(words.text)
    limit = frozen.start() if frozen else len(words.text)
    lot, part, lot_at = _take_lots(words, limit)
    if frozen and lot is None:
        lot, part, lot_at = _take_lots(words, len(words.text))
    block = _take_blocks(words)
    if lot is None:
        lot, block, lot_at = _take_short(words, block)
    building = _take_first(words, w.BUILDING)
    unit = _take_unit(words, has_lot=lot is not None, built=building is not None)
    lot_word = "LOT" if lot else None
    if lot is None and unit is None:
        lot, lot_word, lot_at = _take_land(words)
    named = lot is not None or block is not None or unit is not None
    return Legal(
        lot=lot.text if lot else None,
        lots=lots_of(lot) if lot else (),
        block=block,
        unit=unit,
        subdivision=_plat_name(words, lot_at, named=named),
        building=building,
        lot_word=lot_word,
        part=part,
    )


def _prepared(text: str) -> str:
    text = " ".join(text.replace("\u00a0", " ").split())
    text = w.LABEL.sub("", text)
    # LOT12BLK3 and 4BLK2 were typed without spaces.
    text = re.sub(r"(?<=[0-9A-Z])-(?=BL(?:OC)?K)", " ", text, flags=w.I)
    return re.sub(r"(?<=[0-9])(?=BL(?:OC)?K\.?\s*#?\s*[0-9A-Z])", " ", text, flags=w.I)


def _take_lots(words: _Text, limit: int) -> tuple[Run | None, str | None, int]:
    runs: list[Run] = []
    part, lot_at = None, 0
    for found in w.LOT.finditer(words.text, 0, limit):
        if w.NOT_A_LOT.search(words.text[: found.start("word")]):
            continue
        plural = found["word"].strip(" .").upper()[-1] in "S)"
        run = read_run(words.text, found.end(), plural=plural)
        if run is None or not words.free(found.start(), run.end):
            continue
        words.take(found.start(), run.end)
        piece = (found["part"] or "").upper().strip()
        piece = re.sub(r"\s*\bOF(\s+THE)?$|^THE\s+", "", piece).strip()
        if not runs:
            part, lot_at = piece or None, found.start()
        runs.append(run if plural else run.of_part(piece))
    return joined(runs), part, lot_at


def _take_blocks(words: _Text) -> str | None:
    runs: list[Run] = []
    for found in w.BLOCK.finditer(words.text):
        plural = found.group().strip(" .").upper()[-1] in "S)"
        # BLOCK 4 & W 1/2 LOT 5: the W belongs to the lot that is already read.
        text = words.text[: words.next_taken(found.end())]
        run = read_run(text, found.end(), plural=plural, blocks=True)
        if run is None or not words.free(found.start(), run.end):
            continue
        if found.group().upper().startswith("BK") and w.PLAT_BOOK.match(
            words.text, run.end
        ):
            continue
        words.take(found.start(), run.end)
        runs.append(run)
    several = joined(runs)
    return several.text if several else None


def _take_short(words: _Text, block: str | None) -> tuple[Run | None, str | None, int]:
    """L4 B2, B2 L4, BLK 2 L 4, or an L4 at the beginning or the end."""
    shapes = (w.SHORT, w.SHORT_BLOCK_FIRST) if block is None else ()
    for shape in shapes:
        found = shape.search(words.text)
        if found and words.free(*found.span()):
            words.take(*found.span())
            lot = Run(text=label(found["lot"]), end=found.end(), items=())
            return lot, label(found["block"]), found.start()
    for shape in (w.SHORT_LOT, w.SHORT_LAST, *((w.SHORT_BESIDE,) if block else ())):
        found = shape.search(words.text)
        if found and words.free(*found.span()):
            words.take(*found.span())
            lot = Run(text=label(found["lot"]), end=found.end(), items=())
            return lot, block, found.start()
    return None, block, 0


def _take_unit(words: _Text, *, has_lot: bool, built: bool) -> str | None:
    unit = _take_first(words, w.UNIT_STRONG)
    if unit is not None:
        return unit
    sides = w.UNIT_SIDE.finditer(words.text) if has_lot else ()
    for found in (*w.UNIT_WEAK.finditer(words.text), *sides):
        run = read_run(words.text, found.end(), plural=False, blocks=True)
        if run is None or not words.free(found.start(), run.end):
            continue
        # With a lot, UNIT 3 is a part of the plat (as a phase is) unless it is a
        # letter beside the lot or block: LOT 7 UNIT B, SUNNY ACRES.
        # In a building it is one of its units: LOT 5 BLDG 3 UNIT 2.
        if has_lot and not built and not _is_half_of_lot(words, found.start(), run):
            continue
        words.take(found.start(), run.end)
        return run.text
    return None if has_lot else _take_first(words, w.UNIT_HASH, whole=False)


def _is_half_of_lot(words: _Text, start: int, run: Run) -> bool:
    before = words.text[:start].rstrip(EDGE + "(")
    after = len(words.text) - len(words.text[run.end :].lstrip(EDGE))
    return bool(re.fullmatch(r"[A-Z]", run.text)) and any(
        end == len(before) or begin == after for begin, end in words.taken
    )


def _take_first(
    words: _Text, shape: re.Pattern[str], *, whole: bool = True
) -> str | None:
    """The name after the first word of that shape; `whole` takes the word too."""
    for found in shape.finditer(words.text):
        plural = found.group().strip(" .").upper().endswith("S")
        run = read_run(words.text, found.end(), plural=plural, blocks=True)
        start = found.start() if whole else found.end()
        if run is not None and words.free(start, run.end):
            words.take(start, run.end)
            return run.text
    return None


def _take_land(words: _Text) -> tuple[Run | None, str | None, int]:
    """TRACT 4 or PARCEL 0A2 stands for the lot where no lot is named."""
    for found in w.LAND.finditer(words.text):
        run = read_run(words.text, found.end(), plural=False, blocks=True)
        # TRACT 12345 is the number of a plat, not of a piece of land in it.
        if run is None or re.match(r"\d{4}", run.text):
            continue
        if not words.free(found.start(), run.end):
            continue
        words.take(found.start(), run.end)
        word = found["word"].upper()
        word = {"TR": "TRACT", "PCL": "PARCEL"}.get(word, word)
        return run, word, found.start()
    return None, None, 0


def _plat_name(words: _Text, lot_at: int, *, named: bool) -> str | None:
    pieces = words.pieces()
    if not named:
        # A description without lot or unit is a project's name or a remark, unless
        # it is worded like a plat.
        text = _clean(" ".join(piece for _, piece in pieces))
        return text if text and w.PLATTED.search(text) else None
    before = [piece for start, piece in pieces if start < lot_at]
    after = [piece for start, piece in pieces if start >= lot_at]
    job = bool(before and after) and _is_job(before[-1], after[0])
    if before and (job or _only_job(" ".join(before))):
        before = []
    name = _clean(" ".join(_clean(piece) or "" for piece in before + after))
    name = _without_remarks(name) if name else None
    return name if name and re.search(r"[A-Za-z]", name) else None


def _without_remarks(name: str) -> str:
    """The plat without what is said of the house or of the record behind it."""
    name = w.RECORD.sub("", name)
    parts = re.split(r"(\s+[-–—]+\s+|\s*[,;(]\s*)", name)
    while len(parts) > 2 and parts[0].strip() and w.HOUSE.search(parts[-1]):
        parts = parts[:-2]
    name = "".join(parts)
    # What stood in brackets was kept whole unless its bracket was cut off.
    return name.strip(EDGE) if name.count("(") <= name.count(")") else name


def _is_job(before: str, after: str) -> bool:
    """The text before the lot names the job: `SPEC HOUSE - LOT 5 NAME`."""
    follows = after.strip(EDGE)
    if w.GOES_ON.match(follows) or not re.search(r"[A-Za-z]{2}", follows):
        return False
    return before.rstrip().endswith(("-", "–", "—", ":")) or bool(w.JOB.search(before))


def _only_job(text: str) -> bool:
    rest = w.JOB.sub("", re.sub(r"(?i)\bTOWN\s?(?:HOUSE|HOME)\b", "", text))
    return not re.search(
        r"[A-Za-z]{2}", re.sub(r"(?i)\b(W|WITH|AND|OF|ON)\b", "", rest)
    )


def _clean(text: str) -> str | None:
    text = " ".join(text.split()).strip(EDGE)
    text = re.sub(r"^(?:OF|IN|AT|FROM|ON|WITHIN)\s+", "", text, flags=w.I)
    text = re.sub(r"\s+(?:OF|IN|AT|ON|AND)$", "", text, flags=w.I).strip(EDGE)
    text = re.sub(r"\(\s*\)|^\)|\($", "", text).strip(EDGE)
    text = re.sub(r"^\(([^()]*)\)?$", r"\1", text)
    # BLK or LOT with nothing after it: the name was left out.
    text = re.sub(r"^(?:BLK|LOTS?)\.?\s+", "", text, flags=w.I)
    return " ".join(text.split()) or None
