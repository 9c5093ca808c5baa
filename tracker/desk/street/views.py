"""The streets, one street, and all lots."""

from urllib.parse import urlencode

from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from phases.names import names
from tracker.desk.access import everybody
from tracker.desk.doing import office_today
from tracker.desk.glyph import STATES
from tracker.desk.street import queries
from tracker.desk.templatetags.desk import reader_language
from tracker.sites.models import Subdivision

PAGE = 100


@everybody
@require_GET
def streets(request: HttpRequest) -> HttpResponse:
    return render(
        request, "desk/streets.html", {"streets": queries.streets(request.user)}
    )


@everybody
@require_GET
def street(request: HttpRequest, pk: int) -> HttpResponse:
    """A subdivision as a row of lots; filters are in the address, so it can be kept."""
    subdivision = get_object_or_404(
        Subdivision.objects.select_related("builder", "jurisdiction"), pk=pk
    )
    houses = queries.street_houses(subdivision, request.user)
    if not houses and not request.user.sees_all:
        raise Http404
    asked = {
        name: request.GET.get(name, "")[:60] for name in ("word", "plan", "q", "sort")
    }
    left = queries.kept(houses, word=asked["word"], plan=asked["plan"], text=asked["q"])
    shown = queries.shown_rows(
        left, sort=asked["sort"], page=request.GET.get("page", "")
    )
    return render(
        request,
        "desk/street.html",
        {
            "subdivision": subdivision,
            "rows": shown.rows,
            "page": shown.page,
            "query": urlencode({key: value for key, value in asked.items() if value}),
            "houses": houses,
            "asked": asked,
            "left": len(left),
            "total": len(houses),
            "plans": sorted({str(one.lot.plan) for one in houses if one.lot.plan}),
            "words": [word for word in STATES if any(h.word == word for h in houses)],
            "names": names(reader_language()),
            "today": office_today(timezone.now()),
        },
    )


@everybody
@require_GET
def lots(request: HttpRequest) -> HttpResponse:
    """Every open lot, found by words."""
    text = request.GET.get("q", "")[:100]
    page = Paginator(queries.find_lots(request.user, text), PAGE).get_page(
        request.GET.get("page")
    )
    return render(
        request,
        "desk/lots.html",
        {
            "rows": queries.rows_of(page.object_list),
            "page": page,
            "q": text,
            "names": names(reader_language()),
        },
    )
