"""Calculation sheet and pick list on paper (US Letter), as PDF."""

from collections.abc import Mapping
from hashlib import sha256
from typing import Any

from django.core.cache import cache
from django.http import HttpResponse
from django.template.loader import render_to_string

from tracker.desk.templatetags.desk import reader_language

KEPT_SECONDS = 3600


def calculation(context: Mapping[str, Any]) -> bytes:
    return _paper("desk/sheets/calculation.html", context)


def pick_list(context: Mapping[str, Any]) -> bytes:
    return _paper("desk/sheets/pick_list.html", context)


def _paper(template: str, context: Mapping[str, Any]) -> bytes:
    html = render_to_string(template, {**context, "language": reader_language()})
    # The same words and pictures make the same sheet.
    key = f"calc:{sha256(html.encode()).hexdigest()}"
    kept = cache.get(key)
    if kept is None:
        # It takes a second to load, and most pages need none.
        from weasyprint import HTML
        from weasyprint.urls import URLFetcher

        # Pictures stand in the page itself; nothing is fetched.
        fetcher = URLFetcher(allowed_protocols=("data",), allow_redirects=False)
        kept = HTML(string=html, url_fetcher=fetcher).write_pdf()
        cache.set(key, kept, KEPT_SECONDS)
    return kept


def as_pdf(body: bytes, *, name: str) -> HttpResponse:
    response = HttpResponse(body, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    return response
