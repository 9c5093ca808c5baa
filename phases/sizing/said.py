"""Sentences as code and figures, said in English or Spanish.

A `Said` is the English sentence as text; it remembers its code and figures, so that a
page can say it in another language. The words stand in `words/`, both languages side
by side.
"""

from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from typing import Any

from . import words

LANGUAGES = ("en", "es")


class Said(str):
    """An English sentence that can be said in Spanish."""

    __slots__ = ("code", "figures")
    code: str
    figures: dict[str, Any]

    def in_language(self, language: str) -> str:
        """The sentence in a language; English for one that is not known."""
        if not language.startswith("es"):
            return str(self)
        figures = {name: said(value, language) for name, value in self.figures.items()}
        return sentences()[self.code][1].format(**figures)


def say(code: str, **figures: Any) -> Said:
    """The sentence of a code with its figures. Raises KeyError for an unknown code."""
    shown = figures
    if any(type(value) is tuple for value in figures.values()):
        shown = {name: said(value, "en") for name, value in figures.items()}
    found = Said(sentences()[code][0].format_map(shown))
    found.code, found.figures = code, figures
    return found


def said(value: Any, language: str) -> Any:
    """A value in a language: sentences are said again, several with a stroke."""
    if isinstance(value, tuple):
        return " / ".join(said(part, language) for part in value)
    return value.in_language(language) if isinstance(value, Said) else value


@cache
def sentences() -> dict[str, tuple[str, str]]:
    """Every sentence by its code: English, Spanish."""
    found: dict[str, tuple[str, str]] = {}
    for module in iter_modules(words.__path__):
        found |= import_module(f"{words.__name__}.{module.name}").WORDS
    return found
