"""What headers call our fields; the phrases themselves stand in `headers.txt`."""

import re
import unicodedata
from pathlib import Path

PHRASE_FILE = Path(__file__).with_name("headers.txt")
_NOT_WORD = re.compile(r"[^a-z0-9]+")


def normal(header: str) -> str:
    """Header text as the phrases are written: `Lot #` is `lot number`."""
    plain = unicodedata.normalize("NFKD", header)
    text = "".join(char for char in plain if not unicodedata.combining(char))
    text = re.sub(r"([a-z])([A-Z])", r"\1 \2", text)
    text = re.sub(r"([A-Za-z])(\d)", r"\1 \2", text)
    text = text.lower().replace("#", " number ").replace("&", " and ")
    text = text.replace("no.", "no").replace("'", "").replace("/", " ")
    return " ".join(_NOT_WORD.sub(" ", text).split())


def _load() -> tuple[dict[str, tuple[str, ...]], frozenset[str]]:
    lines = PHRASE_FILE.read_text(encoding="utf-8").splitlines()
    text = "\n".join(line for line in lines if not line.startswith("#"))
    phrases: dict[str, tuple[str, ...]] = {}
    # A line that begins with a space goes on with the one before.
    for entry in text.replace("\n ", " ").splitlines():
        name, _, rest = entry.partition(" ")
        found = (normal(part) for part in rest.split("|"))
        if name:
            phrases[name.rstrip(":")] = tuple(phrase for phrase in found if phrase)
    others = frozenset(phrases.pop("-"))
    return phrases, others


# OTHERS: a header about somebody else's address or number is never ours.
PHRASES, OTHERS = _load()
EXACT: dict[str, str] = {}
for _field, _phrases in PHRASES.items():
    for _phrase in _phrases:
        EXACT.setdefault(_phrase, _field)

# LOTNO, PERMITNUMBER: the same phrases typed without spaces.
SQUEEZED: dict[str, str] = {}
for _phrase, _field in EXACT.items():
    if len(_phrase.replace(" ", "")) >= 4:
        SQUEEZED.setdefault(_phrase.replace(" ", ""), _field)

# Fields that say where the house is; a list of one column must be one of these.
_PLACE = "lot block lot_block block_lot unit address description house_number street"
PLACE = frozenset(_PLACE.split())
# Columns worth the most when a row is judged to be the header.
STRONG = PLACE | {"subdivision", "permit", "parcel", "plan"}
