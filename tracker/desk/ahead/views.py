"""The look-ahead and why it is as it is."""

from dataclasses import asdict
from datetime import datetime, timedelta
from functools import partial
from typing import Any
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from phases.names import names
from tracker.desk.access import leads, office
from tracker.desk.ahead import differences as diff
from tracker.desk.ahead import promises
from tracker.desk.ahead.beside import beside
from tracker.desk.ahead.draw import Pen, name_of, symbols
from tracker.desk.ahead.edit_views import attempt
from tracker.desk.ahead.forms import SpanForm
from tracker.desk.ahead.news import News, notice_lines
from tracker.desk.ahead.pins import standing_of
from tracker.desk.ahead.queries import Board, board_of, shown_version
from tracker.desk.ahead.questions import questions
from tracker.desk.ahead.reasons import (
    breaches_of,
    found_of,
    notes_of,
    plain_sayer,
    premise_of,
    reasons_of,
    remedies_of,
    sayer_of,
    trouble_of,
)
from tracker.desk.ahead.sheet import Span
from tracker.desk.doing import office_today
from tracker.desk.templatetags.desk import reader_language
from tracker.errors import Refused
from tracker.planning.actions.weighing import reasons_of as reasons_of_plan
from tracker.planning.models import CrewNotice, PlanVersion, RainDay
from tracker.planning.past import Past, calibrated
from tracker.planning.queries import (
    carried_of,
    drafts,
    latest_run,
    latest_weighing,
    notices_of,
    published,
)

OLD_NEWS = timedelta(hours=1)  # what died so long ago is told to nobody


@leads
@require_GET
def look_ahead(request: HttpRequest) -> HttpResponse:
    """Crews down, half-days across; a draft beside what crews know now."""
    asked = SpanForm(request.GET).chosen()
    version = shown_version(asked["plan"])
    if asked["plan"] and version is None:
        raise Http404
    current = published()
    if version and not request.user.is_office:
        version = shown_version(str(current.pk)) if current else None
    now = timezone.now()
    context: dict[str, Any] = {
        "version": version,
        "asked": asked,
        "form": SpanForm(initial=asked),
        "drafts": list(drafts()) if request.user.is_office else [],
        "published": current,
        **run_of(version, now),
        "notices": notice_lines(notices_of(request.user)[:60]),
        "today": office_today(now),
        **_pins(request, version, now),
        "names": names(reader_language()),
    }
    language = reader_language()
    if version is not None:
        context["premise"] = premise_of(version, language)
    if version is not None and version.plan:
        context["trouble"] = trouble_of(version, plain_sayer(version, language))
        context |= _drawn(version, asked, editable=_editable(request, version))
        if version.status != PlanVersion.DRAFT and request.user.is_office:
            told = CrewNotice.objects.filter(version=version).select_related("crew")
            context["told_by"] = notice_lines(told.order_by("crew__name"))
        overtaken = current is not None and current.pk != version.base_id
        if version.status == PlanVersion.DRAFT and overtaken:
            context["overtaken"] = current
    return render(request, "desk/ahead/look_ahead.html", context)


def _pins(
    request: HttpRequest, version: PlanVersion | None, now: datetime
) -> dict[str, Any]:
    if not request.user.is_office:
        return {}
    found = standing_of(version, today=office_today(now))
    return {"pins": found, "pins_otherwise": sum(one.day is not None for one in found)}


def run_of(
    version: PlanVersion | None, now: datetime, *, weighing: bool = False
) -> dict[str, Any]:
    """The latest run of a version; `silent`: its worker has died.

    `weighing`: that of its promises where these are not there and nothing else goes on.
    """
    run = latest_run(version) if version else None
    if version and weighing and not version.odds and not (run and run.is_open):
        run = latest_weighing(version) or run
    if run and run.is_silent(now) and now - run.asked_at > OLD_NEWS:
        run = None
    return {
        "run": run,
        "silent": bool(run and run.is_silent(now)),
        "found": found_of(run, reader_language()) if run else [],
    }


def _editable(request: HttpRequest, version: PlanVersion) -> bool:
    return bool(request.user.is_office and version.status == PlanVersion.DRAFT)


