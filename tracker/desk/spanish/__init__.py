"""The office pages in Spanish: each module holds `WORDS`, English text to Spanish.

A page writes its texts in English (`{% w "Look-ahead" %}`) and adds the Spanish one to
the module of its area; a test fails on any text that has none.
"""

from functools import lru_cache
from importlib import import_module
from pkgutil import iter_modules

# Codes that are texts of their own in a list of choices.
ENGLISH = {
    "at.wall": "at a wall",
    "at.island": "in an island",
    "at.corner": "in a corner",
    "at.deck": "on a deck",
    "at.floor": "on the floor",
    "at.outside": "outside",
    "at.left": "left",
    "at.right": "right",
    "at.back": "back",
    "at.front": "front",
    "tiled.none": "none",
    "tiled.wet": "around tub and shower",
    "tiled.all": "all",
    "date.ready": "ready date",
    "date.cover": "cover date",
    "date.need_by": "need by",
    "date.start": "start",
    "date.closing": "closing",
}


@lru_cache(maxsize=1)
def words() -> dict[str, str]:
    """Every text of every area."""
    found: dict[str, str] = {}
    for module in iter_modules(__path__):
        found.update(import_module(f"{__name__}.{module.name}").WORDS)
    return found


def in_language(text: str, language: str, **params: object) -> str:
    """The text in the reader's language, with its fields filled in."""
    if language.startswith("es"):
        text = words().get(text, text)
    else:
        text = ENGLISH.get(text, text)
    return text.format(**params) if params else text
