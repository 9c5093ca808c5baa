"""What a superintendent sends through his personal link. All posts, with CSRF."""

from collections.abc import Callable
from typing import Any

from django import forms
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from phases.models import Correction, Hold, LotPhase
from tracker.errors import Refused
from tracker.sites.models import Lot
from tracker.status import queries, words
from tracker.status.actions import superintendent as actions
from tracker.status.forms import DateForm, PartForm
from tracker.status.guard import personal, with_link
from tracker.status.models import DateProposal, Link
from tracker.status.views import HIGHEST_KEY, lot_context, one_lot, reader, with_forms

DONE = {
    "date": "Your date counts from now on.",
    "asked": "Your date is with the office: it moves a published job.",
    "done": "Written down. Thank you.",
}


@with_link
@require_POST
@personal
def dates(request: HttpRequest, link: Link, pk: int) -> HttpResponse:
    """Confirm or move a ready or cover date."""
    lot = one_lot(link, pk)
    form = DateForm(request.POST)

    def act() -> str:
        said = _read(form, "date_unreadable")
        answer = actions.say_or_propose_date(
            _phase(lot, said["phase"]),
            what=said["what"],
            date=said["date"],
            was=said["was"],
            by=link.superintendent,
            now=timezone.now(),
        )
        return "asked" if isinstance(answer, DateProposal) else "date"

    return _answered(request, link, lot, act)


@with_link
@require_POST
@personal
def parts(request: HttpRequest, link: Link, pk: int) -> HttpResponse:
    """Say that a part of readiness is there, or not there after all."""
    lot = one_lot(link, pk)
    form = PartForm(request.POST)

    def act() -> str:
        said = _read(form, "no_such", what="part")
        actions.say_part_there(
            _phase(lot, said["phase"]),
            said["part"],
            ready=said["ready"],
            by=link.superintendent,
            now=timezone.now(),
        )
        return "done"

    return _answered(request, link, lot, act)


@with_link
@require_POST
@personal
def lifting(request: HttpRequest, link: Link, pk: object) -> HttpResponse:
    """Lift a hold that names the builder."""
    hold = _one(Hold.objects.filter(owed_by="builder"), link, pk)

    def act() -> str:
        actions.lift_builder_hold(hold, by=link.superintendent, now=timezone.now())
        return "done"

    return _answered(request, link, hold.lot, act)


@with_link
@require_POST
@personal
def acceptance(request: HttpRequest, link: Link, pk: object) -> HttpResponse:
    """Accept a correction that was put right."""
    correction = _one(Correction.objects.all(), link, pk)

    def act() -> str:
        actions.accept_correction(
            correction, by=link.superintendent, now=timezone.now()
        )
        return "done"

    return _answered(request, link, correction.lot, act)


def _one(rows: Any, link: Link, pk: object) -> Any:
    """A row on a house of this link; any other is not here."""
    found = rows.filter(lot__in=queries.lots_of(link).values("pk"), pk=pk)
    row = found.select_related("lot__subdivision", "lot__plan", "lot_phase").first()
    if row is None:
        raise Http404
    return row


def _phase(lot: Lot, pk: int) -> LotPhase:
    phase = LotPhase.objects.filter(lot=lot, pk=min(pk, HIGHEST_KEY)).first()
    if phase is None:
        raise Refused("no_such", what="phase")
    return phase


def _read(form: forms.Form, code: str, **params: object) -> dict[str, Any]:
    if not form.is_valid():
        raise Refused(code, **params)
    return form.cleaned_data


def _answered(
    request: HttpRequest, link: Link, lot: Lot, act: Callable[[], str]
) -> HttpResponse:
    """Act, then back to the house; a refusal shows the house with its reason."""
    try:
        said = act()
    except Refused as refused:
        context = lot_context(request, link, lot)
        context["refused"] = words.say(refused, reader())
        return with_forms(render(request, "status/lot.html", context, status=409))
    secret = request.resolver_match.kwargs["secret"]
    address = reverse("status:lot", kwargs={"secret": secret, "pk": lot.pk})
    asked = request.GET.get("lang")
    more = f"&lang={asked}" if asked in ("en", "es") else ""
    return HttpResponseRedirect(f"{address}?said={said}{more}")
