"""What is typed on the page of a lot: each form is handed to one action."""

from collections.abc import Callable
from datetime import datetime
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from inspections.actions import Found, call_in, record_result
from phases.actions.corrections import Finding, open_correction
from phases.actions.dates import say_date
from phases.actions.holds import set_hold
from phases.actions.lots import choose_plan, update_lot
from phases.log import Who
from tracker.desk import access
from tracker.desk.doing import act, who
from tracker.desk.lot import forms
from tracker.desk.lot.views import show, visible_lot
from tracker.sites.models import Lot

Save = Callable[[Lot, dict[str, Any], Who, datetime], object]


def _form_view(form_class: type[forms.LotForm], save: Save, anchor: str):
    @require_POST
    def view(request: HttpRequest, pk: int) -> HttpResponse:
        lot = visible_lot(request, pk)
        form = form_class(lot, request.POST)

        def action(now: datetime) -> object:
            return save(lot, form.cleaned_data, who(request), now)

        if act(request, form, action):
            return redirect(f"{reverse('desk:lot', args=[pk])}#{anchor}")
        return show(request, lot, form)

    return view


def _save_date(lot: Lot, data: dict[str, Any], by: Who, now: datetime) -> object:
    return say_date(lot, who=by, now=now, **data)


def _save_hold(lot: Lot, data: dict[str, Any], by: Who, now: datetime) -> object:
    return set_hold(lot, who=by, now=now, **data)


def _save_correction(lot: Lot, data: dict[str, Any], by: Who, now: datetime) -> object:
    return open_correction(lot, Finding(**data), who=by, now=now)


def _save_call(lot: Lot, data: dict[str, Any], by: Who, now: datetime) -> object:
    data = dict(data)
    return call_in(lot, data.pop("kind"), who=by, now=now, **data)


def _save_result(lot: Lot, data: dict[str, Any], by: Who, now: datetime) -> object:
    data = dict(data)
    found = [Found(words=line) for line in data.pop("found")]
    return record_result(lot, data.pop("kind"), who=by, now=now, found=found, **data)


def _save_details(lot: Lot, data: dict[str, Any], by: Who, now: datetime) -> object:
    return update_lot(lot, who=by, now=now, **data)


def _save_plan(lot: Lot, data: dict[str, Any], by: Who, now: datetime) -> object:
    return choose_plan(lot, who=by, now=now, **data)


date = access.leads(_form_view(forms.DateForm, _save_date, "dates"))
hold = access.everybody(_form_view(forms.HoldForm, _save_hold, "holds"))
correction = access.everybody(
    _form_view(forms.CorrectionForm, _save_correction, "corrections")
)
call = access.leads(_form_view(forms.CallForm, _save_call, "inspections"))
result = access.leads(_form_view(forms.ResultForm, _save_result, "inspections"))
details = access.office(_form_view(forms.DetailsForm, _save_details, "house"))
plan = access.office(_form_view(forms.PlanForm, _save_plan, "house"))
