"""Money pages, for owner and office only."""

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from phases.actions.money import bill, pay_piece, price_extra, record_payment
from phases.log import Who
from phases.models import Charge, Correction, DrawTerm, Invoice, LotPhase, PieceRate
from phases.models import PiecePay as Pay
from phases.names import names
from tracker.desk.access import office as office_page
from tracker.desk.money import csv_out, prices, queries
from tracker.desk.money.forms import (
    DrawTermForm,
    ExtraForm,
    InvoiceForm,
    PaidForm,
    PieceRateForm,
    PriceForm,
)
from tracker.desk.templatetags.desk import reader_language, w
from tracker.errors import Refused
from tracker.sites.models import Builder


def _try(request: HttpRequest, act: Callable[[], object], done: str) -> bool:
    """Do it, or show the refusal in the reader's language."""
    try:
        act()
    except Refused as error:
        messages.error(request, error.say(reader_language()))
        return False
    messages.success(request, done)
    return True


@office_page
@require_GET
def money(request: HttpRequest) -> HttpResponse:
    """All builders, changes without a price, and crews' pay."""
    return render(
        request,
        "desk/money/all.html",
        {
            "balances": queries.balances(),
            "changes": queries.unpriced_changes()[:50],
            "pays": queries.crew_pay(),
            "price_form": PriceForm(),
            "names": names(reader_language()),
        },
    )


@office_page
@require_http_methods(["GET", "POST"])
def builder_money(request: HttpRequest, pk: int) -> HttpResponse:
    """What a builder may be billed now, and his invoices."""
    builder = get_object_or_404(Builder, pk=pk)
    form = InvoiceForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        chosen = Charge.objects.filter(pk__in=_numbers(request.POST.getlist("charge")))
        data = form.cleaned_data
        if _try(
            request,
            lambda: bill(
                builder,
                list(chosen),
                number=data["number"],
                on=data["on"],
                who=Who(member=request.user),
                now=timezone.now(),
            ),
            w("Invoice {number} is written.", number=data["number"]),
        ):
            return redirect("desk:money-builder", pk=pk)
    return render(
        request,
        "desk/money/builder.html",
        {
            "builder": builder,
            "form": form,
            "paid_form": PaidForm(),
            "balance": next(b for b in queries.balances() if b.builder == builder),
            "charges": queries.unbilled(builder),
            "invoices": queries.invoices(builder),
        },
    )


def _numbers(values: list[str]) -> list[int]:
    return [int(value) for value in values if value.isdigit()]


@office_page
@require_POST
def invoice_paid(request: HttpRequest, pk: int) -> HttpResponse:
    invoice = get_object_or_404(Invoice, pk=pk)
    form = PaidForm(request.POST)
    if form.is_valid():
        _try(
            request,
            lambda: record_payment(
                invoice,
                on=form.cleaned_data["on"],
                who=Who(member=request.user),
                now=timezone.now(),
            ),
            w("Invoice {number} is paid.", number=invoice.number),
        )
    else:
        messages.error(request, w("Give the day it was paid."))
    return redirect("desk:money-builder", pk=invoice.builder_id)


@office_page
@require_http_methods(["GET", "POST"])
def extra(request: HttpRequest) -> HttpResponse:
    """Write down an extra or a backcharge."""
    form = ExtraForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        who = Who(member=request.user)
        if _try(
            request,
            lambda: price_extra(**data, who=who, now=timezone.now()),
            w("Written down."),
        ):
            return redirect("desk:money")
    return render(request, "desk/money/extra.html", {"form": form})


@office_page
@require_POST
def price_change(request: HttpRequest, pk: str) -> HttpResponse:
    """Give a change after the fact its price."""
    correction = get_object_or_404(Correction, pk=pk, billable=True)
    form = PriceForm(request.POST)
    if form.is_valid():
        data = form.cleaned_data
        _try(
            request,
            lambda: price_extra(
                correction.lot,
                sort=Charge.EXTRA,
                text=correction.text,
                phase=correction.lot_phase,
                correction=correction,
                photo=correction.photo,
                who=Who(member=request.user),
                now=timezone.now(),
                **data,
            ),
            w("Written down."),
        )
    else:
        messages.error(request, w("Give amount, date and who signed for it."))
    return redirect("desk:money")


@office_page
@require_POST
def pay(request: HttpRequest, pk: int) -> HttpResponse:
    """Pay the crew of one passed phase."""
    phase = get_object_or_404(LotPhase.objects.select_related("lot"), pk=pk)
    _try(
        request,
        lambda: pay_piece(
            phase,
            on=timezone.localdate(),
            who=Who(member=request.user),
            now=timezone.now(),
        ),
        w("Paid."),
    )
    return redirect("desk:money")


@office_page
@require_http_methods(["GET", "POST"])
def price_list(request: HttpRequest) -> HttpResponse:
    """Draw terms and piece rates; the owner alone sets prices."""
    which = request.POST.get("table")
    draw = DrawTermForm(request.POST if which == "draw" else None, prefix="draw")
    piece = PieceRateForm(request.POST if which == "piece" else None, prefix="piece")
    form = {"draw": draw, "piece": piece}.get(which or "")
    if form is not None and form.is_valid():
        who = Who(member=request.user)
        if _try(
            request,
            lambda: prices.add_price(form.instance, who=who, now=timezone.now()),
            w("The price holds from now on."),
        ):
            return redirect("desk:money-prices")
    terms = DrawTerm.objects.select_related("builder", "kind", "plan", "option")
    return render(
        request,
        "desk/money/prices.html",
        {
            "draw": draw,
            "piece": piece,
            "terms": terms,
            "rates": PieceRate.objects.select_related("kind", "crew", "plan"),
        },
    )


@office_page
@require_POST
def price_gone(request: HttpRequest, table: str, pk: int) -> HttpResponse:
    """Take a price off the list; what it earned already stays."""
    model = {"draw": DrawTerm, "piece": PieceRate}[table]
    row = get_object_or_404(model, pk=pk)
    who = Who(member=request.user)
    _try(request, lambda: prices.drop_price(row, who=who), w("Taken off the list."))
    return redirect("desk:money-prices")


@office_page
@require_GET
def charges_csv(request: HttpRequest) -> HttpResponse:
    rows = csv_out.charge_cells(queries.charge_rows())
    return csv_out.csv_response("charges.csv", csv_out.CHARGE_HEADER, rows)


@office_page
@require_GET
def pay_csv(request: HttpRequest) -> HttpResponse:
    pays = Pay.objects.select_related(
        "crew", "lot_phase__lot__subdivision", "lot_phase__kind"
    ).order_by("paid_on", "pk")
    rows = csv_out.pay_cells(pays)
    return csv_out.csv_response("crew-pay.csv", csv_out.PAY_HEADER, rows)
