"""The stop notice: one page for the superintendent, with what is missing."""

from datetime import datetime

from inspections.gate import gate_answer
from inspections.papers.pdf import pdf_of, qr_of
from phases.loaded import local_date
from phases.models import CheckItem, LotPhase
from phases.names import names
from tracker.sites.models import Company

MOST_ITEMS = 8  # the rest is counted, so that it stays one page
LONGEST = 90  # characters of an item


def stop_notice(phase: LotPhase, *, now: datetime, address: str, by: str) -> bytes:
    """PDF in English and Spanish; `address` is the lot's page, for the QR code."""
    lot = phase.lot
    both = {
        code: gate_answer(phase, language=code, names=names(code)) for code in TEXTS
    }
    items = both["en"].items
    return pdf_of(
        "inspections/stop_notice.html",
        {
            "company": Company.get(),
            "lot": lot,
            "phase": phase,
            "today": local_date(now, lot),
            "by": by,
            "qr": qr_of(address),
            "address": address,
            "languages": [
                {
                    "code": code,
                    "texts": TEXTS[code],
                    "answer": answer,
                    "what": getattr(phase.kind, f"name_{code}"),
                    "cover": getattr(phase.kind, f"conceals_{code}"),
                    "items": [_item(item, code) for item in items[:MOST_ITEMS]],
                    "more": max(0, len(items) - MOST_ITEMS),
                }
                for code, answer in both.items()
            ],
        },
    )


def _item(item: CheckItem, code: str) -> str:
    spec = item.spec
    said = f"{spec.get(f'room_{code}', '')}: {spec.get(f'text_{code}', item.key)}"
    return said if len(said) <= LONGEST else said[: LONGEST - 1] + "…"


TEXTS = {
    "en": {
        "stop": "Stop: do not cover",
        "open": "May be covered",
        "phase": "Phase",
        "cover": "What would cover it",
        "date": "Cover date told to us",
        "items": "Not proven yet",
        "more": "and {n} more",
        "scan": "Scan for what is open now",
        "note": (
            "What is covered before its inspection has passed may have to be opened "
            "again. This notice is a courtesy; the inspector and the code decide."
        ),
        "override": "The owner's word",
    },
    "es": {
        "stop": "Alto: no cubrir",
        "open": "Se puede cubrir",
        "phase": "Fase",
        "cover": "Lo que la cubriría",
        "date": "Fecha de cierre que nos dieron",
        "items": "Sin comprobar",
        "more": "y {n} más",
        "scan": "Escanee para ver lo que falta",
        "note": (
            "Lo que se cubra antes de aprobar su inspección puede tener que abrirse. "
            "Este aviso es de cortesía; deciden el inspector y el código."
        ),
        "override": "Orden del dueño",
    },
}
