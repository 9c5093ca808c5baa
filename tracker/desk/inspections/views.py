"""The call-in list and what is done from it: call, move, cancel, enter a result."""

from collections.abc import Callable
from datetime import datetime
from functools import partial
from uuid import UUID

from django.contrib import messages
from django.forms import Form
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from inspections.actions import (
    Found,
    Told,
    call_in_visit,
    cancel_call,
    move_call,
    record_result,
)
from inspections.call_list import call_list
from inspections.models import InspectionRequest, LastLook
from inspections.notices.writing import LOOK
from phases.models import CheckItem
from phases.names import names
from tracker.desk.access import leads
from tracker.desk.doing import act, lot_today, refusal, who
from tracker.desk.inspections.forms import CallForm, CancelForm, MoveForm, ResultForm
from tracker.desk.templatetags.desk import lot_name, reader_language, w
from tracker.errors import Refused
from tracker.sites.models import InspectionKind, Lot

LABELS = (
    "passed",
    "partly_passed",
    "failed",
    "not_ready",
    "no_access",
    "not_on_test",
    "cancelled",
    "us",
    "builder",
    "office",
    "another trade",
    "drain",
    "sewer",
    "pan",
    "water",
    "gas",
)


def labels() -> dict[str, str]:
    """Words of the choices, in the reader's language."""
    said = {code: w(code.replace("_", " ")) for code in LABELS}
    return said | {"": "", "own": w("the phase's own crew")}


@leads
@require_GET
def inspections(request: HttpRequest) -> HttpResponse:
    """What to call in today, what is asked for, what is not ready."""
    now = timezone.now()
    return render(
        request,
        "desk/inspections/all.html",
        {
            "list": call_list(request.user, now=now),
            "names": names(reader_language()),
            "now": now,
            "looked": LastLook.objects.filter(task=LOOK).first(),
        },
    )


@leads
@require_POST
def calls(request: HttpRequest, pk: int) -> HttpResponse:
    """A call was made for this lot: its kinds, day and what the office said."""
    lot = get_object_or_404(
        Lot.objects.visible_to(request.user).select_related("subdivision"), pk=pk
    )
    form = CallForm(request.POST)
    if not form.is_valid():
        messages.error(request, w("Give the day that the office gave."))
        return redirect("desk:inspections")
    said = form.cleaned_data
    found = InspectionKind.objects.filter(
        jurisdiction=lot.subdivision.jurisdiction_id, code__in=said["kinds"]
    )
    told = Told(said["window"], said["confirmation"], said["note"])
    try:
        call_in_visit(
            lot,
            list(found),
            for_date=said["for_date"],
            who=who(request),
            now=timezone.now(),
            told=told,
        )
    except Refused as error:
        messages.error(request, f"{lot_name(lot)}: {refusal(error)}")
    else:
        messages.success(request, w("Called in: {lot}", lot=lot_name(lot)))
    return redirect("desk:inspections")


def _request(request: HttpRequest, pk: UUID) -> InspectionRequest:
    rows = InspectionRequest.objects.visible_to(request.user)
    return get_object_or_404(
        rows.select_related("lot__subdivision", "kind__jurisdiction"), pk=pk
    )


@leads
@require_POST
def move(request: HttpRequest, pk: UUID) -> HttpResponse:
    row = _request(request, pk)
    form = MoveForm(request.POST)
    return _simple(
        request,
        form,
        lambda now: move_call(
            row,
            for_date=form.cleaned_data["for_date"],
            who=who(request),
            now=now,
            told=Told(
                form.cleaned_data["window"],
                form.cleaned_data["confirmation"],
                form.cleaned_data["note"],
            ),
        ),
    )


@leads
@require_POST
def cancel(request: HttpRequest, pk: UUID) -> HttpResponse:
    row = _request(request, pk)
    form = CancelForm(request.POST)
    return _simple(
        request,
        form,
        lambda now: cancel_call(
            row, who=who(request), now=now, reason=form.cleaned_data["reason"]
        ),
    )


def _simple(
    request: HttpRequest, form: Form, action: Callable[[datetime], object]
) -> HttpResponse:
    """Do it and go back to the list, with what was refused said on top."""
    if not act(request, form, action):
        for errors in form.errors.values():
            messages.error(request, " ".join(errors))
    return redirect("desk:inspections")


@leads
@require_http_methods(["GET", "POST"])
def result(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The result of an asked inspection, with everything the inspector named."""
    row = _request(request, pk)
    items = list(
        CheckItem.objects.filter(
            lot_phase__lot=row.lot,
            lot_phase__kind__code__in=row.kind.proves,
            removed_at=None,
        ).select_related("lot_phase__kind", "lot_phase__crew")
    )
    today = lot_today(row.lot, timezone.now())
    form = ResultForm(
        request.POST or None,
        items=items,
        systems=row.kind.on_test,
        labels=labels(),
        text=reader_language(),
        initial={"on": min(row.for_date, today), "pays": "us"},
    )
    save = partial(_record, request, row, form)
    if request.method == "POST" and act(request, form, save):
        return redirect("desk:inspections")
    return render(request, "desk/inspections/result.html", {"form": form, "call": row})


def _record(
    request: HttpRequest, row: InspectionRequest, form: ResultForm, now: datetime
) -> object:
    said = form.cleaned_data
    return record_result(
        row.lot,
        row.kind,
        result=said["result"],
        on=said["on"],
        who=who(request),
        now=now,
        found=[Found(**thing) for thing in form.found()],
        inspector=said["inspector"],
        words=said["words"],
        fault_of=said["fault_of"],
        passed_parts=form.passed_parts(),
        pays=said["pays"],
    )
