"""One check item: every answer to it, what it asked at each version; reject, settle."""

from datetime import datetime
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_POST

from phases.actions.entries import answer_item
from phases.catalogue import parse_inches
from phases.house_of import catalogue_now
from phases.item_state import live_entries
from phases.loaded import entry_of
from phases.models import CheckItem
from phases.names import names
from tracker.desk.access import everybody, leads
from tracker.desk.doing import act, who
from tracker.desk.lot.forms import said
from tracker.desk.lot.queries import targets_of
from tracker.desk.lot.rooms import ItemLine
from tracker.desk.templatetags.desk import reader_language
from tracker.sites.models import Lot


class RejectForm(forms.Form):
    of = forms.CharField(max_length=60, widget=forms.HiddenInput)
    reason = forms.CharField(label="Reason", max_length=400)


class SettleForm(forms.Form):
    value = forms.CharField(
        label="The right figure",
        required=False,
        max_length=20,
        help_text="Inches like 12 1/2, or the unit of the item.",
    )
    reason = forms.CharField(label="Reason", max_length=400)

    def __init__(self, item: CheckItem, data: Any = None) -> None:
        super().__init__(data, auto_id="settle-%s")
        self.unit = item.spec.get("unit", "")

    def clean_value(self) -> float | None:
        text = self.cleaned_data["value"].strip()
        if not text:
            return None
        try:
            return parse_inches(text) if self.unit == "in16" else float(text)
        except ValueError:
            raise forms.ValidationError(said("Write a number.")) from None


def _item(request: HttpRequest, pk: int) -> CheckItem:
    mine = Lot.objects.visible_to(request.user)
    items = CheckItem.objects.filter(lot_phase__lot__in=mine).select_related(
        "lot_phase__kind", "lot_phase__lot__subdivision", "proven_by"
    )
    return get_object_or_404(items, pk=pk)


@everybody
@require_GET
def item(request: HttpRequest, pk: int) -> HttpResponse:
    return _show(request, _item(request, pk))


@leads
@require_POST
def rejection(request: HttpRequest, pk: int) -> HttpResponse:
    """A lead does not take this proof; the gate shuts again."""
    row = _item(request, pk)
    form = RejectForm(request.POST)

    def action(now: datetime) -> None:
        payload = dict(form.cleaned_data)
        answer_item(row, answer="reject", who=who(request), now=now, payload=payload)

    if act(request, form, action):
        return redirect("desk:item", pk=pk)
    return _show(request, row, reject=form)


@leads
@require_POST
def settlement(request: HttpRequest, pk: int) -> HttpResponse:
    """Two measurements disagree: which figure counts, and why."""
    row = _item(request, pk)
    form = SettleForm(row, request.POST)

    def action(now: datetime) -> None:
        payload: dict[str, Any] = {"reason": form.cleaned_data["reason"]}
        if form.cleaned_data["value"] is not None:
            payload["value"] = form.cleaned_data["value"]
        answer_item(row, answer="settle", who=who(request), now=now, payload=payload)

    if act(request, form, action):
        return redirect("desk:item", pk=pk)
    return _show(request, row, settle=form)


def _show(
    request: HttpRequest,
    row: CheckItem,
    *,
    reject: RejectForm | None = None,
    settle: SettleForm | None = None,
) -> HttpResponse:
    lot = row.lot_phase.lot
    facts = list(
        row.facts.select_related(
            "by", "superintendent", "device", "item", "lot_phase__kind"
        ).order_by("no")
    )
    entries = [entry_of(fact, lot) for fact in facts if fact.kind == "entry"]
    live, _ = live_entries(entries)
    standing = {entry.no: entry.op for entry in live if entry.answer != "note"}
    line = ItemLine(row, targets_of(row, reader_language(), catalogue_now()))
    context = {
        "item": row,
        "lot": lot,
        "line": line,
        "rows": [(fact, standing.get(fact.no)) for fact in facts],
        "specs": row.specs.order_by("-version"),
        "names": names(reader_language()),
        "reject": reject,
        "settle": settle or SettleForm(row),
    }
    status = 422 if reject or settle else 200
    return render(request, "desk/item.html", context, status=status)
