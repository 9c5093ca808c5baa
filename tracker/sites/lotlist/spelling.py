"""Spellings of one plat's name: proposed to a person, never joined by itself."""

import re
from collections.abc import Iterable, Mapping
from functools import lru_cache

from rapidfuzz import fuzz

ALIKE = 88.0
MOST_NAMES = 800
SHORT = {
    "PH": "PHASE",
    "PHS": "PHASE",
    "ADD": "ADDITION",
    "ADDN": "ADDITION",
    "ADDT": "ADDITION",
    "SUBD": "SUBDIVISION",
    "SUB": "SUBDIVISION",
    "EST": "ESTATES",
    "ESTS": "ESTATES",
    "ESTATE": "ESTATES",
    "HGTS": "HEIGHTS",
    "HTS": "HEIGHTS",
    "RVR": "RIVER",
    "SUPP": "SUPPLEMENT",
    "FLG": "FILING",
    "FIL": "FILING",
    "SEC": "SECTION",
    "CTR": "CENTER",
    "MTN": "MOUNTAIN",
    "N": "NORTH",
    "S": "SOUTH",
    "E": "EAST",
    "W": "WEST",
    "ST": "STREET",
    "PL": "PLACE",
    "NO": "",
    "THE": "",
    "AND": "",
    "OF": "",
}
ROMAN = {"II": "2", "III": "3", "IV": "4", "V": "5", "VI": "6", "VII": "7"}
ROMAN |= {"VIII": "8", "IX": "9", "X": "10", "XI": "11", "XII": "12", "I": "1"}
# Words that say what sort of plat it is; they are often left out.
SORTS = frozenset(["ADDITION", "SUBDIVISION", "SUPPLEMENT", "ESTATES", "PLAT"])


@lru_cache(maxsize=4096)
def words_of(name: str) -> tuple[str, ...]:
    """The name in full words: `OAK EST'S PH II` is OAK ESTATES PHASE 2."""
    text = re.sub(r"['’.]", "", name.upper())
    text = re.sub(r"(?<=[A-Z])(?=\d)|(?<=\d)(?=PH|SEC)", " ", text)
    tokens = re.findall(r"[A-Z]+|\d+[A-Z]*", text)
    full: list[str] = []
    for token in tokens:
        ordinal = re.fullmatch(r"0*(\d+)(?:ST|ND|RD|TH)?", token)
        if ordinal:
            token = ordinal.group(1)
        elif token in ROMAN and full and full[-1] in ("PHASE", "FILING", "SECTION"):
            token = ROMAN[token]
        token = SHORT.get(token, token)
        if token:
            full.append(token)
    return tuple(full)


@lru_cache(maxsize=4096)
def spelling_key(name: str) -> str:
    """Equal for spellings that differ in spaces, signs and short forms alone."""
    return "".join(words_of(name))


@lru_cache(maxsize=4096)
def _bare(name: str) -> tuple[str, tuple[str, ...]]:
    """Letters of the name itself, and the numbers that must agree."""
    words = [word for word in words_of(name) if word not in SORTS and word != "PHASE"]
    numbers = tuple(sorted(word for word in words if word[0].isdigit()))
    return "".join(word for word in words if not word[0].isdigit()), numbers


REASONS = (
    "the same words in another spelling",
    "the same name without words such as addition, supplement or phase",
    "almost the same letters",
    "the same name; one of them has a phase or number that the other leaves out",
)


def why_alike(one: str, other: str) -> str | None:
    """Reason to ask a person whether two spellings are one plat; None for no reason.

    Numbers must not contradict: PHASE 12 is never proposed for PHASE 13.
    """
    rank = _rank(one, other)
    return None if rank is None else REASONS[rank]


def _rank(one: str, other: str) -> int | None:
    """How good the reason is: 0 the best, None for no reason."""
    if spelling_key(one) == spelling_key(other):
        return 0
    name, numbers = _bare(one)
    name_2, numbers_2 = _bare(other)
    if not name or not name_2:
        return None
    if numbers != numbers_2:
        within = set(numbers) < set(numbers_2) or set(numbers_2) < set(numbers)
        return 3 if name == name_2 and within else None
    if name == name_2:
        return 1
    if min(len(name), len(name_2)) >= 5 and fuzz.ratio(name, name_2) >= ALIKE:
        return 2
    return None


def propose(
    names: Iterable[str], known: Iterable[str] = ()
) -> tuple[Mapping[str, str], ...]:
    """Pairs to put before a person: `spelling`, `like` and `why`, the best for each.

    Args:
        names: spellings of the list, in order of appearance.
        known: names that a subdivision already has; they are offered first.
    """
    settled = list(dict.fromkeys(known))[:MOST_NAMES]
    exact = {name.casefold() for name in settled}
    found: list[Mapping[str, str]] = []
    for name in list(dict.fromkeys(names))[:MOST_NAMES]:
        if name.casefold() in exact:
            continue
        ranks = ((_rank(name, other), place) for place, other in enumerate(settled))
        best = min(((r, place) for r, place in ranks if r is not None), default=None)
        if best is not None:
            rank, place = best
            pair = {"spelling": name, "like": settled[place], "why": REASONS[rank]}
            found.append(pair)
        settled.append(name)
        exact.add(name.casefold())
    return tuple(found)
