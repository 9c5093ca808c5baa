"""The page of one house, its record, and its photos."""

from typing import Any

from django.core.paginator import Paginator
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from phases.models import Photo, PhotoUse
from phases.names import names
from tracker.desk.access import everybody
from tracker.desk.doing import lot_today
from tracker.desk.lot import forms, queries
from tracker.desk.street.rules import next_step
from tracker.desk.templatetags.desk import reader_language
from tracker.sites.models import Lot

FORMS = {
    form.word: form
    for form in (
        forms.DateForm,
        forms.HoldForm,
        forms.CorrectionForm,
        forms.CallForm,
        forms.ResultForm,
        forms.DetailsForm,
        forms.PlanForm,
    )
}
FACTS_A_PAGE = 100


def visible_lot(request: HttpRequest, pk: int) -> Lot:
    """The lot, or a 404 that does not tell a foreign one from a missing one."""
    lots = Lot.objects.visible_to(request.user).select_related(
        "subdivision__builder", "subdivision__jurisdiction", "plan", "superintendent"
    )
    return get_object_or_404(lots.prefetch_related("options"), pk=pk)


@everybody
@require_GET
def lot(request: HttpRequest, pk: int) -> HttpResponse:
    return show(request, visible_lot(request, pk))


def show(
    request: HttpRequest, lot: Lot, bound: forms.LotForm | None = None
) -> HttpResponse:
    """The page; with a form that was refused it stands open, as it was typed."""
    asked = {name: request.GET.get(name, "")[:40] for name in ("phase", "show")}
    house = queries.house(lot, **asked)
    asked["phase"] = house.shown_phase
    language = reader_language()
    queries.put_targets_in_words(house.rooms, language)
    context: dict[str, Any] = {
        "lot": lot,
        "house": house,
        "asked": asked,
        "step": next_step(
            house.lot_phases, [hold for hold in house.holds if hold.lifted_on is None]
        ),
        "names": names(language),
        "today": lot_today(lot, timezone.now()),
        "forms": _forms(request, lot, bound),
    }
    status = 200 if bound is None else 422
    return render(request, "desk/lot.html", context, status=status)


def _forms(
    request: HttpRequest, lot: Lot, bound: forms.LotForm | None
) -> dict[str, forms.LotForm]:
    today = lot_today(lot, timezone.now())
    start = {
        "hold": {"phase": request.GET.get("hold")},
        "call": {"for_date": today, "kind": request.GET.get("kind")},
        "result": {"on": today, "kind": request.GET.get("kind")},
    }
    shown = {
        word: form(lot, initial=start.get(word, {})) for word, form in FORMS.items()
    }
    if bound is not None:
        shown[bound.word] = bound
    return shown


@everybody
@require_GET
def lot_record(request: HttpRequest, pk: int) -> HttpResponse:
    """Everything that happened on a lot: who did what when."""
    lot = visible_lot(request, pk)
    page = Paginator(queries.facts_of(lot), FACTS_A_PAGE).get_page(
        request.GET.get("page")
    )
    return render(
        request,
        "desk/lot_record.html",
        {"lot": lot, "page": page, "names": names(reader_language())},
    )


@everybody
@require_GET
def photo(request: HttpRequest, sha: str, size: str = "full") -> HttpResponse:
    """A photo that is used on a lot which the person may see."""
    mine = Lot.objects.visible_to(request.user)
    if not PhotoUse.objects.filter(photo_sha=sha, lot__in=mine).exists():
        raise Http404
    row = get_object_or_404(Photo, pk=sha)
    file = row.thumb if size == "thumbnail" else row.file
    try:
        answer = FileResponse(file.open("rb"), content_type="image/jpeg")
    except FileNotFoundError:
        raise Http404 from None
    # The address is the hash of the bytes, so what it shows never changes.
    answer["Cache-Control"] = "private, max-age=31536000, immutable"
    answer["X-Content-Type-Options"] = "nosniff"
    return answer
