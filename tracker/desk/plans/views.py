"""Plans: the list of them, and one with its rooms, fixtures, options and sheets.

The stub-out list stands beside what is edited; htmx takes the editor out of the same
page, so that it works alike without scripts.
"""

from datetime import datetime
from typing import Any

from django.contrib import messages
from django.db import IntegrityError, transaction
from django.forms import Form
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import (
    require_GET,
    require_http_methods,
    require_POST,
)

from phases.actions import plans as actions
from phases.actions.following import in_work
from phases.catalogue import Demand, PlanError, diff
from phases.house_of import catalogue_now
from tracker.desk.access import office
from tracker.desk.doing import act, who
from tracker.desk.lot.forms import said
from tracker.desk.plans import forms, queries
from tracker.desk.templatetags.desk import reader_language
from tracker.errors import Refused
from tracker.sites.models import DrawingSheet, Option, Plan, PlanFixture, Room

PARTS: dict[str, tuple[type, type]] = {
    "rooms": (Room, forms.RoomForm),
    "fixtures": (PlanFixture, forms.FixtureForm),
    "options": (Option, forms.OptionForm),
}


@office
@require_http_methods(["GET", "POST"])
def plans(request: HttpRequest) -> HttpResponse:
    """All plans by builder, and the form for a new one."""
    form = forms.PlanForm(request.POST or None, catalogue=catalogue_now())
    if request.method == "POST" and _saved(request, form, form.instance, form):
        return redirect("desk:plan", pk=form.instance.pk)
    return render(
        request,
        "desk/plans.html",
        {"builders": queries.builders_with_plans(), "form": form},
        status=422 if form.errors else 200,
    )


@office
@require_http_methods(["GET", "POST"])
def plan(request: HttpRequest, pk: int) -> HttpResponse:
    """A plan with its list; `part` and `id` in the address open the form of a part."""
    row = _plan(pk)
    if request.method == "POST":
        form = forms.PlanForm(request.POST, instance=row, catalogue=catalogue_now())
        before = _list(row)[0]
        done = _saved(request, form, form.instance, form)
        return _after(request, _plan(pk), None if done else ("plan", form), before)
    opened = None
    what = request.GET.get("part", "")
    if what in PARTS:
        opened = (what, _part_form(row, what, request.GET.get("id")))
    elif what == "plan":
        opened = ("plan", forms.PlanForm(instance=row, catalogue=catalogue_now()))
    return _show(request, row, opened)


@office
@require_POST
def part(request: HttpRequest, pk: int, what: str, part_pk: int | None = None):
    """Save a room, fixture or option, new or changed."""
    row = _plan(pk)
    before = _list(row)[0]
    form = _part_form(row, what, part_pk, request.POST)
    done = _saved(request, form, row, form)
    return _after(request, _plan(pk), None if done else (what, form), before)


@office
@require_POST
def removal(request: HttpRequest, pk: int, what: str, part_pk: int) -> HttpResponse:
    row = _plan(pk)
    before = _list(row)[0]
    form = _part_form(row, what, part_pk, {})
    part = form.instance

    def action(now: datetime) -> None:
        actions.drop_part(row, part, who=who(request), now=now)

    confirm = Form({})
    if not act(request, confirm, action):
        for error in confirm.non_field_errors():
            messages.error(request, error)
    return _after(request, _plan(pk), None, before)


@office
@require_POST
def sheet(request: HttpRequest, pk: int) -> HttpResponse:
    """Add a drawing sheet."""
    row = _plan(pk)
    form = forms.SheetForm(row, request.POST, request.FILES)

    def action(now: datetime) -> None:
        data = dict(form.cleaned_data)
        actions.add_sheet(row, **data.pop("file"), **data, who=who(request))

    if act(request, form, action):
        return redirect("desk:plan", pk=pk)
    return _show(request, row, ("sheets", form), status=422)


