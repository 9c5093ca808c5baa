"""What is told to the planner: rain, weights, how early to aim."""

from datetime import date, datetime, time, timedelta
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from tracker.desk.access import office
from tracker.desk.ahead.edit_views import attempt, new_draft, to_plan
from tracker.desk.ahead.forms import OffForm, RainForm, RulesForm
from tracker.desk.ahead.views import rain_days, run_of
from tracker.desk.doing import office_today, refusal, who
from tracker.desk.templatetags.desk import w
from tracker.errors import Refused
from tracker.people.models import CrewDayOff
from tracker.planning.actions.settings import (
    read_forecast,
    say_off,
    say_rain,
    set_rules,
    take_off_back,
    take_rain_back,
)
from tracker.planning.adapter.calendar import Calendar
from tracker.planning.models import PlanningRules, PlanVersion
from tracker.planning.queries import published

AHEAD = 10  # working days that can be ticked as rain


@office
@require_http_methods(["GET", "POST"])
def rain(request: HttpRequest) -> HttpResponse:
    """Rain days, and at once the plan that takes them in."""
    now = timezone.now()
    days = _coming_days(now)
    posted = request.method == "POST"
    sent = (request.POST, request.FILES) if posted else ()
    form = RainForm(*sent, days=days)
    if posted and form.is_valid():
        try:
            said, source = _said_days(form)
            say_rain(said, who=who(request), now=now, source=source)
        except Refused as error:
            form.add_error(None, refusal(error))
        else:
            messages.success(request, w("Noted: {count} rain days.", count=len(said)))
            if form.cleaned_data["replan"]:
                return to_plan(new_draft(request, w("Rain")))
            return redirect("desk:look-ahead-rain")
    return _weather(request, form, OffForm())


def _coming_days(now: datetime) -> tuple[date, ...]:
    return Calendar.at(datetime.combine(office_today(now), time())).days[:AHEAD]


def _weather(request: HttpRequest, form: RainForm, off: OffForm) -> HttpResponse:
    now = timezone.now()
    coming = CrewDayOff.objects.filter(date__gte=office_today(now))
    return render(
        request,
        "desk/ahead/rain.html",
        {
            "form": form,
            "off": off,
            "days": rain_days(now),
            "days_off": coming.select_related("crew").order_by("date", "crew__name"),
        },
    )


def _said_days(form: RainForm) -> tuple[list[date], str]:
    data = form.cleaned_data
    if data["file"]:
        text = data["file"].read().decode("utf-8", errors="replace")
        return read_forecast(text), str(data["file"].name)
    return [*data["day"], *_span(data["first"], data["last"])], ""


def _span(first: date | None, last: date | None) -> list[date]:
    """Every day from first to last; first alone without a last."""
    if first is None:
        return []
    return [
        first + timedelta(days=n) for n in range(((last or first) - first).days + 1)
    ]


@office
@require_POST
def days_off(request: HttpRequest) -> HttpResponse:
    """A crew does not work for some days."""
    form = OffForm(request.POST)
    if not form.is_valid():
        return _weather(request, RainForm(days=_coming_days(timezone.now())), form)
    data = form.cleaned_data
    attempt(
        request,
        lambda: say_off(
            data["crew"],
            _span(data["off_first"], data["off_last"]),
            who=who(request),
            reason=data["reason"],
        ),
        w("Noted. Plan again to see what it changes."),
    )
    return redirect("desk:look-ahead-rain")


@office
@require_POST
def day_off_removal(request: HttpRequest, pk: int) -> HttpResponse:
    off = get_object_or_404(CrewDayOff, pk=pk)
    attempt(request, lambda: take_off_back(off, who=who(request)))
    return redirect("desk:look-ahead-rain")


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
    current, now = published(), timezone.now()
    levels, run = levels_of(current), run_of(current, now)
    tried = run["run"] and (run["run"].is_open or run["run"].what == "levels")
    return render(
        request,
        "desk/ahead/rules.html",
        {
            "form": form,
            "levels": levels,
            "begin": current is not None and not levels and not tried,
            "current": current,
            **run,
            "version": current,
        },
    )


def levels_of(version: PlanVersion | None) -> list[dict[str, Any]]:
    """What each buffer would cost, where the planner has worked it out."""
    return list(version.levels) if version else []
