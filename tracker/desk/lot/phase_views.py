"""Buttons on a phase, a hold, a correction, a call: one press, one action."""

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

from inspections.actions import cancel_call
from inspections.models import InspectionRequest
from phases.actions import corrections, dates, gate, holds, work
from phases.log import Who, writing
from phases.models import Correction, Hold, LotPhase
from tracker.desk.access import everybody, leads, office
from tracker.desk.doing import refusal, who
from tracker.desk.lot.forms import DayInput
from tracker.desk.spanish import in_language
from tracker.desk.templatetags.desk import reader_language
from tracker.errors import Refused
from tracker.people.models import Crew
from tracker.sites.models import Lot


def _phase(request: HttpRequest, pk: int) -> LotPhase:
    phases = LotPhase.objects.visible_to(request.user)
    return get_object_or_404(
        phases.select_related("kind", "crew", "lot__subdivision"), pk=pk
    )


def _of_lot(request: HttpRequest, model: type, pk: Any) -> Any:
    rows = model.objects.filter(lot__in=Lot.objects.visible_to(request.user))
    return get_object_or_404(rows.select_related("lot__subdivision"), pk=pk)


def _do(
    request: HttpRequest, action: Callable[[datetime], object], back: str
) -> HttpResponse:
    """Run the action, say how it went, go back to where the button stood."""
    try:
        action(timezone.now())
    except Refused as error:
        messages.error(request, refusal(error))
    else:
        messages.success(request, in_language("Saved.", reader_language()))
    asked = request.POST.get("next", "")
    if url_has_allowed_host_and_scheme(asked, {request.get_host()}):
        return redirect(asked)
    return redirect(back)


def _at(lot_id: int, anchor: str) -> str:
    return f"{reverse('desk:lot', args=[lot_id])}#{anchor}"


def _wrong(request: HttpRequest, form: forms.Form, back: str) -> HttpResponse:
    for field, errors in form.errors.items():
        label = form[field].label if field in form.fields else ""
        said = in_language(str(label), reader_language())
        messages.error(request, f"{said}: {' '.join(errors)}".lstrip(": "))
    return redirect(back)


@leads
@require_POST
def readiness(request: HttpRequest, pk: int) -> HttpResponse:
    """Say one part ready or not; without `part` all that are still unsaid."""
    phase = _phase(request, pk)
    part = request.POST.get("part", "")
    ready = request.POST.get("ready", "yes") == "yes"
    note = request.POST.get("note", "")[:200]

    def action(now: datetime) -> None:
        parts = [part] if part else phase.work_reason.get("parts", [])
        if not parts:
            raise Refused(phase.work_reason.get("code", "ready"))
        with writing(now=now):
            for one in parts:
                work.say_part(
                    phase, one, ready=ready, who=who(request), now=now, note=note
                )

    return _do(request, action, _at(phase.lot_id, f"phase-{pk}"))


class MoveForm(forms.Form):
    start = forms.DateField(label="Start", widget=DayInput)


@leads
@require_POST
def move(request: HttpRequest, pk: int) -> HttpResponse:
    """The builder will be ready on another day; a planned start goes with it."""
    phase = _phase(request, pk)
    back = _at(phase.lot_id, f"phase-{pk}")
    form = MoveForm(request.POST)
    if not form.is_valid():
        return _wrong(request, form, back)
    start = form.cleaned_data["start"]

    def action(now: datetime) -> None:
        with writing(now=now):
            dates.say_date(
                phase.lot,
                what="ready",
                date=start,
                phase=phase,
                status="revised",
                who=who(request),
                now=now,
            )
            if phase.planned_start and phase.crew and request.user.is_office:
                days = (phase.planned_end or phase.planned_start) - phase.planned_start
                _send(phase, phase.crew, start, days, who(request), now)

    return _do(request, action, back)


def _send(
    phase: LotPhase, crew: Crew, start: Any, days: timedelta, by: Who, now: datetime
) -> None:
    work.plan_phase(
        phase,
        crew=crew,
        start=start,
        end=start + days,
        half=phase.planned_half,
        who=by,
        now=now,
    )


