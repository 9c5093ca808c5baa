"""Runs of lot or block names: `13, 14 & 1/2 OF 12`, `1-4 + E1/2 LOT 5`, `18 A`."""

import re
from dataclasses import dataclass, replace

from . import legal_words as w

MOST_LOTS = 200
# A lone letter after the number belongs to it (85 A) unless it is a side of the
# compass or begins a name such as A BAR RANCH or B STREET COTTAGES.
LONE = re.compile(
    r"\s+(?P<letter>[A-DF-HR])(?=\s*(?:,|;|$)"
    r"|\s+(?!BAR\b|STREET\b|ST\b|AVE(?:NUE)?\b|&|AND\b|-))",
    w.I,
)
# LOT 12 A & B, LOT 12A/B: two lots of one number, where no name follows the letter.
HALF = re.compile(
    r"(?P<sep>\s*(?:&|/|\+|,|\bAND\b)\s*)(?P<letter>[A-H])(?![A-Z0-9'’])"
    rf"(?=\s*(?:[&/+,;)]|\bAND\b|$|{w.BLOCK_WORD}))",
    w.I,
)


@dataclass(frozen=True)
class Run:
    """One name, or several joined. `items` holds (joined by, portion, name)."""

    text: str
    end: int
    items: tuple[tuple[str, str, str], ...]
    # What stood before the only lot of this run, such as E 1/2.
    part: str = ""

    def of_part(self, part: str) -> "Run":
        """The same run where `part` (E 1/2) stood before its first lot."""
        if not part or (self.items and self.items[0][1]):
            return self
        if not self.items:
            return replace(self, part=part)
        first = (self.items[0][0], part, self.items[0][2])
        return Run(self.text, self.end, (first, *self.items[1:]))


def label(text: str) -> str:
    """A lot, block or unit name: upper case, no `#`, no punctuation.

    A hyphen between two digits stays: 1-4 is not lot 14.
    """
    name = " ".join(text.upper().split())
    name = re.sub(r"\s*\((\d+)\)$", "", name)
    name = w.NUMBER_WORDS.get(name, name)
    name = re.sub(r"[#.,;:'\"()\\]", "", name)
    name = re.sub(r"(?<!\d)-|-(?!\d)", "", name)
    return name.strip()


def read_run(text: str, at: int, *, plural: bool, blocks: bool = False) -> Run | None:
    """The names that begin at `at`, just after the word LOT or BLOCK; None for none."""
    first = w.FIRST.match(text, at)
    if not first:
        return None
    start = first.start("item")
    items = [_item("", first["item"])]
    end = first.end()
    if not blocks and re.fullmatch(r"\d+", items[0][2]):
        lone = LONE.match(text, end)
        if lone:
            items[0] = ("", items[0][1], items[0][2] + lone["letter"].upper())
            end = lone.end()
    ends = re.fullmatch(r"(\d+[A-Z])-(\d+[A-Z])", items[0][2], w.I)
    if ends and not blocks:
        # LOT 1A-1B: from one to the other, not a lot called 1A1B.
        items = [("", items[0][1], ends[1]), ("-", "", ends[2])]
    if not blocks and not ends:
        end = _read_halves(text, end, items)
    end = _read_rest(text, end, items, plural=plural, blocks=blocks)
    if len(items) == 1 and not items[0][1]:
        name = label(items[0][2])
        several = plural and re.fullmatch(r"\d+-\d+", name)
        return Run(name, end, tuple(items) if several else ())
    written = " ".join(text[start:end].upper().replace("#", "").split())
    return Run(written.strip(" ,;:."), end, tuple(items))


def _read_halves(text: str, end: int, items: list[tuple[str, str, str]]) -> int:
    """More letters of one number: 12 A & B, 12A/B; the end of what was read."""
    _, part, name = items[0]
    number = re.fullmatch(r"(\d+)([A-H]?)", name, w.I)
    if not number:
        return end
    if not number[2]:
        # 12 A & B: the first letter stands by itself.
        first = re.compile(r"\s+(?P<letter>[A-H])(?![A-Z0-9])", w.I).match(text, end)
        if not first or not HALF.match(text, first.end()):
            return end
        items[0] = ("", part, number[1] + first["letter"].upper())
        end = first.end()
    while found := HALF.match(text, end):
        sep = found["sep"].strip().upper()
        items.append((sep, "", number[1] + found["letter"].upper()))
        end = found.end()
    return end


def _read_rest(
    text: str,
    end: int,
    items: list[tuple[str, str, str]],
    *,
    plural: bool,
    blocks: bool,
) -> int:
    more = w.NEXT_BLOCK if blocks else w.NEXT_LOT
    pending: list[tuple[str, str, str]] = []
    at = end
    while len(items) + len(pending) < MOST_LOTS:
        found = more.match(text, at)
        if not found:
            break
        sep = found["sep"].upper().replace(" ", "")
        name = found["id"]
        pending.append((sep, (found["part"] or "").strip(), name))
        at = found.end()
        if _is_sure(text, at, sep, found, items, pending, plural=plural):
            items.extend(pending)
            pending = []
            end = at
    return end


