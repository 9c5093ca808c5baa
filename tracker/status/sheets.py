"""A street or a house on one sheet of paper (US Letter), as PDF."""

import logging
from collections.abc import Mapping
from typing import Any

from django.core.cache import cache
from django.template.loader import render_to_string

from phases.models import Photo
from tracker.status.actions.links import hashed

# From roomy to dense; the first that fits on one sheet is taken.
DENSITIES = ("roomy", "close", "dense", "tiles", "small")
# More houses than this are not tried at that density: a layout takes a second.
MOST_HOUSES = (8, 16, 30)
KEPT_SECONDS = 3600
# It tells every step of every sheet.
logging.getLogger("weasyprint.progress").setLevel(logging.WARNING)


def street_sheet(context: Mapping[str, Any], *, houses: int) -> bytes:
    """A street on one sheet. `context` fills status/street_sheet.html."""
    start = sum(houses > most for most in MOST_HOUSES)
    return _one_page("status/street_sheet.html", context, DENSITIES[start:], {})


def lot_sheet(context: Mapping[str, Any], *, photos: Mapping[str, Photo]) -> bytes:
    """One house on one sheet, with the photos of its latest proofs by their hash."""
    return _one_page("status/lot_sheet.html", context, DENSITIES[:3], photos)


def _one_page(
    template: str,
    context: Mapping[str, Any],
    densities: tuple[str, ...],
    photos: Mapping[str, Photo],
) -> bytes:
    pages = [
        render_to_string(template, {**context, "density": density})
        for density in densities
    ]
    # The same words and photos (named by content) make the same sheet.
    key = f"sheet:{hashed(''.join(pages))}"
    kept = cache.get(key)
    if kept is None:
        kept = _laid_out(pages, photos)
        cache.set(key, kept, KEPT_SECONDS)
    return kept


def _laid_out(pages: list[str], photos: Mapping[str, Photo]) -> bytes:
    from weasyprint import HTML  # it takes a second to load, and most pages need none

    from tracker.status.own_files import OwnFiles

    fetcher = OwnFiles(photos)
    for html in pages:
        document = HTML(string=html, base_url="own:/", url_fetcher=fetcher).render()
        if len(document.pages) == 1:
            break
    return document.write_pdf()
