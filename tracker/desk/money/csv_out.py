"""Money as CSV, safe to open in a spreadsheet."""

import csv
import io
from collections.abc import Iterable, Iterator

from django.http import HttpResponse

from phases.models import Charge, PiecePay

# A cell that begins so would be run as a formula.
RISKY = ("=", "+", "-", "@", "\t", "\r")

CHARGE_HEADER = (
    "builder",
    "subdivision",
    "lot",
    "plan",
    "phase",
    "sort",
    "text",
    "purchase order",
    "event",
    "earned on",
    "amount",
    "invoice",
    "invoice date",
    "paid on",
    "signed by",
)
PAY_HEADER = ("crew", "subdivision", "lot", "phase", "passed on", "amount", "paid on")


def safe(value: object) -> str:
    text = "" if value is None else str(value)
    is_number = text.lstrip("-").replace(".", "", 1).isdigit()
    return f"'{text}" if text.startswith(RISKY) and not is_number else text


def charge_cells(charges: Iterable[Charge]) -> Iterator[tuple[object, ...]]:
    for charge in charges:
        lot, phase, invoice = charge.lot, charge.lot_phase, charge.invoice
        order = getattr(phase, "purchase_order", None) if phase else None
        yield (
            lot.subdivision.builder,
            lot.subdivision,
            lot.name,
            lot.plan,
            phase.kind if phase else None,
            charge.sort,
            charge.text,
            order,
            charge.event,
            charge.earned_on,
            charge.amount,
            invoice,
            invoice.date if invoice else None,
            invoice.paid_on if invoice else None,
            charge.signer,
        )


def pay_cells(pays: Iterable[PiecePay]) -> Iterator[tuple[object, ...]]:
    for pay in pays:
        phase = pay.lot_phase
        yield (
            pay.crew,
            phase.lot.subdivision,
            phase.lot.name,
            phase.kind,
            phase.passed_on,
            pay.amount,
            pay.paid_on,
        )


def csv_response(
    name: str, header: Iterable[str], rows: Iterable[Iterable[object]]
) -> HttpResponse:
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(header)
    writer.writerows([safe(cell) for cell in row] for row in rows)
    response = HttpResponse(out.getvalue(), content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response