def _is_sure(
    text: str,
    at: int,
    sep: str,
    found: re.Match[str],
    items: list[tuple[str, str, str]],
    pending: list[tuple[str, str, str]],
    *,
    plural: bool,
) -> bool:
    """The name just read is one more lot, not the start of what follows.

    `LOT 7, 44 RANCH` names one lot; `LOT 7 & 8`, `LOTS 7, 8` and `LOT 5,6,7 & 8` more.
    """
    if found["again"] or found["part"]:
        return True
    ranged = sep in ("-", "–", "THRU", "THROUGH", "TO")
    if sep in ("THRU", "THROUGH"):
        return bool(re.match(r"\d", found["id"]))
    follows = text[at:].lstrip()
    previous = (items + pending[:-1])[-1][2]
    if sep == "/" and _neighbours(previous, found["id"]):
        return True
    if not plural and (ranged or sep == "/"):
        # LOT 5/6 BLK 3 is two lots; LOT 5/3 HERON may be lot and block.
        return bool(w.BLOCK.match(follows)) and found["id"].isdigit()
    if plural and ranged:
        letters = len(previous) == 1 and len(found["id"]) == 1
        return letters or bool(re.match(r"\d", found["id"]))
    if sep in ("&", "+", "AND", ",&", ",AND", ",+"):
        return True
    if not follows or w.BLOCK.match(follows) or w.LOT.match(follows):
        return True
    if plural:
        # LOTS 7 & 8, 44 RANCH: a comma after the closing & ends the list.
        closed = any(s.endswith(("&", "AND", "+")) for s, _, _ in items)
        return not closed or _neighbours(previous, found["id"])
    return _neighbours(previous, found["id"]) and bool(
        re.match(r"[A-Z,]", follows, w.I)
    )


def _neighbours(one: str, other: str) -> bool:
    """12 and 13, or 1A and 1B."""
    if one.isdigit() and other.isdigit():
        return abs(int(one) - int(other)) == 1
    same = one[:-1].isdigit() and one[:-1] == other[:-1]
    return same and abs(ord(one[-1].upper()) - ord(other[-1].upper())) == 1


def _item(sep: str, text: str) -> tuple[str, str, str]:
    found = re.fullmatch(rf"(?P<part>{w.PORTION})?(?P<id>.+)", text.strip(), w.I)
    part = (found["part"] or "") if found else ""
    name = found["id"] if found else text
    return sep, part.strip(), name


def lots_of(run: Run) -> tuple[str, ...]:
    """Each lot of a run by itself; empty when the run names a single one."""
    if not run.items:
        return ()
    lots: list[str] = []
    for sep, part, name in run.items:
        one = label(name)
        if not part and sep in ("-", "–", "THRU", "THROUGH", "TO") and lots:
            lots.extend(_between(lots[-1], one))
        elif not part and re.fullmatch(r"\d+-\d+", one):
            low, high = one.split("-")
            lots.extend((low, *_between(low, high)))
        else:
            lots.append(_with_part(part, one))
    return tuple(lots[:MOST_LOTS])


def _between(low: str, high: str) -> list[str]:
    if low.isdigit() and high.isdigit() and 0 < int(high) - int(low) < MOST_LOTS:
        return [str(n) for n in range(int(low) + 1, int(high) + 1)]
    same = low[:-1] == high[:-1] and (not low[:-1] or low[:-1].isdigit())
    if same and low[-1:].isalpha() and low[-1:] < high[-1:]:
        letters = range(ord(low[-1]) + 1, ord(high[-1]) + 1)
        return [low[:-1] + chr(letter) for letter in letters]
    return [high]


def _with_part(part: str, name: str) -> str:
    part = re.sub(r"(?i)\b(?:THE|OF|LOTS?|LTS?)\b\.?", " ", part)
    part = " ".join(part.upper().split())
    if not part or part in ("ALL",):
        return name
    return f"{part} OF {name}"


def joined(runs: list[Run]) -> Run | None:
    """One run of all that a text names: LOT 5 BLK 2 LOT 6 BLK 2 is lots 5 & 6."""
    different = list({run.text: run for run in runs}.values())
    if len(different) < 2:
        return different[0] if different else None
    items: list[tuple[str, str, str]] = []
    for run in different:
        items.extend(run.items or [("&", run.part, run.text)])
    text = " & ".join(_with_part(run.part, run.text) for run in different)
    return Run(text, different[-1].end, tuple(items))
