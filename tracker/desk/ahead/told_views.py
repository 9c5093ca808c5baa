"""What is told to the planner: rain, weights, how early to aim."""

from datetime import date, timedelta
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from tracker.desk.access import office
from tracker.desk.ahead.edit_views import attempt, new_draft, to_plan
from tracker.desk.ahead.forms import RainForm, RulesForm
from tracker.desk.ahead.views import rain_days, run_of
from tracker.desk.doing import refusal, who
from tracker.desk.templatetags.desk import w
from tracker.errors import Refused
from tracker.planning.actions.settings import (
    read_forecast,
    say_rain,
    set_rules,
    take_rain_back,
)
from tracker.planning.models import PlanningRules, PlanVersion
from tracker.planning.queries import published


@office
@require_http_methods(["GET", "POST"])
def rain(request: HttpRequest) -> HttpResponse:
    """Rain days, and at once the plan that takes them in."""
    posted = request.method == "POST"
    form = RainForm(request.POST, request.FILES) if posted else RainForm()
    now = timezone.now()
    if posted and form.is_valid():
        try:
            days, source = _said_days(form)
            say_rain(days, who=who(request), now=now, source=source)
        except Refused as error:
            form.add_error(None, refusal(error))
        else:
            messages.success(request, w("Noted: {count} rain days.", count=len(days)))
            if form.cleaned_data["replan"]:
                return to_plan(new_draft(request, w("Rain")))
            return redirect("desk:look-ahead-rain")
    return render(
        request, "desk/ahead/rain.html", {"form": form, "days": rain_days(now)}
    )


def _said_days(form: RainForm) -> tuple[list[date], str]:
    data = form.cleaned_data
    if data["file"]:
        text = data["file"].read().decode("utf-8", errors="replace")
        return read_forecast(text), str(data["file"].name)
    last = data["last"] or data["first"]
    span = (last - data["first"]).days + 1
    return [data["first"] + timedelta(days=n) for n in range(span)], ""


@office
@require_POST
def rain_removal(request: HttpRequest, day: str) -> HttpResponse:
    try:
        when = date.fromisoformat(day)
    except ValueError:
        return HttpResponseBadRequest()
    attempt(request, lambda: take_rain_back(when, who=who(request), now=timezone.now()))
    return redirect("desk:look-ahead-rain")


@office
@require_http_methods(["GET", "POST"])
def rules(request: HttpRequest) -> HttpResponse:
    """Weights and buffer; changed, a draft shows what they do."""
    stored = PlanningRules.get()
    names = RulesForm.base_fields
    initial = {name: getattr(stored, name) for name in names}
    form = RulesForm(request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        done = attempt(
            request,
            lambda: set_rules(who=who(request), **form.cleaned_data),
            w("Saved."),
        )
        if done:
            return to_plan(new_draft(request, w("Other weights")))
    current = published()
    return render(
        request,
        "desk/ahead/rules.html",
        {
            "form": form,
            "levels": levels_of(current),
            "current": current,
            **run_of(current, timezone.now()),
            "version": current,
        },
    )


def levels_of(version: PlanVersion | None) -> list[dict[str, Any]]:
    """What each buffer would cost, where the planner has worked it out."""
    return list(version.levels) if version else []
