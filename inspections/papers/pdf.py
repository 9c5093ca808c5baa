"""From a template to a PDF. Papers load nothing from outside."""

from typing import Any

import segno
from django.template.loader import render_to_string


def document_of(template: str, context: dict[str, Any]) -> Any:
    """The filled template, laid out. WeasyPrint is loaded here: it takes a second."""
    from weasyprint import HTML
    from weasyprint.urls import URLFetcher

    only_inside = URLFetcher(allowed_protocols=("data",))
    html = render_to_string(template, context)
    return HTML(string=html, url_fetcher=only_inside).render()


def pdf_of(template: str, context: dict[str, Any]) -> bytes:
    """The filled template as PDF."""
    made: bytes = document_of(template, context).write_pdf()
    return made


def qr_of(address: str) -> str:
    """A QR code of an address, as a data address for an <img>."""
    return segno.make(address, error="m").svg_data_uri(scale=4, border=2)
