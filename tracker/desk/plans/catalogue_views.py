"""The catalogue: what each fixture demands; the owner may change it."""

import hashlib
import json
from collections.abc import Mapping
from datetime import datetime

from django import forms
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from phases.actions.following import in_work
from phases.actions.plans import changed_catalogue, save_catalogue_row
from phases.catalogue import SCHEMA
from phases.models import CatalogueRow
from phases.touched import Touched, touched_by
from tracker.desk.access import office
from tracker.desk.doing import act, refusal, who
from tracker.desk.plans import queries
from tracker.desk.plans.columns import COLUMN_NAMES
from tracker.errors import Refused

PAGE = 60
SHORT = {
    "demands": ("fixture", "phase", "key", "text_en", "text_es", "proof", "source"),
    "fixture_kinds": ("code", "name_en", "name_es", "outlets", "drain_size", "source"),
}


@office
@require_GET
def catalogue(request: HttpRequest) -> HttpResponse:
    """One table of the catalogue, found by words."""
    table = request.GET.get("table", "demands")
    if table not in SCHEMA:
        table = "demands"
    text = request.GET.get("q", "")[:80]
    page = Paginator(queries.catalogue_rows(table, text), PAGE).get_page(
        request.GET.get("page")
    )
    columns = SHORT.get(table, SCHEMA[table])
    rows = [
        (row, [row.cells.get(column, "") for column in columns])
        for row in page.object_list
    ]
    return render(
        request,
        "desk/catalogue.html",
        {
            "tables": queries.TABLES,
            "table": table,
            "columns": [COLUMN_NAMES[column] for column in columns],
            "rows": rows,
            "page": page,
            "q": text,
        },
    )


class RowForm(forms.Form):
    """Every cell of a row as text; the catalogue's own reader judges them."""

    def __init__(self, row: CatalogueRow, data=None) -> None:
        super().__init__(data)
        for column in SCHEMA[row.table]:
            text = row.cells.get(column, "")
            long = len(text) > 40 or column.startswith(("text", "note"))
            self.fields[column] = forms.CharField(
                label=COLUMN_NAMES[column],
                required=False,
                max_length=2000,
                initial=text,
                widget=forms.Textarea(attrs={"rows": 3}) if long else forms.TextInput,
            )


@office
@require_http_methods(["GET", "POST"])
def catalogue_row(request: HttpRequest, pk: int) -> HttpResponse:
    """All cells of a row, and who changed it when."""
    row = get_object_or_404(CatalogueRow, pk=pk)
    form = RowForm(row, request.POST or None)
    touched = _touched(request, row, form)
    if touched is None and request.method == "POST":

        def action(now: datetime) -> None:
            save_catalogue_row(row, dict(form.cleaned_data), who=who(request), now=now)

        if act(request, form, action):
            return redirect("desk:catalogue-row", pk=pk)
    return render(
        request,
        "desk/catalogue_row.html",
        {
            "row": row,
            "form": form,
            "touched": touched,
            "mark": mark_of(form.cleaned_data) if touched else "",
            "following": in_work(),
            "history": row.history.select_related("history_user").order_by(
                "-history_date"
            )[:20],
        },
        status=422 if form.errors else 200,
    )


def _touched(request: HttpRequest, row: CatalogueRow, form: RowForm) -> Touched | None:
    """What the change would touch, where that is something and nobody has seen it."""
    if request.method != "POST" or not request.user.is_owner or not form.is_valid():
        return None
    if request.POST.get("seen") == mark_of(form.cleaned_data):
        return None
    try:
        touched = touched_by(changed_catalogue(row, dict(form.cleaned_data)))
    except Refused as error:
        form.add_error(None, refusal(error))
        return None
    return touched if touched.lots or touched.stay else None


def mark_of(cells: Mapping[str, str]) -> str:
    """Tells cells that were looked at from others typed since."""
    text = json.dumps(
        {name: cell.strip() for name, cell in cells.items()}, sort_keys=True
    )
    return hashlib.sha256(text.encode()).hexdigest()[:16]
