"""Money pages, for owner and office only."""

from collections.abc import Callable
from contextlib import suppress
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from phases.actions.money import (
    bill,
    pay_piece,
    price_extra,
    record_payment,
    set_purchase_order,
    waive_changes,
)
from phases.log import Who
from phases.models import Charge, Correction, Invoice, LotPhase
from phases.models import PiecePay as Pay
from phases.names import names
from tracker.desk.access import office as office_page
from tracker.desk.doing import office_today
from tracker.desk.money import csv_out, queries
from tracker.desk.money.forms import (
    ExtraForm,
    InvoiceForm,
    LotForm,
    PaidForm,
    PriceForm,
)
from tracker.desk.templatetags.desk import reader_language, w
from tracker.errors import Refused
from tracker.sites.models import Builder


def attempt(request: HttpRequest, act: Callable[[], object], done: str) -> bool:
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
            "groups": queries.change_groups()[:50],
            "pays": queries.crew_pay(),
            "today": office_today(timezone.now()),
            "names": names(reader_language()),
        },
    )


@office_page
@require_http_methods(["GET", "POST"])
def builder_money(request: HttpRequest, pk: int) -> HttpResponse:
    """What a builder may be billed now, and his invoices."""
    builder = get_object_or_404(Builder, pk=pk)
    today = office_today(timezone.now())
    form = InvoiceForm(request.POST or None, today=today)
    if request.method == "POST" and form.is_valid():
        chosen = Charge.objects.filter(pk__in=_numbers(request.POST.getlist("charge")))
        data = form.cleaned_data
        if attempt(
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
            "today": today,
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
        attempt(
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
    """Write down an extra or a backcharge: first which lot, then the rest."""
    sent = request.POST if request.method == "POST" else request.GET
    which = LotForm(sent if "lot" in sent else None)
    context: dict[str, object] = {"which": which}
    if which.is_bound and which.is_valid():
        lot = which.cleaned_data["lot"]
        photos = queries.lot_photos(lot)
        form = ExtraForm(
            request.POST or None,
            lot=lot,
            photos=photos,
            today=office_today(timezone.now()),
        )
        if request.method == "POST" and form.is_valid():
            data, who = form.cleaned_data, Who(member=request.user)
            if attempt(
                request,
                lambda: price_extra(lot, **data, who=who, now=timezone.now()),
                w("Written down."),
            ):
                return redirect("desk:money")
        context |= {"form": form, "lot": lot, "photos": photos}
    return render(request, "desk/money/extra.html", context)


@office_page
@require_POST
def price_change(request: HttpRequest, pk: str) -> HttpResponse:
    """One price for a change after the fact and those that go with it, or none."""
    change = get_object_or_404(Correction, pk=pk, billable=True)
    others = Correction.objects.filter(
        pk__in=_ids(request.POST.getlist("also")), lot=change.lot_id
    ).exclude(pk=change.pk)
    if request.POST.get("act") == "waive":
        _waive(request, change, list(others))
        return redirect("desk:money")
    form = PriceForm(request.POST)
    if form.is_valid():
        data = form.cleaned_data
        attempt(
            request,
            lambda: price_extra(
                change.lot,
                sort=Charge.EXTRA,
                text=_text_of(change, len(others)),
                phase=change.lot_phase,
                correction=change,
                also=list(others),
                photo=change.photo,
                who=Who(member=request.user),
                now=timezone.now(),
                **data,
            ),
            w("Written down."),
        )
    else:
        messages.error(request, w("Give amount, date and who signed for it."))
    return redirect("desk:money")


def _waive(request: HttpRequest, change: Correction, others: list[Correction]) -> None:
    attempt(
        request,
        lambda: waive_changes(
            change.lot,
            [change, *others],
            reason=request.POST.get("reason", ""),
            who=Who(member=request.user),
            now=timezone.now(),
        ),
        w("It will not be billed."),
    )


def _text_of(change: Correction, more: int) -> str:
    return f"{change.text} (+{more})" if more else change.text


def _ids(values: list[str]) -> list[UUID]:
    found = []
    for value in values:
        with suppress(ValueError):
            found.append(UUID(value))
    return found


@office_page
@require_POST
def order(request: HttpRequest, pk: int) -> HttpResponse:
    """The builder's purchase-order number of a phase, as it stands on his paper."""
    phases = LotPhase.objects.select_related("lot__subdivision")
    phase = get_object_or_404(phases, pk=pk)
    attempt(
        request,
        lambda: set_purchase_order(
            phase,
            number=request.POST.get("number", "").strip(),
            who=Who(member=request.user),
            now=timezone.now(),
        ),
        w("Written down."),
    )
    return redirect("desk:money-builder", pk=phase.lot.subdivision.builder_id)


@office_page
@require_POST
def pay(request: HttpRequest, pk: int) -> HttpResponse:
    """Pay the crew of one passed phase."""
    phase = get_object_or_404(LotPhase.objects.select_related("lot"), pk=pk)
    attempt(
        request,
        lambda: pay_piece(
            phase,
            on=office_today(timezone.now()),
            who=Who(member=request.user),
            now=timezone.now(),
        ),
        w("Paid."),
    )
    return redirect("desk:money")


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
