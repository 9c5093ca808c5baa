"""Material of a plan, of a lot phase, of the weeks ahead; waste; pick lists."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from phases.actions.material import enter_use, set_waste
from phases.material import lines_of, percents, waste_by_item
from phases.models import LotPhase
from phases.sizing.materials import FITTING_WASTE, PIPE_WASTE, Line, changes
from tracker.desk.access import office as office_page
from tracker.desk.checks import sheets, tables
from tracker.desk.checks.asked import (
    NOT_ASKED,
    asked,
    comparable,
    other_codes,
)
from tracker.desk.checks.material_queries import (
    Listed,
    lots_file,
    plan_list,
    used_on,
    weeks_ahead,
)
from tracker.desk.doing import office_today, refusal, who
from tracker.desk.templatetags.desk import w
from tracker.errors import Refused
from tracker.sites.models import Company, Lot


@office_page
@require_GET
def plan_material(request: HttpRequest, pk: int) -> HttpResponse:
    """The list of a plan with options: each line with its rule, inputs and waste."""
    ask = asked(request, pk)
    wastes = waste_by_item()
    context: dict[str, Any] = {
        "ask": ask,
        "listed": plan_list(ask, wastes),
        "wastes": wastes,
        "compare_with": request.GET.get("with", NOT_ASKED),
        "sets": comparable(ask.file),
        "usual": {"ft": PIPE_WASTE, "pc": FITTING_WASTE},
    }
    codes = other_codes(ask.file, request.GET)
    if codes is not None and ask.piping.outline is not None:
        book = ask.choice.book
        other = ask.file.piping(codes, book, ask.file.row(",".join(codes)))
        if other.outline is not None:
            known = percents(wastes)
            sides = (
                lines_of(ask.piping.outline, ask.piping.site, book, known),
                lines_of(other.outline, other.site, book, known),
            )
            context |= {"other": other, "material_changes": changes(*sides)}
    return render(request, "desk/checks/material.html", context)


@office_page
@require_GET
def plan_material_file(request: HttpRequest, pk: int, kind: str) -> HttpResponse:
    ask = asked(request, pk)
    listed = plan_list(ask, waste_by_item())
    if listed.problem:
        raise Http404(listed.problem)
    name = "-".join(["material", ask.plan.code, *ask.codes])
    return tables.file_of(tables.list_rows(listed.lines), name=_safe(name), kind=kind)


def _safe(name: str) -> str:
    return "".join(c if c.isalnum() or c in "-_" else "-" for c in name)


@office_page
@require_POST
def waste(request: HttpRequest) -> HttpResponse:
    """Waste of one item by hand; blank goes back to what lots taught."""
    item = request.POST.get("item", "").strip()[:120]
    try:
        if item:
            set_waste(item, request.POST.get("percent", ""), who=who(request))
            messages.success(request, w("Saved."))
    except Refused as error:
        messages.error(request, refusal(error))
    back = request.POST.get("next", "")
    # Only back to a page of ours.
    return redirect(back if back.startswith("/plans/") else "desk:materials")


# a lot


def _lot(pk: int) -> Lot:
    return get_object_or_404(
        Lot.objects.select_related("subdivision__jurisdiction", "plan"), pk=pk
    )


@office_page
@require_http_methods(["GET", "POST"])
def lot_material(request: HttpRequest, pk: int) -> HttpResponse:
    """A lot's list by phase, with what was really used; a slip is kept whole."""
    lot = _lot(pk)
    listed = lots_file([lot]).list_of(lot)
    typed: dict[str, str] = {}
    if request.method == "POST":
        typed = {
            name: text
            for name, text in request.POST.items()
            if name.startswith("used|")
        }
        if _entered(request, lot, listed, typed):
            return redirect("desk:lot-materials", pk=pk)
    used = used_on(lot)
    phases = [
        (
            code,
            [
                (line, field_of(line), used.get(line.key), typed.get(field_of(line)))
                for line in lines
            ],
        )
        for code, lines in listed.phases
    ]
    return render(
        request,
        "desk/checks/lot_material.html",
        {"lot": lot, "listed": listed, "phases": phases},
        status=422 if typed else 200,
    )


def field_of(line: Line) -> str:
    """Name of a line's field: the line itself, since a list may change meanwhile."""
    return "|".join(["used", *line.key])


def _entered(
    request: HttpRequest, lot: Lot, listed: Listed, typed: dict[str, str]
) -> bool:
    code = request.POST.get("phase", "")
    phase = get_object_or_404(
        LotPhase.objects.select_related("kind", "lot"), lot=lot, kind__code=code
    )
    used = {line: typed.get(field_of(line), "") for line in listed.phase(code)}
    try:
        made = enter_use(phase, used, who=who(request), now=timezone.now())
    except Refused as error:
        messages.error(request, refusal(error))
        return False
    messages.success(request, w("{n} lines written down.", n=len(made)))
    return True


@office_page
@require_GET
def lot_material_file(request: HttpRequest, pk: int, kind: str) -> HttpResponse:
    lot = _lot(pk)
    listed = lots_file([lot]).list_of(lot)
    if listed.problem:
        raise Http404(listed.problem)
    rows = tables.list_rows(listed.lines)
    return tables.file_of(rows, name=f"material-lot-{pk}", kind=kind)


@office_page
@require_GET
def pick_list(request: HttpRequest, pk: int, phase: str) -> HttpResponse:
    """One phase of a lot on paper: to pick in the shop and check off."""
    lot = _lot(pk)
    listed = lots_file([lot]).list_of(lot)
    lot_phase = get_object_or_404(
        LotPhase.objects.select_related("kind", "crew"), lot=lot, kind__code=phase
    )
    if listed.problem:
        raise Http404(listed.problem)
    body = sheets.pick_list(
        {
            "lot": lot,
            "phase": lot_phase,
            "listed": listed,
            "lines": listed.phase(phase),
            "company": Company.get(),
            "today": office_today(timezone.now()),
        }
    )
    return sheets.as_pdf(body, name=f"pick-lot-{pk}-{phase}")


# weeks ahead


@office_page
@require_GET
def weeks(request: HttpRequest) -> HttpResponse:
    """Material by week from the look-ahead or the builder's dates."""
    ahead = weeks_ahead(today=office_today(timezone.now()))
    return render(request, "desk/checks/weeks.html", {"ahead": ahead})


@office_page
@require_GET
def weeks_file(request: HttpRequest, kind: str) -> HttpResponse:
    ahead = weeks_ahead(today=office_today(timezone.now()))
    return tables.file_of(
        tables.week_rows(ahead.weeks), name="material-weeks", kind=kind
    )
