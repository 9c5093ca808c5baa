"""How often work passes the first time, and where walks should look first."""

from datetime import timedelta

from django.contrib import messages
from django.forms import Form
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from inspections.actions import change_fee, decide_hint, pay_fee
from inspections.models import VisitFee, WalkHint
from inspections.rates import rates
from tracker.desk.access import leads, office
from tracker.desk.doing import act, office_today, who
from tracker.desk.inspections.fee_forms import FeeForm, PaidForm
from tracker.desk.templatetags.desk import reader_language

SPANS = {"90": 90, "365": 365}


@leads
@require_GET
def pass_rates(request: HttpRequest) -> HttpResponse:
    days = SPANS.get(request.GET.get("days", ""))
    today = office_today(timezone.now())
    since = today - timedelta(days=days) if days else None
    found = rates(since=since, language=reader_language())
    tables = [
        ("By crew", found.crews),
        ("By phase", found.phases),
        ("By office", found.offices),
        ("By item", found.items),
    ]
    return render(
        request,
        "desk/inspections/rates.html",
        {"rates": found, "tables": tables, "days": request.GET.get("days", "")},
    )


@leads
@require_POST
def hint(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(WalkHint, pk=pk)
    decide_hint(row, take=request.POST.get("take") == "yes", who=who(request))
    return redirect("desk:pass-rates")


@office
@require_GET
def fees(request: HttpRequest) -> HttpResponse:
    """What visits cost, who pays, and what is still due."""
    rows = VisitFee.objects.select_related("lot__subdivision", "jurisdiction")
    return render(
        request,
        "desk/inspections/fees.html",
        {"fees": rows.order_by("paid_on", "-charged_on")[:300]},
    )


@office
@require_POST
def fee(request: HttpRequest, pk: int) -> HttpResponse:
    """Another amount, or somebody else pays; with the reason."""
    row = get_object_or_404(VisitFee, pk=pk)
    form = FeeForm(request.POST)
    act(
        request,
        form,
        lambda now: change_fee(row, who=who(request), now=now, **form.cleaned_data),
    )
    return _back(request, form)


@office
@require_POST
def fee_paid(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(VisitFee, pk=pk)
    form = PaidForm(request.POST)
    act(
        request,
        form,
        lambda now: pay_fee(row, on=form.cleaned_data["on"], who=who(request), now=now),
    )
    return _back(request, form)


def _back(request: HttpRequest, form: Form) -> HttpResponse:
    for errors in form.errors.values():
        messages.error(request, " ".join(errors))
    return redirect("desk:visit-fees")
