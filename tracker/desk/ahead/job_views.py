"""One job of a plan: why it is as it is, who helps on it, and breaking it off."""

from datetime import date
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.html import format_html
from django.views.decorators.http import require_GET, require_POST

from phases.actions.work import break_off
from phases.models import LotPhase
from tracker.desk.access import leads, office
from tracker.desk.ahead.edit_views import attempt
from tracker.desk.ahead.forms import BreakOffForm, HelperForm
from tracker.desk.ahead.queries import Board, board_of, shown_version
from tracker.desk.ahead.reasons import sayer_of
from tracker.desk.ahead.sheet import DAY, Strip
from tracker.desk.doing import refusal, who
from tracker.desk.templatetags.desk import reader_language, w
from tracker.errors import Refused
from tracker.people.models import Crew
from tracker.planning.actions.lending import lend
from tracker.planning.core.explain import explain
from tracker.planning.core.problem_json import read_problem
from tracker.planning.models import PlanVersion
from tracker.planning.queries import plan_of


@leads
@require_GET
def job(request: HttpRequest, pk: int) -> HttpResponse:
    """What the board's panel says of one strip."""
    version = shown_version(str(pk))
    if version is None or not version.plan:
        raise Http404
    if not request.user.is_office and version.status != PlanVersion.PUBLISHED:
        raise Http404
    board = board_of(version)
    name = (request.GET.get("lot", ""), request.GET.get("phase", ""))
    strip = next((one for one in board.sheet.strips if one.name == name), None)
    if strip is None or name not in board.rows:
        raise Http404
    try:
        told = _told(request, board, strip)
    except Refused as error:
        return HttpResponse(format_html("<p class='notice'>{}</p>", refusal(error)))
    return render(request, "desk/ahead/_job.html", told)


def _told(request: HttpRequest, board: Board, strip: Strip) -> dict[str, Any]:
    calendar, version = board.sheet.calendar, board.version
    problem, plan = read_problem(version.problem), plan_of(version)
    (why,) = explain(problem, plan, [strip.name], past=board.keys.past)
    sayer = sayer_of(board, reader_language())
    odds = {(lot, phase): rest for lot, phase, *rest in version.odds}
    chance = odds.get(strip.name)
    row = board.rows[strip.name]
    draft = version.status == PlanVersion.DRAFT and request.user.is_office
    return {
        "version": version,
        "strip": strip,
        "row": row,
        "phase": sayer.phase(strip.phase),
        "start": calendar.date_of(strip.start // DAY) if strip.crew else None,
        "end": calendar.date_of((strip.end - 1) // DAY) if strip.crew else None,
        "visit": None if strip.visit is None else calendar.date_of(strip.visit),
        "why": sayer.why(why.facts()),
        "promise": calendar.date_of(chance[5]) if chance else None,
        "percent": round(100 * chance[6]) if chance else None,
        "draft": draft,
        "crews": [crew["id"] for crew in board.sheet.crews if draft],
        "helper": HelperForm(crew=row["crew"]) if request.user.is_office else None,
        "break_off": BreakOffForm() if row["work"] == "working" else None,
    }


def _back(request: HttpRequest, phase: LotPhase) -> HttpResponse:
    if request.POST.get("next") == "ahead":
        return redirect("desk:look-ahead")
    return redirect(f"{reverse('desk:lot', args=[phase.lot_id])}#phase-{phase.pk}")


def _phase(request: HttpRequest, pk: int) -> LotPhase:
    phases = LotPhase.objects.visible_to(request.user)
    return get_object_or_404(phases.select_related("lot__subdivision", "kind"), pk=pk)


@office
@require_POST
def helper(request: HttpRequest, pk: int) -> HttpResponse:
    """Another crew comes to help on a day; the planner sends it nowhere else then."""
    phase, form = _phase(request, pk), HelperForm(request.POST)
    if not form.is_valid():
        return HttpResponseBadRequest()
    crew: Crew = form.cleaned_data["crew"]
    on: date = form.cleaned_data["on"]
    attempt(
        request,
        lambda: lend(phase, crew=crew, on=on, who=who(request), now=timezone.now()),
        w("Noted, and the crew is told. Plan again to see what it changes."),
    )
    return _back(request, phase)


@leads
@require_POST
def broken_off(request: HttpRequest, pk: int) -> HttpResponse:
    """Work stops half-done; what is left goes back to the planner."""
    phase, form = _phase(request, pk), BreakOffForm(request.POST)
    if not form.is_valid():
        return HttpResponseBadRequest()
    attempt(
        request,
        lambda: break_off(
            phase,
            quarters_left=form.cleaned_data["quarters_left"],
            reason=form.cleaned_data["reason"],
            who=who(request),
            now=timezone.now(),
        ),
        w("Noted. Plan again to see what it changes."),
    )
    return _back(request, phase)
