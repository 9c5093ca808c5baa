"""Settings pages: one list of tables, one page a table, one form a row."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.db.models import Model
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from phases.actions.following import book_follows
from phases.log import Who
from phases.tasks import refresh_for_today
from tracker.desk.access import office
from tracker.desk.doing import act
from tracker.desk.setup.tables import TABLES, Table
from tracker.sites.models import Jurisdiction, Subdivision


def _table(slug: str) -> Table:
    if slug not in TABLES:
        raise Http404
    return TABLES[slug]


@office
@require_GET
def setup(request: HttpRequest) -> HttpResponse:
    counts = [(table, table.model.objects.count()) for table in TABLES.values()]
    return render(request, "desk/setup/all.html", {"tables": counts})


@office
@require_GET
def rows(request: HttpRequest, slug: str) -> HttpResponse:
    table = _table(slug)
    context = {
        "table": table,
        "rows": table.model.objects.select_related(*table.joins),
        "may_change": table.may_change(request.user),
    }
    return render(request, "desk/setup/rows.html", context)


@office
@require_http_methods(["GET", "POST"])
def row(request: HttpRequest, slug: str, pk: int | None = None) -> HttpResponse:
    """A new row of a table, or one to change."""
    table = _table(slug)
    found = get_object_or_404(table.model, pk=pk) if pk else None
    if pk is None and table.single:
        found = table.model.objects.first()
    may_change = table.may_change(request.user)
    if request.method == "POST" and not may_change:
        raise PermissionDenied
    form = table.form(request.POST or None, instance=found)

    @transaction.atomic
    def action(now: datetime) -> None:
        saved = form.save()
        _bring_lots(saved, form.changed_data, Who(member=request.user), now)
        # What a lot waits for may hang on it; the worker looks at every open lot.
        refresh_for_today.delay_on_commit()

    if request.method == "POST" and act(request, form, action):
        return redirect("desk:setup-rows", slug=slug)
    context = {"table": table, "row": found, "form": form, "may_change": may_change}
    status = 422 if form.errors else 200
    return render(request, "desk/setup/row.html", context, status=status)


def _bring_lots(saved: Model, changed: list[str], who: Who, now: datetime) -> None:
    """Another code book or other local changes: sizes of open lots are checked anew."""
    if isinstance(saved, Subdivision):
        hangs_on_it = {"code_book", "edition", "jurisdiction"}
        streets = [saved]
    elif isinstance(saved, Jurisdiction):
        hangs_on_it, streets = {"amendments"}, list(saved.subdivisions.all())
    else:
        return
    if hangs_on_it & set(changed):
        book_follows(streets, name=saved.name, who=who, now=now)
