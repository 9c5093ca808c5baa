"""Today: what needs a decision now, each line with its one action."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from phases.names import names
from tracker.desk.access import everybody, office
from tracker.desk.doing import office_today
from tracker.desk.templatetags.desk import reader_language
from tracker.desk.today import queries
from tracker.desk.today.rules import next_workday
from tracker.people.models import Crew


@everybody
@require_GET
def today(request: HttpRequest) -> HttpResponse:
    if not (request.user.is_office or request.user.is_lead):
        return redirect("desk:lots")
    now = timezone.now()
    day = office_today(now)
    lines = queries.today_lines(request.user, today=day, now=now)
    return render(
        request,
        "desk/today.html",
        {"lines": lines, "today": day, "names": names(reader_language())},
    )


@office
@require_GET
def ready_lots(request: HttpRequest) -> HttpResponse:
    """Lots that a crew could be sent to."""
    asked = request.GET.get("crew", "")
    if not asked.isdecimal() or len(asked) > 17:
        raise Http404
    crew = get_object_or_404(Crew, pk=asked)
    day = next_workday(office_today(timezone.now()))
    return render(
        request,
        "desk/ready_lots.html",
        {"crew": crew, "day": day, "phases": queries.ready_phases(request.user, crew)},
    )
