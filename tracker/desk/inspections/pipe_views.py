"""Tests on the pipe of a lot: put up, read, disturbed, taken down; frost forecast."""

from uuid import UUID

from django.contrib import messages
from django.forms import Form
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from inspections.actions import (
    note_test,
    put_up_test,
    read_test,
    say_forecast,
    take_down_test,
)
from inspections.models import Forecast, PipeTest
from inspections.pipe_tests.judge import AID, STORED_ENERGY
from inspections.pipe_tests.records import MEDIA, METALS, PLASTICS, SYSTEMS
from tracker.desk.access import everybody
from tracker.desk.doing import act, lot_today, who
from tracker.desk.inspections.pipe_forms import (
    LEAKS,
    DownForm,
    ForecastForm,
    PutUpForm,
    ReadingForm,
)
from tracker.desk.templatetags.desk import w
from tracker.sites.models import Lot

NAMES = {
    "dwv": "drains and vents",
    "pvc": "PVC",
    "abs": "ABS",
    "cpvc": "CPVC",
    "pex": "PEX",
    "csst": "CSST",
}


def labels() -> dict[str, str]:
    """Words of systems, media and materials in the reader's language."""
    codes = (*SYSTEMS, *MEDIA, *PLASTICS, *METALS, *(text for _, text in LEAKS))
    return {code: w(NAMES.get(code, code.replace("_", " "))) for code in codes}


@everybody
@require_http_methods(["GET", "POST"])
def tests(request: HttpRequest, pk: int) -> HttpResponse:
    """The tests of a lot and the form for another one."""
    lot = get_object_or_404(
        Lot.objects.visible_to(request.user).select_related("subdivision"), pk=pk
    )
    form = PutUpForm(request.POST or None, lot=lot, labels=labels())

    def save(now):  # type: ignore[no-untyped-def]
        said = form.cleaned_data
        return put_up_test(
            said["phase"],
            system=said["system"],
            medium=said["medium"],
            material=said["material"],
            who=who(request),
            now=now,
            readings=form.readings(),
        )

    if request.method == "POST" and act(request, form, save):
        return redirect("desk:lot-tests", pk=lot.pk)
    rows = PipeTest.objects.filter(lot_phase__lot=lot).select_related("lot_phase__kind")
    frost = Forecast.objects.filter(
        subdivision=lot.subdivision_id, on__gte=lot_today(lot, timezone.now())
    )
    return render(
        request,
        "desk/inspections/tests.html",
        {
            "lot": lot,
            "form": form,
            "tests": rows.order_by("-put_up_at"),
            "reading": ReadingForm(labels=labels(), auto_id=False),
            "forecasts": frost,
            "labels": labels(),
            "cautions": [AID, STORED_ENERGY],
        },
    )


def _test(request: HttpRequest, pk: UUID) -> PipeTest:
    mine = Lot.objects.visible_to(request.user).values("pk")
    rows = PipeTest.objects.filter(lot_phase__lot__in=mine)
    return get_object_or_404(rows.select_related("lot_phase"), pk=pk)


def _back(request: HttpRequest, form: Form, lot: int) -> HttpResponse:
    for errors in form.errors.values():
        messages.error(request, " ".join(errors))
    return redirect("desk:lot-tests", pk=lot)


@everybody
@require_POST
def readings(request: HttpRequest, pk: UUID) -> HttpResponse:
    test = _test(request, pk)
    form = ReadingForm(request.POST, labels=labels())
    act(
        request,
        form,
        lambda now: read_test(
            test, readings=form.readings(), who=who(request), now=now
        ),
    )
    return _back(request, form, test.lot_phase.lot_id)


@everybody
@require_POST
def event(request: HttpRequest, pk: UUID) -> HttpResponse:
    """It lost pressure or was disturbed."""
    test = _test(request, pk)
    form = Form(request.POST)
    said = request.POST.get("event", "")
    act(
        request,
        form,
        lambda now: note_test(test, event=said, who=who(request), now=now),
    )
    return _back(request, form, test.lot_phase.lot_id)


@everybody
@require_POST
def taking_down(request: HttpRequest, pk: UUID) -> HttpResponse:
    test = _test(request, pk)
    form = DownForm(request.POST)
    act(
        request,
        form,
        lambda now: take_down_test(
            test,
            who=who(request),
            now=now,
            caps_left=form.cleaned_data["caps_left"],
        ),
    )
    return _back(request, form, test.lot_phase.lot_id)


@everybody
@require_POST
def forecast(request: HttpRequest, pk: int) -> HttpResponse:
    """The coldest hour forecast for the lot's subdivision."""
    lot = get_object_or_404(
        Lot.objects.visible_to(request.user).select_related("subdivision"), pk=pk
    )
    form = ForecastForm(request.POST)
    act(
        request,
        form,
        lambda now: say_forecast(
            lot.subdivision, who=who(request), now=now, **form.cleaned_data
        ),
    )
    return _back(request, form, lot.pk)
