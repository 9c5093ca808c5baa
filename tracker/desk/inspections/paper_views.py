"""Papers and calendars that leave the house."""

from uuid import UUID

from django.http import (
    Http404,
    HttpRequest,
    HttpResponse,
    HttpResponseNotModified,
)
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import quote_etag
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from inspections.calendar import (
    Entry,
    etag_of,
    feed,
    link_of,
    make_link,
    revoke_link,
)
from inspections.models import CalendarLink
from inspections.papers.sheet import inspection_sheet
from inspections.papers.stop import stop_notice
from phases.models import LotPhase
from tracker.desk.access import leads, office
from tracker.desk.doing import office_today, who
from tracker.people.models import Crew
from tracker.planning.crew_feed import planned_work
from tracker.sites.models import Jurisdiction


def _phase(request: HttpRequest, pk: int) -> LotPhase:
    rows = LotPhase.objects.visible_to(request.user).select_related(
        "kind", "lot__subdivision__jurisdiction", "lot__plan"
    )
    return get_object_or_404(rows, pk=pk)


def _pdf(content: bytes, name: str) -> HttpResponse:
    answer = HttpResponse(content, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    return answer


def _lot_address(request: HttpRequest, phase: LotPhase) -> str:
    return request.build_absolute_uri(reverse("desk:lot", args=[phase.lot_id]))


@leads
@require_GET
def stop(request: HttpRequest, pk: int) -> HttpResponse:
    """The stop notice for the superintendent."""
    phase = _phase(request, pk)
    made = stop_notice(
        phase,
        now=timezone.now(),
        address=_lot_address(request, phase),
        by=str(request.user),
    )
    return _pdf(made, f"stop-{phase.lot_id}-{phase.kind.code}")


@leads
@require_GET
def sheet(request: HttpRequest, pk: int) -> HttpResponse:
    """The inspection sheet of a lot phase."""
    phase = _phase(request, pk)
    address = _lot_address(request, phase)
    made = inspection_sheet(phase, now=timezone.now(), address=address)
    return _pdf(made, f"inspection-{phase.lot_id}-{phase.kind.code}")


@never_cache
@require_http_methods(["GET", "HEAD"])
def calendar(request: HttpRequest, token: str) -> HttpResponse:
    """A feed for calendar programs; whoever has the address may read it."""
    link = link_of(token)
    if link is None:
        raise Http404
    today = office_today(timezone.now())
    work: list[Entry] = []
    if link.crew is not None:
        work = planned_work(link.crew, today=today)
    etag = quote_etag(etag_of(link, today=today, more=work))
    told = {
        part.strip() for part in request.headers.get("If-None-Match", "").split(",")
    }
    if etag in told or f"W/{etag}" in told:
        answer: HttpResponse = HttpResponseNotModified()
    else:
        title = "Work and inspections" if link.crew else "Inspections"
        made = feed(link, today=today, more=work, title=title)
        answer = HttpResponse(made, content_type="text/calendar; charset=utf-8")
    answer["ETag"] = etag
    return answer


@office
@require_http_methods(["GET", "POST"])
def feeds(request: HttpRequest) -> HttpResponse:
    """Feeds that were made, and a new one for an office or a crew."""
    token = None
    if request.method == "POST":
        sort, _, pk = request.POST.get("of", "").partition(":")
        of = {"office": Jurisdiction, "crew": Crew}.get(sort)
        if of is None or not pk.isdigit():
            raise Http404
        row = get_object_or_404(of, pk=int(pk))
        chosen = {"jurisdiction" if sort == "office" else "crew": row}
        _, token = make_link(who=who(request), now=timezone.now(), **chosen)
    return render(
        request,
        "desk/inspections/feeds.html",
        {
            "address": token
            and request.build_absolute_uri(reverse("desk:calendar", args=[token])),
            "links": CalendarLink.objects.filter(revoked_at=None).select_related(
                "jurisdiction", "crew"
            ),
            "offices": Jurisdiction.objects.all(),
            "crews": Crew.objects.filter(is_active=True),
        },
    )


@office
@require_POST
def revoke(request: HttpRequest, pk: UUID) -> HttpResponse:
    link = get_object_or_404(CalendarLink, pk=pk)
    revoke_link(link, who=who(request), now=timezone.now())
    return redirect("desk:feeds")
