"""Drafts on the page: begun, planned, moved about, pinned, published, left."""

import json
from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from tracker.desk.access import leads, office, owner
from tracker.desk.ahead.forms import MoveForm, RunForm
from tracker.desk.ahead.questions import questions
from tracker.desk.ahead.reasons import breaches_of, found_of
from tracker.desk.doing import office_today, refusal, who
from tracker.desk.templatetags.desk import reader_language, w
from tracker.errors import Refused
from tracker.planning.actions.drafts import (
    drop_draft,
    half_day,
    keep_move,
    start_draft,
    try_move,
)
from tracker.planning.actions.publishing import acknowledge, publish
from tracker.planning.actions.running import ask_run, cancel_run
from tracker.planning.models import PlanVersion, SolveRun
from tracker.planning.queries import standing_pins, to_acknowledge


def attempt(request: HttpRequest, action: Callable[[], object], said: str = "") -> bool:
    """Do it, or say on the page why not."""
    try:
        action()
    except Refused as error:
        messages.error(request, refusal(error))
        return False
    if said:
        messages.success(request, said)
    return True


def to_plan(version: PlanVersion) -> HttpResponse:
    response = redirect("desk:look-ahead")
    response["Location"] += f"?plan={version.pk}"
    return response


@transaction.atomic
def new_draft(
    request: HttpRequest, title: str = "", what_if: dict[str, Any] | None = None
) -> PlanVersion:
    """A draft whose planning has been asked for."""
    now = timezone.now()
    draft = start_draft(
        who=who(request),
        now=now,
        today=office_today(now),
        title=title,
        what_if=what_if,
    )
    ask_run(draft, who=who(request), now=now)
    return draft


@office
@require_POST
def begin(request: HttpRequest) -> HttpResponse:
    return to_plan(new_draft(request, request.POST.get("title", "")))


def draft_of(pk: int) -> PlanVersion:
    return get_object_or_404(PlanVersion, pk=pk)


@office
@require_POST
def what_ifs(request: HttpRequest, pk: int) -> HttpResponse:
    """A remedy of a plan, or a question of one's own, as a draft beside it."""
    version = draft_of(pk)
    if asked := request.POST.get("question", ""):
        if asked not in questions(version, reader_language()):
            return HttpResponseBadRequest()
        return to_plan(new_draft(request, what_if=json.loads(asked)))
    number = request.POST.get("number", "")
    if not number.isdecimal() or int(number[:4]) >= len(version.remedies):
        return HttpResponseBadRequest()
    remedy = version.remedies[int(number[:4])]
    what = {name: remedy[name] for name in ("kind", "code", "params")}
    return to_plan(new_draft(request, what_if=what))


@office
@require_POST
def run(request: HttpRequest, pk: int) -> HttpResponse:
    """Plan the draft again, or look for what would help."""
    version, form = draft_of(pk), RunForm(request.POST)
    if not form.is_valid():
        return HttpResponseBadRequest()
    data = form.cleaned_data
    more = {"seconds": data["seconds"]} if data["seconds"] else {}
    attempt(
        request,
        lambda: ask_run(
            version, who=who(request), now=timezone.now(), what=data["what"], **more
        ),
    )
    if data["what"] in ("remedies", "odds"):
        return redirect("desk:look-ahead-why", pk=pk)
    if data["what"] == "levels":
        return redirect("desk:look-ahead-rules")
    return to_plan(version)


@office
@require_GET
def run_state(request: HttpRequest, pk: int) -> HttpResponse:
    """How far a run is; when it has ended, the page loads itself again."""
    found = get_object_or_404(SolveRun.objects.select_related("version"), pk=pk)
    now = timezone.now()
    silent = found.is_silent(now)
    context = {
        "run": found,
        "silent": silent,
        "version": found.version,
        "found": found_of(found, reader_language()),
    }
    response = render(request, "desk/ahead/_run.html", context)
    if not found.is_open:
        response["HX-Refresh"] = "true"
    return response


@office
@require_POST
def run_cancel(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(SolveRun.objects.select_related("version"), pk=pk)
    attempt(request, lambda: cancel_run(found, who=who(request), now=timezone.now()))
    return to_plan(found.version)


# What planning the rest again cannot mend.
FIXED = ("not_qualified", "day_off", "rain", "before_ready", "crew_not_free")


@office
@require_POST
def trial(request: HttpRequest, pk: int) -> HttpResponse:
    """What the judge says of a move, before anything is written."""
    version, form = draft_of(pk), MoveForm(request.POST)
    if not form.is_valid() or not version.plan:
        return HttpResponseBadRequest()
    data = form.cleaned_data
    name = (data["lot"], data["phase"])
    context = {"version": version, "move": data, "day": half_day(version, data["half"])}
    context["afternoon"] = data["half"] % 2 == 1
    try:
        moved = try_move(version, name, crew=data["crew"], half=data["half"])
    except Refused as error:
        context["refused"] = refusal(error)
        return render(request, "desk/ahead/_trial.html", context)
    context["breaches"] = breaches_of(version, moved.breaches, reader_language())
    context["can_pin"] = not any(
        (one.lot, one.phase) == name and one.code in FIXED for one in moved.breaches
    )
    context["score"] = moved.plan.score.total - version.plan["score"]["total"]
    return render(request, "desk/ahead/_trial.html", context)


@office
@require_POST
def move(request: HttpRequest, pk: int) -> HttpResponse:
    version, form = draft_of(pk), MoveForm(request.POST)
    if not form.is_valid():
        return HttpResponseBadRequest()
    data = form.cleaned_data
    name = (data["lot"], data["phase"])

    def keep() -> None:
        moved = keep_move(
            version,
            name,
            crew=data["crew"],
            half=data["half"],
            revision=data["revision"],
            who=who(request),
            now=timezone.now(),
        )
        if moved.breaches:
            raise Refused("plan_breaks_rules", count=len(moved.breaches))

    attempt(request, keep, w("Moved."))
    return to_plan(version)


@owner
@require_POST
def publication(request: HttpRequest, pk: int) -> HttpResponse:
    version = draft_of(pk)
    text = request.POST.get("revision", "")
    revision = int(text) if text.isdigit() else None
    done = attempt(
        request,
        lambda: publish(
            version, revision=revision, who=who(request), now=timezone.now()
        ),
        w("Published. Crews whose days change are told."),
    )
    return redirect("desk:look-ahead") if done else to_plan(version)


@office
@require_POST
def removal(request: HttpRequest, pk: int) -> HttpResponse:
    version = draft_of(pk)
    left = attempt(
        request, lambda: drop_draft(version, who=who(request), now=timezone.now())
    )
    kept = standing_pins().filter(made_at__gte=version.made_at).count()
    if left and kept:
        said = w("Pins set since it was begun still hold: {count}.", count=kept)
        messages.info(request, said)
    return redirect("desk:look-ahead")


@leads
@require_POST
def acknowledgement(request: HttpRequest, pk: int) -> HttpResponse:
    notice = get_object_or_404(to_acknowledge(request.user), pk=pk)
    attempt(
        request,
        lambda: acknowledge(notice, who=who(request), now=timezone.now()),
        w("Thank you: noted as read."),
    )
    return redirect("/" if request.POST.get("next") == "/" else "desk:look-ahead")
