"""Pages after final, for owner and office."""

from datetime import datetime, timedelta
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from phases.actions.after_final import (
    WARRANTY_DAYS,
    add_walk_item,
    open_call_back,
    why_not_call_back,
)
from phases.actions.dates import say_date
from phases.actions.lots import update_lot
from phases.log import writing
from tracker.desk import doing
from tracker.desk.access import office
from tracker.desk.after import queries
from tracker.desk.after.forms import ClosingForm, FoundForm
from tracker.sites.models import BuilderDate, Lot


@office
@require_GET
def after(request: HttpRequest) -> HttpResponse:
    """Every finished house, and call-backs counted."""
    today = doing.office_today(timezone.now())
    context = {
        "lots": queries.finished_lots(),
        "tallies": queries.tallies(),
        "today": today,
    }
    return render(request, "desk/after/all.html", context)


@office
@require_http_methods(["GET", "POST"])
def one(request: HttpRequest, pk: int) -> HttpResponse:
    """One finished house: closing and warranty, walk list, call-backs."""
    lots = Lot.objects.visible_to(request.user).select_related("subdivision", "plan")
    lot = get_object_or_404(lots, pk=pk)
    today = doing.lot_today(lot, timezone.now())
    which = request.POST.get("act", "")
    closing = ClosingForm(
        request.POST if which == "closing" else None,
        initial={
            "closed_on": lot.closed_on or today,
            "warranty_until": lot.warranty_until
            or (lot.closed_on or today) + timedelta(days=WARRANTY_DAYS),
        },
    )
    found = FoundForm(
        request.POST if which in ("walk", "call_back") else None, lot=lot, today=today
    )
    if which and _do(request, which, lot, closing, found):
        return redirect("desk:after-lot", pk=pk)
    rows = lot.corrections.filter(source__in=("builder_walk", "call_back"))
    refused = why_not_call_back(lot, today=today)
    context = {
        "lot": lot,
        "closing": closing,
        "found": found,
        "rows": rows.select_related("lot_phase__kind", "crew"),
        "refused": doing.refusal(refused) if refused else "",
    }
    return render(request, "desk/after/one.html", context)


def _do(
    request: HttpRequest, which: str, lot: Lot, closing: ClosingForm, found: FoundForm
) -> bool:
    form: forms.Form = closing if which == "closing" else found

    def action(now: datetime) -> None:
        data: dict[str, Any] = dict(form.cleaned_data)
        who = doing.who(request)
        if which == "closing":
            _close(lot, who=who, now=now, **data)
        elif which == "walk":
            data.pop("item")
            add_walk_item(lot, who=who, now=now, **data)
        else:
            today = doing.lot_today(lot, now)
            open_call_back(lot, who=who, now=now, today=today, **data)

    return doing.act(request, form, action)


def _close(lot: Lot, *, closed_on, warranty_until, who, now: datetime) -> None:
    with writing(now=now):
        if lot.closed_on != closed_on:
            say_date(
                lot,
                what="closing",
                status=BuilderDate.ACTUAL,
                date=closed_on,
                who=who,
                now=now,
            )
        update_lot(lot, who=who, now=now, warranty_until=warranty_until)
