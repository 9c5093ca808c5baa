"""Inspections in their simplest true form: to call in, called in, results."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from phases.names import names
from tracker.desk.access import leads
from tracker.desk.doing import office_today
from tracker.desk.inspecting import queries
from tracker.desk.templatetags.desk import reader_language


@leads
@require_GET
def inspections(request: HttpRequest) -> HttpResponse:
    today = office_today(timezone.now())
    return render(
        request,
        "desk/inspections.html",
        {
            "found": queries.inspections(request.user, today=today),
            "today": today,
            "names": names(reader_language()),
        },
    )
