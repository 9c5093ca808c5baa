"""Pins: set and lifted while a draft is looked at, or lifted from their list."""

from typing import Any

from django.db import transaction
from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_POST

from phases.models import LotPhase
from phases.rules import check
from tracker.desk.access import office
from tracker.desk.ahead.edit_views import FIXED, attempt, draft_of, to_plan
from tracker.desk.ahead.forms import MoveForm
from tracker.desk.ahead.reasons import breaches_of
from tracker.desk.doing import who
from tracker.desk.templatetags.desk import reader_language, w
from tracker.errors import Refused
from tracker.people.models import Crew
from tracker.planning.actions.drafts import half_day, lift_pins, set_pin, try_move
from tracker.planning.actions.running import ask_run
from tracker.planning.adapter.keys import Keys
from tracker.planning.models import Pin, PlanVersion
from tracker.planning.rules import why_not_edit


@office
@require_POST
def pin(request: HttpRequest, pk: int) -> HttpResponse:
    """Hold a job to a crew and day, and plan the rest around it."""
    version, form = draft_of(pk), MoveForm(request.POST)
    if not form.is_valid():
        return HttpResponseBadRequest()
    data = form.cleaned_data
    keys = Keys.read(version.keys)
    phase = get_object_or_404(
        LotPhase, pk=keys.phases.get((data["lot"], data["phase"]), 0)
    )
    crew = get_object_or_404(Crew, pk=keys.crews.get(data["crew"], 0))
    now = timezone.now()

    @transaction.atomic
    def act() -> None:
        check(why_not_edit(version, member=request.user, revision=data["revision"]))
        _refuse_impossible(version, data)
        day = half_day(version, data["half"])
        set_pin(phase, crew=crew, day=day, who=who(request), now=now)
        ask_run(version, who=who(request), now=now, seconds=4)

    attempt(request, act, w("Pinned. It holds from now on, in every plan."))
    return to_plan(version)


def _refuse_impossible(version: PlanVersion, data: dict[str, Any]) -> None:
    """A pin that no plan could keep is refused with the judge's words."""
    name = (data["lot"], data["phase"])
    moved = try_move(version, name, crew=data["crew"], half=data["half"])
    own = [b for b in moved.breaches if (b.lot, b.phase) == name and b.code in FIXED]
    if own:
        said = breaches_of(version, own, reader_language())
        raise Refused("pin_cannot_hold", why=" ".join(one["said"] for one in said))


@office
@require_POST
def unpin(request: HttpRequest, pk: int) -> HttpResponse:
    version, form = draft_of(pk), MoveForm(request.POST)
    if not form.is_valid():
        return HttpResponseBadRequest()
    data = form.cleaned_data
    row = Keys.read(version.keys).phases.get((data["lot"], data["phase"]), 0)
    phase = get_object_or_404(LotPhase, pk=row)
    now = timezone.now()

    @transaction.atomic
    def act() -> None:
        lift_pins(phase, who=who(request), now=now)
        ask_run(version, who=who(request), now=now, seconds=4)

    attempt(request, act)
    return to_plan(version)


@office
@require_POST
def removal(request: HttpRequest, pk: int) -> HttpResponse:
    """Lift one pin from the list; no plan changes by that alone."""
    found = get_object_or_404(Pin.objects.select_related("lot_phase"), pk=pk)
    attempt(
        request,
        lambda: lift_pins(found.lot_phase, who=who(request), now=timezone.now()),
        w("Lifted. Plan again to see what it changes."),
    )
    return redirect("desk:look-ahead")
