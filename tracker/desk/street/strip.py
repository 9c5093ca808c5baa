"""The houses of a street in a row, as list items. Pure: text in, HTML out."""

from collections.abc import Iterable, Mapping
from html import escape

from tracker.desk import glyph


def strip(
    links: Iterable[tuple[str, str, str]],
    houses: Iterable[Mapping[str, str]],
    ids: Mapping[glyph.Key, str],
    *,
    language: str = "en",
    size: int = 30,
) -> str:
    """List items of a street: (address, label, name) with the house beside it.

    The drawings are those of `glyph.symbols`, by its ids.
    """
    said: dict[glyph.Key, str] = {}
    items = []
    for (address, label, name), states in zip(links, houses, strict=True):
        key = glyph.key_of(states)
        if key not in said:
            said[key] = escape(glyph.describe(states, language))
        shown = f": {said[key]}" if said[key] else ""
        items.append(
            f'<li><a href="{escape(address)}" tabindex="-1"><svg class="house" '
            f'viewBox="0 0 24 24" width="{size}" height="{size}" role="img" '
            f'aria-label="{escape(name)}{shown}"><use href="#{ids[key]}"/></svg>'
            f'<span aria-hidden="true">{escape(label)}</span></a></li>'
        )
    return "".join(items)
