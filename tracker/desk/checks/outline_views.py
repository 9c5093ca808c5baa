"""Writing an outline: keep the guess, edit with a live check, accept, withdraw."""

from dataclasses import asdict
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from phases.actions.outlines import (
    accept_outline,
    keep_guess,
    save_outline,
    withdraw_outline,
)
from phases.log import writing
from phases.models import PlanOutline
from phases.plan_check import Piping, outline_from, site_of
from phases.sizing.outline import Problem
from phases.sizing.plan.check import compare_outlines
from phases.sizing.plan.extras_text import parse_extras, show_extras
from tracker.desk.access import office as office_page
from tracker.desk.checks import queries, showing
from tracker.desk.checks.asked import Asked, asked
from tracker.desk.checks.forms import TABLE, AcceptForm, OutlineForm, ReasonForm
from tracker.desk.doing import act, refusal, who
from tracker.desk.templatetags.desk import reader_language
from tracker.errors import Refused


def _page_of(ask: Asked) -> str:
    return f"{reverse('desk:plan-check', args=[ask.plan.pk])}?{ask.query()}"


@office_page
@require_http_methods(["GET", "POST"])
def outline(request: HttpRequest, pk: int) -> HttpResponse:
    """The outline as text with its figures; keeping it makes the next version."""
    ask = asked(request, pk)
    turning = "switch" in request.POST
    if turning:
        form = OutlineForm(request.POST).turned()
    elif request.method == "POST":
        form = OutlineForm(request.POST)
        if act(request, form, lambda now: _save(request, ask, form, now)):
            return redirect(_page_of(ask))
    else:
        form = OutlineForm(initial=_initial(ask))
    live = _tried(ask, form) if form.is_bound else _stored(ask)
    context = {"ask": ask, "form": form, **live}
    wrong = bool(form.errors) and not turning
    return render(
        request, "desk/checks/outline.html", context, status=422 if wrong else 200
    )


def _initial(ask: Asked) -> dict[str, Any]:
    text = ask.row.text if ask.row else ask.piping.text
    extras = ask.row.extras if ask.row else show_extras(ask.piping.extras)
    return {
        **asdict(ask.piping.site),
        "side": TABLE,
        "text": text,
        "extras": extras,
        "base_version": ask.row.version if ask.row else None,
    }


def _save(request: HttpRequest, ask: Asked, form: OutlineForm, now: Any) -> None:
    save_outline(
        ask.plan,
        ask.codes,
        text=form.cleaned_data["text"],
        extras=form.cleaned_data["extras"],
        site=form.site(),
        book=ask.choice.book,
        who=who(request),
        now=now,
        base_version=form.cleaned_data["base_version"],
    )


@office_page
@require_POST
def trying(request: HttpRequest, pk: int) -> HttpResponse:
    """Check what stands in the form now, without keeping anything."""
    ask = asked(request, pk)
    form = OutlineForm(request.POST)
    return render(
        request,
        "desk/checks/_tried.html",
        {"ask": ask, "form": form, **_tried(ask, form)},
    )


def _tried(ask: Asked, form: OutlineForm) -> dict[str, Any]:
    if not form.is_valid():
        return {"problems": form.problems}
    house = ask.file.house(ask.codes)
    text = form.cleaned_data["text"]
    piping = Piping(
        ask.key,
        site_of(house.storeys, house.foundation, form.site()),
        parse_extras(form.cleaned_data["extras"]),
        text,
        outline_from(text, False, ""),
    )
    return _live(ask, piping)


def _stored(ask: Asked) -> dict[str, Any]:
    if ask.piping.outline is None:
        return {"problems": [("text", Problem("", "", ask.piping.problem))]}
    return _live(ask, ask.piping)


def _live(ask: Asked, piping: Piping) -> dict[str, Any]:
    assert piping.outline is not None
    report = queries.report_of(
        piping.outline, piping.site, piping.extras, ask.choice.book
    )
    before = ask.piping.outline
    return {
        "report": report,
        "live": [row for row in showing.shown(report).rows if not row.finding.ok],
        "size_changes": compare_outlines(before, piping.outline) if before else (),
        "diagrams": showing.diagrams(
            piping, report, title=ask.title, language=reader_language()
        ),
    }


@office_page
@require_POST
def guess(request: HttpRequest, pk: int) -> HttpResponse:
    """Guess again from rooms and fixtures; the guess is the next version."""
    ask = asked(request, pk)
    try:
        keep_guess(
            ask.plan,
            ask.codes,
            book=ask.choice.book,
            who=who(request),
            now=timezone.now(),
            figures=ask.row.site if ask.row else None,
        )
    except Refused as error:
        messages.error(request, refusal(error))
    return redirect(_page_of(ask))


@office_page
@require_POST
def acceptance(request: HttpRequest, pk: int) -> HttpResponse:
    """A named person accepts the newest version; an unkept guess is kept first."""
    ask = asked(request, pk)
    form = AcceptForm(request.POST)

    def accept(now: Any) -> None:
        by, name = who(request), form.cleaned_data["name"]
        with writing(now=now):
            row = ask.row or keep_guess(
                ask.plan, ask.codes, book=ask.choice.book, who=by, now=now
            )
            accept_outline(row, name=name, who=by, now=now)

    if not act(request, form, accept, said="The outline is accepted."):
        messages.error(request, " ".join(_errors(form)))
    return redirect(_page_of(ask))


@office_page
@require_POST
def withdrawal(request: HttpRequest, pk: int) -> HttpResponse:
    """Take the acceptance of a version back, with the reason."""
    row = get_object_or_404(PlanOutline.objects.select_related("plan"), pk=pk)
    form = ReasonForm(request.POST)

    def withdraw(now: Any) -> None:
        withdraw_outline(
            row, reason=form.cleaned_data["reason"], who=who(request), now=now
        )

    if not act(request, form, withdraw, said="The acceptance is withdrawn."):
        messages.error(request, " ".join(_errors(form)))
    address = reverse("desk:plan-check", args=[row.plan_id])
    options = "&".join(f"option={code}" for code in row.options.split(",") if code)
    return redirect(f"{address}?{options}" if options else address)


def _errors(form: Any) -> list[str]:
    return [error for errors in form.errors.values() for error in errors]
