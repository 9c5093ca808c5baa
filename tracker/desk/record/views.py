"""The audit trail: who did what when."""

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.dateparse import parse_datetime
from django.views.decorators.http import require_GET

from phases.names import names
from tracker.desk.access import office
from tracker.desk.record import queries
from tracker.desk.templatetags.desk import reader_language
from tracker.people.models import Member

PAGE = 100


@office
@require_GET
def record(request: HttpRequest) -> HttpResponse:
    """Facts of all lots."""
    asked = {name: request.GET.get(name, "")[:40] for name in ("kind", "member")}
    page = Paginator(queries.facts(**asked), PAGE).get_page(request.GET.get("page"))
    return render(
        request,
        "desk/record.html",
        {
            "page": page,
            "asked": asked,
            "kinds": queries.fact_kinds(),
            "members": Member.objects.all(),
            "names": names(reader_language()),
        },
    )


@office
@require_GET
def changes(request: HttpRequest) -> HttpResponse:
    """Changes of settings, plans, people and prices; `before` leads to older ones."""
    try:
        before = parse_datetime(request.GET.get("before", ""))
    except ValueError:
        before = None
    if before is not None and timezone.is_naive(before):
        before = None
    rows = queries.changes(before=before)
    older = rows[-1].when if len(rows) == queries.LAST else None
    context = {"changes": rows, "older": older, "before": before}
    return render(request, "desk/changes.html", context)