class SendForm(forms.Form):
    crew = forms.ModelChoiceField(Crew.objects.filter(is_active=True), label="Crew")
    start = forms.DateField(label="Start", widget=DayInput)
    days = forms.IntegerField(label="Days", min_value=1, max_value=30, initial=1)


@office
@require_POST
def sending(request: HttpRequest, pk: int) -> HttpResponse:
    """The office sends a crew by hand."""
    phase = _phase(request, pk)
    back = _at(phase.lot_id, f"phase-{pk}")
    form = SendForm(request.POST)
    if not form.is_valid():
        return _wrong(request, form, back)
    data = form.cleaned_data

    def action(now: datetime) -> None:
        days = timedelta(days=data["days"] - 1)
        _send(phase, data["crew"], data["start"], days, who(request), now)

    return _do(request, action, back)


@everybody
@require_POST
def progress(request: HttpRequest, pk: int) -> HttpResponse:
    """Started, done, on test, off test, reopened, taken off the plan."""
    phase = _phase(request, pk)
    reason = request.POST.get("reason", "")[:400]
    act = request.POST.get("act", "")
    by = who(request)
    acts: dict[str, Callable[[datetime], object]] = {
        "started": lambda now: work.start_work(phase, who=by, now=now),
        "work_done": lambda now: work.work_done(phase, who=by, now=now),
        "on_test": lambda now: work.put_on_test(phase, who=by, now=now),
        "off_test": lambda now: work.take_off_test(
            phase, who=by, now=now, reason=reason
        ),
        "reopened": lambda now: work.reopen_work(phase, who=by, now=now, reason=reason),
        "unplanned": lambda now: work.unplan_phase(
            phase, who=by, now=now, reason=reason
        ),
    }

    def unknown(now: datetime) -> None:
        raise Refused("unknown_kind", value=act)

    return _do(request, acts.get(act, unknown), _at(phase.lot_id, f"phase-{pk}"))


@leads
@require_POST
def gate_override(request: HttpRequest, pk: int) -> HttpResponse:
    """The owner's word before a cover, or a lead's before a call; kept for ever."""
    phase = _phase(request, pk)
    return _do(
        request,
        lambda now: gate.override_gate(
            phase,
            gate=request.POST.get("gate", ""),
            reason=request.POST.get("reason", "")[:400],
            who=who(request),
            now=now,
        ),
        _at(phase.lot_id, f"phase-{pk}"),
    )


@leads
@require_POST
def hold_lifting(request: HttpRequest, pk: Any) -> HttpResponse:
    hold = _of_lot(request, Hold, pk)
    return _do(
        request,
        lambda now: holds.lift_hold(hold, who=who(request), now=now),
        _at(hold.lot_id, "holds"),
    )


@everybody
@require_POST
def correction_done(request: HttpRequest, pk: Any) -> HttpResponse:
    row = _of_lot(request, Correction, pk)
    return _do(
        request,
        lambda now: corrections.correction_done(row, who=who(request), now=now),
        _at(row.lot_id, "corrections"),
    )


@leads
@require_POST
def correction_closing(request: HttpRequest, pk: Any) -> HttpResponse:
    row = _of_lot(request, Correction, pk)
    return _do(
        request,
        lambda now: corrections.close_correction(row, who=who(request), now=now),
        _at(row.lot_id, "corrections"),
    )


@leads
@require_POST
def correction_reopening(request: HttpRequest, pk: Any) -> HttpResponse:
    row = _of_lot(request, Correction, pk)
    reason = request.POST.get("reason", "")[:400]
    return _do(
        request,
        lambda now: corrections.reopen_correction(
            row, who=who(request), now=now, reason=reason
        ),
        _at(row.lot_id, "corrections"),
    )


@leads
@require_POST
def call_cancelling(request: HttpRequest, pk: Any) -> HttpResponse:
    row = _of_lot(request, InspectionRequest, pk)
    reason = request.POST.get("reason", "")[:400]
    return _do(
        request,
        lambda now: cancel_call(row, who=who(request), now=now, reason=reason),
        _at(row.lot_id, "inspections"),
    )
