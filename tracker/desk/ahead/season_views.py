"""Season and load."""

from collections import defaultdict
from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.defaultfilters import date as date_text
from django.utils import timezone
from django.views.decorators.http import require_GET

from phases.models import LotPhase, PhaseKind
from tracker.desk.access import office
from tracker.desk.ahead.draw import name_of
from tracker.desk.ahead.load import Week, weeks_of
from tracker.desk.ahead.pacing import pace
from tracker.desk.ahead.queries import Board, board_of, kinds_by_slot, shown_version
from tracker.desk.ahead.reasons import day_text
from tracker.desk.ahead.season import Axis, Dates, LotLine, picture, squeeze
from tracker.desk.ahead.sheet import pass_day, sheet_of
from tracker.desk.doing import office_today
from tracker.desk.templatetags.desk import lot_name, w
from tracker.planning.core.problem import Problem
from tracker.planning.core.problem_json import read_problem
from tracker.planning.models import PlanVersion
from tracker.sites.models import Subdivision

TOO_MUCH = "Week of {when}: by need-by dates {days} crew-days too many of {phase}."
IDLE = "Week of {when}: idle crew-days in the plan: {crews}."
SPARE = (
    "Week of {when}, after the plan: crew-days that need-by dates ask no work of: "
    "{crews}."
)
ZOOMS = {"8": 8, "16": 16, "32": 32, "60": 60}