@office
@require_GET
def sheet_file(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(DrawingSheet, pk=pk)
    try:
        answer = FileResponse(row.file.open("rb"), content_type=row.content_type)
    except FileNotFoundError:
        raise Http404 from None
    answer["X-Content-Type-Options"] = "nosniff"
    # A drawing from outside runs nothing in our name.
    answer["Content-Security-Policy"] = "sandbox"
    return answer


def _plan(pk: int) -> Plan:
    return get_object_or_404(Plan.objects.select_related("builder"), pk=pk)


def _part_form(plan: Plan, what: str, part_pk: Any, data: Any = None) -> Any:
    model, form_class = PARTS[what]
    instance = None
    if part_pk:
        if not str(part_pk).isdecimal():
            raise Http404
        instance = get_object_or_404(model, plan=plan, pk=part_pk)
    return form_class(plan, data, instance=instance, catalogue=catalogue_now())


def _saved(request: HttpRequest, form: Any, plan: Plan, part_form: Any) -> bool:
    def action(now: datetime) -> None:
        part = part_form.save(commit=False)
        removes = form.cleaned_data.get("removes")
        of = part if isinstance(part, Plan) else plan
        try:
            with transaction.atomic():
                actions.save_part(of, part, who=who(request), now=now, removes=removes)
        except IntegrityError:
            raise Refused("key_taken") from None

    return act(request, form, action)


def _list(plan: Plan, codes: list[str] | None = None, *, mirrored: bool = False):
    """The stub-out list and, where there is none, why."""
    try:
        return actions.list_of(plan, codes or (), mirrored=mirrored), ""
    except PlanError as error:
        return (), str(error)


def _after(
    request: HttpRequest, plan: Plan, opened: Any, before: tuple[Demand, ...]
) -> HttpResponse:
    if opened is not None:
        return _show(request, plan, opened, status=422)
    if not request.htmx:
        return redirect("desk:plan", pk=plan.pk)
    return _show(request, plan, None, changes=_changes(before, _list(plan)[0]))


def _changes(before: tuple[Demand, ...], after: tuple[Demand, ...]) -> list[str]:
    """What a change of the plan did to its list, a line each."""
    found = diff(before, after)
    signed = [
        *(("+", demand) for demand in found.added),
        *(("−", demand) for demand in found.lost),
        *(("±", one.new) for one in found.changed),
    ]
    es = reader_language() == "es"
    return [
        f"{sign} {one.room_es if es else one.room_en}: "
        f"{one.text_es if es else one.text_en}"
        for sign, one in signed
    ]


def _show(
    request: HttpRequest,
    plan: Plan,
    opened: Any,
    *,
    changes: Any = (),
    status: int = 200,
) -> HttpResponse:
    options = list(plan.options.prefetch_related("removes__room"))
    chosen = [one.code for one in options if one.code in request.GET.getlist("option")]
    mirrored = request.GET.get("mirrored") == "on"
    demands, problem = _list(plan, chosen, mirrored=mirrored)
    catalogue = catalogue_now()
    language = reader_language()
    what, form = opened or ("", None)
    context = {
        "plan": plan,
        "rooms": queries.rooms_of(plan),
        "options": options,
        "sheets": plan.sheets.select_related("option"),
        "chosen": chosen,
        "mirrored": mirrored,
        "phases": queries.list_by_phase(demands, catalogue, language),
        "total": len(demands),
        "problem": problem,
        "changes": changes,
        "lots": plan.lots.open().count(),
        "following": in_work(),
        "what": what,
        "form": form,
        "title": _title(what, form),
        "sheet_form": form if what == "sheets" else forms.SheetForm(plan),
        "kinds": catalogue.kinds,
    }
    return render(request, "desk/plan.html", context, status=status)


def _title(what: str, form: Any) -> str:
    if form is None or what in ("", "sheets"):
        return ""
    titles = {
        "rooms": ("New room", "Change the room"),
        "fixtures": ("New fixture", "Change the fixture"),
        "options": ("New option", "Change the option"),
        "plan": ("New plan", "Facts of the plan"),
    }
    return said(titles[what][bool(form.instance.pk)])
