"""The plan check: findings, books side by side, options compared, diagrams."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from phases.material import lines_of, percents, waste_by_item
from phases.sizing.materials import changes
from phases.sizing.outline.diagram import diagram
from phases.sizing.plan.check import compare_outlines
from phases.sizing.plan.show import load_words, worst_verdicts
from tracker.desk.access import office as office_page
from tracker.desk.checks import queries, showing
from tracker.desk.checks.asked import NOT_ASKED, Asked, asked, comparable, other_codes
from tracker.desk.checks.forms import AcceptForm, ReasonForm
from tracker.desk.templatetags.desk import reader_language

SYSTEMS = ("drain", "water", "gas")
POLICY = "default-src 'none'; style-src 'unsafe-inline'"


@office_page
@require_GET
def plan_check(request: HttpRequest, pk: int) -> HttpResponse:
    """Every check of a plan with its options in a book, worst first."""
    ask = asked(request, pk)
    context: dict[str, Any] = {
        "ask": ask,
        "versions": [v for v in ask.file.versions if v.options == ask.key],
        "missing": {
            key: lots for key, lots in ask.file.sets.items() if not ask.file.row(key)
        },
        "accept_form": AcceptForm(initial={"name": request.user.name}),
        "reason_form": ReasonForm(),
        "compare_with": request.GET.get("with", NOT_ASKED),
        "sets": comparable(ask.file),
    }
    if ask.piping.outline is not None:
        context |= _checked(ask)
        context |= _compared(request, ask)
    return render(request, "desk/checks/plan.html", context)


def _checked(ask: Asked) -> dict[str, Any]:
    reports = queries.reports(ask.piping, ask.choice)
    report = next(r for r in reports if r.book == ask.choice.book)
    return {
        "report": report,
        "reports": reports,
        "shown": showing.shown(report),
        "side_by_side": showing.side_by_side(reports),
        "differences": showing.differences(reports),
        "diagrams": showing.diagrams(
            ask.piping, report, title=ask.title, language=reader_language()
        ),
    }


def _compared(request: HttpRequest, ask: Asked) -> dict[str, Any]:
    """Sizes and material that another set of options changes."""
    wastes = percents(waste_by_item())
    codes = other_codes(ask.file, request.GET)
    if codes is None:
        return {}
    book = ask.choice.book
    other = ask.file.piping(codes, book, ask.file.row(",".join(codes)))
    if other.outline is None or ask.piping.outline is None:
        return {"compare_problem": other.problem}
    sides = [
        lines_of(piping.outline, piping.site, book, wastes)
        for piping in (ask.piping, other)
        if piping.outline is not None
    ]
    return {
        "other": other,
        "size_changes": compare_outlines(ask.piping.outline, other.outline),
        "material_changes": changes(*sides),
    }


@office_page
@require_GET
def picture(request: HttpRequest, pk: int, system: str) -> HttpResponse:
    """One system's diagram as an SVG file, to look at in full size or to print."""
    ask = asked(request, pk)
    if ask.piping.outline is None or system not in SYSTEMS:
        return HttpResponse(ask.piping.problem, status=404, content_type="text/plain")
    report = queries.report_of(
        ask.piping.outline, ask.piping.site, ask.piping.extras, ask.choice.book
    )
    svg = diagram(
        ask.piping.outline,
        load_text=load_words(report.book, ask.piping.site),
        verdicts=worst_verdicts(report),
        title=ask.title,
        only=system,
        language=reader_language(),
    )
    response = HttpResponse(svg, content_type="image/svg+xml")
    # A text of the outline stands in the picture; it may never run as a page.
    response["Content-Security-Policy"] = (
        "default-src 'none'; style-src 'unsafe-inline'"
    )
    return response