@office
@require_GET
def season(request: HttpRequest) -> HttpResponse:
    """One street as lines that climb: planned, promised and actual."""
    places = list(Subdivision.objects.select_related("builder"))
    asked = request.GET.get("street", "")
    first = places[0] if places else None
    place = next((one for one in places if str(one.pk) == asked), first)
    zoom = ZOOMS.get(request.GET.get("weeks", ""), 32)
    today = office_today(timezone.now())
    context: dict[str, Any] = {
        "places": places,
        "place": place,
        "weeks": zoom,
        "zooms": list(ZOOMS.values()),
        "today": today,
    }
    if place is not None:
        version = shown_version(request.GET.get("plan", ""))
        if version is not None and not version.plan:
            version = None
        moved = _weeks(request.GET.get("move", ""))
        context |= _street(place, version, today + timedelta(weeks=moved), zoom)
        step = max(1, zoom // 4)
        context |= {"move": moved, "back": moved - step, "on": moved + step}
        context["version"] = version
    return render(request, "desk/ahead/season.html", context)


def _weeks(text: str) -> int:
    """By how many weeks the picture is moved; 0 for what is no number."""
    number = text.removeprefix("-")
    if not number.isdecimal() or len(number) > 3:
        return 0
    return int(text)


def _street(
    place: Subdivision, version: PlanVersion | None, middle: date, zoom: int
) -> dict[str, Any]:
    """The picture around a day, three eighths of it behind."""
    kinds = kinds_by_slot()
    slot_of = {kind.code: slot for slot, kind in kinds.items()}
    lots: dict[int, LotLine] = {}
    rows = (
        LotPhase.objects.filter(lot__subdivision=place, lot__retired_at=None)
        .select_related("lot", "kind")
        .order_by("lot__position", "lot", "position")
    )
    by_phase: dict[int, Dates] = {}
    for row in rows:
        row.lot.subdivision = place
        line = lots.setdefault(row.lot_id, LotLine(lot_name(row.lot), row.lot_id))
        slot = slot_of.get(row.kind.code)
        if slot is None:
            continue
        dates = Dates(actual=_done_on(row), need_by=row.need_by)
        line.phases[slot] = by_phase[row.pk] = dates
    waits = _add_plan(board_of(version), by_phase) if version else {}
    found = list(lots.values())
    squeezed = squeeze(found, waits)
    back = timedelta(weeks=zoom * 3 // 8)
    axis = Axis(middle - back, middle - back + timedelta(weeks=zoom))
    names = {slot: name_of(kind, slot) for slot, kind in kinds.items()}
    return {
        "table": [
            {"lot": lot, "cells": [lot.phases.get(slot) for slot in names]}
            for lot in found
        ],
        "phases": list(names.items()),
        "picture": picture(found, axis, names, office_today(timezone.now()), day_text),
        "squeezed": squeezed,
    }


def _done_on(row: LotPhase) -> date | None:
    """The day it passed; where its inspection comes with a later phase, was done."""
    done = row.work in ("done", "proven")
    return row.passed_on or (row.work_on if done else None)


def _add_plan(board: Board, by_phase: dict[int, Dates]) -> dict[str, int]:
    """Planned and promised days of a version, and the builder's days it counts on."""
    calendar = board.sheet.calendar
    for job in board.version.plan["jobs"]:
        dates = by_phase.get(board.keys.phases.get((job["lot"], job["phase"]), 0))
        if dates is None:
            continue
        dates.planned = calendar.date_of(pass_day(job))
        if job["start_quarter"] is not None:
            dates.starts = calendar.date_of(job["start_quarter"] // 4)
            dates.actual = None
    for lot, phase, *days in board.version.odds:
        dates = by_phase.get(board.keys.phases.get((lot, phase), 0))
        if dates is not None:
            dates.promised = calendar.date_of(days[5])
    waits: dict[str, int] = {}
    for one in board.version.problem["lots"]:
        for phase in one["phases"]:
            if phase["status"] != "passed":
                waits[phase["phase"]] = phase["builder_days_after_pass"]
    return waits


@office
@require_GET
def load(request: HttpRequest) -> HttpResponse:
    """Crew-days needed and there by phase and week, and the crews for a pace."""
    version = shown_version(request.GET.get("plan", ""))
    context: dict[str, Any] = {"version": version}
    if version is not None and version.plan:
        problem = read_problem(version.problem)
        weeks = _weeks_of(version, problem)
        kinds = kinds_by_slot()
        phases = list(weeks[0].phases) if weeks else []
        lines = defaultdict(list)
        for week in weeks:
            for phase in phases:
                lines[phase].append(week.phases[phase])
        top = max(
            (max(c.needed, c.there) for cells in lines.values() for c in cells),
            default=1.0,
        )
        context |= {
            "pace": pace(version, problem, kinds, request.GET),
            "weeks": weeks,
            "said_weeks": _said(weeks, kinds),
            "lines": [
                (name_of(kinds.get(phase), phase), _bars(lines[phase], top))
                for phase in phases
            ],
        }
    return render(request, "desk/ahead/load.html", context)


def _weeks_of(version: PlanVersion, problem: Problem) -> list[Week]:
    """Twelve weeks; who is idle comes from the plan as far as it has work."""
    sheet = sheet_of(version.problem, version.plan, walls={}, told={})
    return weeks_of(problem, 12, sheet=sheet)


def _said(weeks: list[Week], kinds: Mapping[str, PhaseKind]) -> list[str]:
    """The weeks in which crews are missing or idle, in words."""
    said = []
    for week in weeks:
        when = str(date_text(week.first, "j M"))
        for phase, cell in week.phases.items():
            if cell.is_short:
                name = name_of(kinds.get(phase), phase)
                said.append(w(TOO_MUCH, when=when, days=round(cell.short), phase=name))
        if week.is_idle:
            crews = ", ".join(f"{c} ({d:.1f})" for c, d in week.idle.items())
            text = IDLE if week.planned else SPARE
            said.append(w(text, when=when, crews=crews))
    return said


def _bars(cells: list[Any], top: float) -> list[dict[str, Any]]:
    """Each cell with the heights of its bars in a hundred."""
    return [
        {
            "cell": cell,
            "needed": round(100 * cell.needed / top),
            "done": round(100 * cell.done / top),
            "there": round(100 * cell.there / top),
        }
        for cell in cells
    ]