def _drawn(
    version: PlanVersion, asked: dict[str, Any], *, editable: bool
) -> dict[str, Any]:
    board = board_of(version)
    span = Span(asked["start"], asked["days"])
    days = days_of(board, span)
    pen = Pen(board.sheet, span, board.kinds, by=asked["by"])
    rows = board.sheet.rows(asked["by"], span, crew=asked["crew"])
    shown = [
        {"row": row, "drawn": pen.row(row), "lot": board.keys.lots.get(row.label)}
        for row in rows
    ]
    return {
        "shown": shown,
        "pinned_since": any(strip.pin for strip in board.sheet.strips),
        "days": days,
        "span": span,
        "steps": _steps(span),
        "monday": next(n for n, day in enumerate(days) if day["monday"]),
        "here": f"?plan={version.pk}&by={asked['by']}&days={span.days}"
        f"&{urlencode({'crew': asked['crew']})}",
        "symbols": symbols(board.kinds),
        "editable": editable,
        "beside": beside(board.sheet, span.days),
        "crews": [crew["id"] for crew in board.sheet.crews],
        "late": sum(strip.late > 0 for strip in board.sheet.strips),
        **_compared(board, editable),
    }


def _steps(span: Span) -> dict[str, int | None]:
    """Where a week earlier and later begin."""
    earlier = max(0, span.first - 5) if span.first else None
    return {"earlier": earlier, "later": span.first + 5}


def days_of(board: Board, span: Span) -> list[dict[str, Any]]:
    return [
        {
            "date": board.sheet.calendar.date_of(number),
            "number": number,
            "rain": number in board.sheet.rain,
            "monday": board.sheet.calendar.date_of(number).weekday() == 0,
        }
        for number in range(span.first, span.last)
    ]


def _compared(board: Board, editable: bool) -> dict[str, Any]:
    """What publishing would change, where the version is a draft."""
    version = board.version
    if version.status != PlanVersion.DRAFT or not editable:
        return {}
    told = board.told
    names = {slot: name_of(kind, slot) for slot, kind in board.kinds.items()}
    news = News()
    found = diff.differences(board.sheet, version.until, told, names)
    return {
        "differences": len(found),
        "by_crew": news.by_crew(diff.by_crew(found)),
        "by_lot": news.by_lot(diff.by_lot(found)),
        **_carried(board),
    }


def _carried(board: Board) -> dict[str, Any]:
    """The published plan under what the draft knows, and what of it cannot be now."""
    version = board.version
    try:
        found = carried_of(version, board.keys.begun)
    except Refused:
        found = None
    before = asdict(found.score) if found else None
    broken = found.breaches if found else ()
    return {
        "parts": diff.parts(before, version.plan["score"]),
        "carried": found,
        "broken": breaches_of(version, broken, reader_language()) if broken else [],
    }


@office
@require_GET
def why(request: HttpRequest, pk: int) -> HttpResponse:
    """Each late job in a sentence, what would help, and the odds of every promise."""
    version = get_object_or_404(PlanVersion.objects.select_related("base"), pk=pk)
    if not version.plan:
        raise Http404
    if not version.why:
        attempt(request, partial(_find_reasons, version))
    board = board_of(version)
    language = reader_language()
    sayer = sayer_of(board, language)
    reasons = reasons_of(board, sayer)
    return render(
        request,
        "desk/ahead/why.html",
        {
            "version": version,
            "reasons": [one for one in reasons if one.late],
            "moved": [one for one in reasons if not one.late],
            "premise": premise_of(version, language),
            "notes": notes_of(board, sayer),
            "remedies": remedies_of(version, sayer),
            "questions": questions(version, language),
            "promises": promises.promises_of(board),
            **run_of(version, timezone.now(), weighing=True),
            "on_time": diff.on_time(version.odds),
            "names": names(language),
        },
    )


def _find_reasons(version: PlanVersion) -> None:
    """For a draft that was stored without them."""
    version.why = reasons_of_plan(version)


@office
@require_GET
def calibration(request: HttpRequest) -> HttpResponse:
    """How the odds would have done on the contractor's own past."""
    now = timezone.now()
    found = calibrated(now=now, today=office_today(now))
    return render(
        request, "desk/ahead/calibration.html", {"found": found, "plot": plot(found)}
    )


def plot(found: Past) -> list[dict[str, Any]]:
    """Points of the calibration plot, on a field of 300 by 290."""
    return [
        {
            "share": round(100 * one.share),
            "covered": round(100 * one.covered),
            "x": round(40 + 300 * one.share, 1),
            "y": round(300 - 290 * one.covered, 1),
            "ideal": round(300 - 290 * one.share, 1),
            "off": one.off,
        }
        for one in found.points
    ]


def rain_days(now: Any) -> list[RainDay]:
    today = office_today(now)
    return list(RainDay.objects.filter(taken_back_at=None, day__gte=today))
