"""The builder's page: what a link shows."""

import hashlib
from datetime import datetime
from urllib.parse import urlencode, urlsplit

from django.conf import settings
from django.core.exceptions import ObjectDoesNotExist
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone, translation
from django.utils.cache import get_conditional_response
from django.views.decorators.http import require_safe

from phases.models import Photo
from tracker.sites.models import Company, Lot
from tracker.status import calendars, queries, sheets
from tracker.status.guard import with_link
from tracker.status.houses import House
from tracker.status.models import Link

# A larger number in an address would be an error of the database.
HIGHEST_KEY = 2**63 - 1


def reader() -> str:
    return "es" if translation.get_language() == "es" else "en"


def base_context(request: HttpRequest, link: Link, *, now: datetime) -> dict:
    """What every page of a link needs."""
    asked = request.GET.get("lang")
    keep = {"lang": asked} if asked in ("en", "es") else {}
    return {
        "link": link,
        "secret": request.resolver_match.kwargs["secret"],
        "company": Company.get(),
        "names_crews": link.builder.shows_crew_names,
        "language": reader(),
        "other": "en" if reader() == "es" else "es",
        "keep": f"?{urlencode(keep)}" if keep else "",
        "now": now,
    }


def one_lot(link: Link, pk: int) -> Lot:
    """A house of this link; another builder's is as missing as one that is not."""
    try:
        return queries.lots_of(link).get(pk=min(pk, HIGHEST_KEY))
    except ObjectDoesNotExist:
        raise Http404 from None


def streets(houses: list[House]) -> list[tuple[object, list[House]]]:
    """(subdivision, its houses) in the order of the list."""
    found: dict[int, tuple[object, list[House]]] = {}
    for house in houses:
        place = house.lot.subdivision
        found.setdefault(place.pk, (place, []))[1].append(house)
    return list(found.values())


@with_link
@require_safe
def page(request: HttpRequest, link: Link) -> HttpResponse:
    now = timezone.now()
    houses = queries.houses(queries.lots_of(link), now=now)
    waiting = [house for house in houses if house.waits]
    only = bool(waiting) and request.GET.get("show") == "waiting"
    return render(
        request,
        "status/street.html",
        base_context(request, link, now=now)
        | {
            "streets": streets(waiting if only else houses),
            "waiting": len(waiting),
            "only": only,
            "today": houses[0].today if houses else None,
        },
    )


def lot_context(request: HttpRequest, link: Link, lot: Lot) -> dict:
    now = timezone.now()
    (house,) = queries.houses([lot], now=now)
    decisions = queries.last_decisions(link, lot) if link.is_personal else []
    return base_context(request, link, now=now) | {
        "house": house,
        "promised": queries.promises(house),
        "today": house.today,
        "decisions": decisions,
    }


@with_link
@require_safe
def lot(request: HttpRequest, link: Link, pk: int) -> HttpResponse:
    context = lot_context(request, link, one_lot(link, pk))
    response = render(request, "status/lot.html", context)
    return with_forms(response) if link.is_personal else response


def with_forms(response: HttpResponse) -> HttpResponse:
    """A page with forms: under `no-referrer` a browser sends `Origin: null` with them,
    which the check against forged posts refuses. Other sites still learn nothing."""
    response["Referrer-Policy"] = "same-origin"
    return response


@with_link
@require_safe
def photo(request: HttpRequest, link: Link, sha: str) -> HttpResponse:
    found = queries.thumbnail(link, sha)
    if found is None:
        raise Http404
    try:
        response = FileResponse(found.thumb.open("rb"), content_type="image/jpeg")
    except FileNotFoundError:
        raise Http404 from None
    response["Cache-Control"] = "private, max-age=86400"
    return response


@with_link
@require_safe
def calendar(request: HttpRequest, link: Link) -> HttpResponse:
    houses = queries.houses(queries.lots_of(link), now=timezone.now())
    body = calendars.feed(
        houses,
        name=str(link.subdivision or link.builder),
        host=urlsplit(settings.PUBLIC_URL).hostname or "localhost",
        language=reader(),
        names_crews=link.builder.shows_crew_names,
    )
    etag = f'"{hashlib.sha256(body).hexdigest()[:32]}"'
    response = HttpResponse(body, content_type="text/calendar; charset=utf-8")
    response["Content-Disposition"] = 'inline; filename="houses.ics"'
    response["ETag"] = etag
    return get_conditional_response(request, etag=etag, response=response)


@with_link
@require_safe
def street_sheet(request: HttpRequest, link: Link, pk: int) -> HttpResponse:
    """One subdivision on one sheet."""
    now = timezone.now()
    lots = queries.lots_of(link).filter(subdivision=min(pk, HIGHEST_KEY))
    houses = queries.houses(lots, now=now)
    if not houses:
        raise Http404
    context = base_context(request, link, now=now) | {
        "street": houses[0].lot.subdivision,
        "houses": houses,
        "today": houses[0].today,
    }
    return _pdf(sheets.street_sheet(_lasting(context), houses=len(houses)))


@with_link
@require_safe
def lot_sheet(request: HttpRequest, link: Link, pk: int) -> HttpResponse:
    context = lot_context(request, link, one_lot(link, pk))
    wanted = [line.proof.photo for line in context["house"].lines if line.proof]
    photos = Photo.objects.in_bulk([sha for sha in wanted if sha])
    return _pdf(sheets.lot_sheet(_lasting(context), photos=photos))


def _lasting(context: dict) -> dict:
    """Without what differs from one request to the next."""
    return {key: value for key, value in context.items() if key not in ("now",)}


def _pdf(body: bytes) -> HttpResponse:
    response = HttpResponse(body, content_type="application/pdf")
    response["Content-Disposition"] = 'inline; filename="houses.pdf"'
    return response
