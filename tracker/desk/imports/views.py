"""Pages of the imports: upload, look, decide, apply, undo, error sheet."""

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from phases.log import Who
from tracker.desk.access import office
from tracker.desk.imports import actions
from tracker.desk.imports.applying import ask_to_apply, ask_to_undo, how_far, is_long
from tracker.desk.imports.forms import DecisionForm, UploadForm
from tracker.desk.imports.looking import Looked, look
from tracker.desk.imports.sentences import say as say_list
from tracker.desk.templatetags.desk import reader_language, w
from tracker.errors import Refused
from tracker.sites.lotlist import Unreadable
from tracker.sites.lotlist.record import STATUSES
from tracker.sites.lotlist.report import errors_csv, errors_xlsx, row_as_json
from tracker.sites.models import LotImport
from tracker.words import say

PAGE = 100
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@office
@require_http_methods(["GET", "POST"])
def imports(request: HttpRequest) -> HttpResponse:
    """All lists handed in, and the form for another one."""
    form = UploadForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        try:
            lot_import = _received(request, form)
        except Unreadable as error:
            form.add_error("file", _said(error))
        else:
            return redirect("desk:import", pk=lot_import.pk)
    page = Paginator(LotImport.objects.select_related("builder"), PAGE).get_page(
        request.GET.get("page")
    )
    return render(request, "desk/import_all.html", {"form": form, "page": page})


@transaction.atomic
def _received(request: HttpRequest, form: UploadForm) -> LotImport:
    # A list that cannot be read leaves no new builder behind.
    file = form.cleaned_data["file"]
    return actions.receive_list(
        file.read(),
        file_name=file.name,
        builder=form.chosen_builder(),
        who=Who(member=request.user),
        now=timezone.now(),
    )


@office
@require_http_methods(["GET", "POST"])
def one_import(request: HttpRequest, pk: int) -> HttpResponse:
    """One list: its dry run with the decisions, or what was done with it."""
    lot_import = _found(pk)
    if lot_import.in_work:
        return _progress_page(request, lot_import)
    if request.htmx:
        # The page of its progress asks again: the list is done, or could not be.
        return HttpResponse(headers={"HX-Refresh": "true"})
    if lot_import.applied_at is not None:
        return _done_page(request, lot_import)
    try:
        looked = look(lot_import)
    except Unreadable as error:
        return _unreadable(request, lot_import, error)
    form = DecisionForm(request.POST or None, lot_import=lot_import, looked=looked)
    if request.method == "POST" and form.is_valid():
        try:
            actions.decide(lot_import, who=Who(member=request.user), **form.words())
        except (Unreadable, Refused) as error:
            form.add_error(None, _said(error))
        else:
            messages.success(request, w("Looked at again with your answers."))
            return redirect("desk:import", pk=pk)
    context = {
        "form": form,
        "looked": looked,
        "doubts": _doubts(looked),
        "failed": _failed(lot_import),
    }
    return _page(request, lot_import, _rows_of(looked), context)


def _progress_page(request: HttpRequest, lot_import: LotImport) -> HttpResponse:
    done, total = how_far(lot_import)
    context = {"list": lot_import, "done": done, "total": total}
    return render(request, "desk/import_working.html", context)


def _done_page(request: HttpRequest, lot_import: LotImport) -> HttpResponse:
    entries = lot_import.rows.select_related("lot__subdivision")
    rows = [{**entry.said, "made": entry.lot} for entry in entries]
    refused = actions.why_not_undo(lot_import)
    why = _said(refused) if refused else None
    context = {"why_not_undo": why, "failed": _failed(lot_import)}
    return _page(request, lot_import, rows, context)


def _failed(lot_import: LotImport) -> str:
    """Why the worker could not do what was asked, in the reader's language."""
    if not lot_import.failed:
        return ""
    language = reader_language()
    return say_list(say(lot_import.failed, language), language)


def _page(
    request: HttpRequest,
    lot_import: LotImport,
    rows: list[dict[str, Any]],
    context: dict[str, Any],
) -> HttpResponse:
    status = request.GET.get("status", "")
    shown = [row for row in rows if status in ("", row["status"])]
    counts = [(name, sum(row["status"] == name for row in rows)) for name in STATUSES]
    return render(
        request,
        "desk/import_one.html",
        {
            "list": lot_import,
            "counts": counts,
            "total": len(rows),
            "status": status,
            "page": Paginator(shown, PAGE).get_page(request.GET.get("page")),
            "to_write": sum(n for name, n in counts if name in ("new", "changed")),
            **context,
        },
    )


def _rows_of(looked: Looked) -> list[dict[str, Any]]:
    return [
        {
            **row_as_json(one.row),
            "goes_to": one.subdivision,
            "changes": [
                (name, *(_plain(value) for value in pair))
                for name, pair in one.changes.items()
            ],
        }
        for one in looked.judged
    ]


def _plain(value: Any) -> Any:
    return ", ".join(value) if isinstance(value, tuple | list) else value


def _doubts(looked: Looked) -> int:
    """Spellings that look like another name and that nobody has settled yet."""
    return len(looked.spellings)


@office
@require_POST
def application(request: HttpRequest, pk: int) -> HttpResponse:
    """Apply the list."""
    lot_import = _found(pk)
    who, now = Who(member=request.user), timezone.now()
    try:
        if is_long(lot_import):
            ask_to_apply(lot_import, who=who, now=now)
            return redirect("desk:import", pk=pk)
        actions.apply_import(lot_import, who=who, now=now)
    except (Unreadable, Refused) as error:
        messages.error(request, _said(error))
    else:
        messages.success(request, w("The list is applied."))
    return redirect("desk:import", pk=pk)


@office
@require_POST
def undoing(request: HttpRequest, pk: int) -> HttpResponse:
    """Take an applied list back."""
    lot_import = _found(pk)
    who, now = Who(member=request.user), timezone.now()
    try:
        if is_long(lot_import):
            ask_to_undo(lot_import, who=who, now=now)
            return redirect("desk:import", pk=pk)
        actions.undo_import(lot_import, who=who, now=now)
    except Refused as error:
        messages.error(request, _said(error))
    else:
        messages.success(request, w("The list is undone."))
    return redirect("desk:import", pk=pk)


@office
@require_GET
def errors(request: HttpRequest, pk: int, kind: str) -> HttpResponse:
    """The sheet of rows to correct, to send back to the builder."""
    lot_import = _found(pk)
    if lot_import.applied_at is not None:
        rows = list(lot_import.rows.values_list("said", flat=True))
    else:
        try:
            rows = _rows_of(look(lot_import))
        except Unreadable as error:
            raise Http404(str(error)) from error
    if kind == "xlsx":
        response = HttpResponse(errors_xlsx(rows), content_type=XLSX)
    else:
        response = HttpResponse(errors_csv(rows), content_type="text/csv")
    response["Content-Disposition"] = f'attachment; filename="to-correct-{pk}.{kind}"'
    return response


def _found(pk: int) -> LotImport:
    return get_object_or_404(LotImport.objects.select_related("builder"), pk=pk)


def _unreadable(
    request: HttpRequest, lot_import: LotImport, error: Unreadable
) -> HttpResponse:
    messages.error(request, _said(error))
    return render(request, "desk/import_one.html", {"list": lot_import}, status=409)


def _said(error: Unreadable | Refused) -> str:
    if isinstance(error, Refused):
        return error.say(reader_language())
    return say_list(str(error), reader_language())
