"""Dates of many lots of one street: choose lots, what is due, when, who said so."""

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from phases.models import PhaseKind
from tracker.desk.access import office
from tracker.desk.coded import DATE_WHATS
from tracker.desk.doing import office_today, refusal, who
from tracker.desk.imports.many_dates import What, in_range, known_dates, say_dates
from tracker.desk.imports.start_views import DayInput
from tracker.desk.lot.forms import STATUSES
from tracker.desk.templatetags.desk import lot_name, named, w
from tracker.errors import Refused
from tracker.sites.models import Lot, Subdivision

MOST_LOTS = 500


def whats() -> dict[str, tuple[What, str]]:
    """Every date that a builder may say, with its name, by code."""
    found = [(What("start"), w(DATE_WHATS["start"]))]
    for kind in PhaseKind.objects.prefetch_related("parts"):
        name = named(kind)
        found.append((What("ready", kind.code), f"{name}: {w(DATE_WHATS['ready'])}"))
        for part in sorted(kind.parts.all(), key=lambda part: part.position):
            due = w("{part} due", part=named(part))
            found.append((What("ready", kind.code, part.code), f"{name}: {due}"))
        if kind.conceals_en:
            text = w(DATE_WHATS["cover"])
            found.append((What("cover", kind.code), f"{name}: {text}"))
        found.append(
            (What("need_by", kind.code), f"{name}: {w(DATE_WHATS['need_by'])}")
        )
    found.append((What("closing"), w(DATE_WHATS["closing"])))
    return {what.code: (what, text) for what, text in found}


class DatesForm(forms.Form):
    """One date for the lots that are ticked, or named as `12-18, 21`."""

    named = forms.CharField(
        label="Lots by number",
        required=False,
        max_length=200,
        help_text="Such as 12-18, 21; or tick them below.",
    )
    status = forms.ChoiceField(label="How sure")
    date = forms.DateField(
        label="Date",
        required=False,
        widget=DayInput,
        help_text="Empty: it is no longer known.",
    )
    said_by = forms.CharField(
        label="Said by",
        max_length=120,
        widget=forms.TextInput(attrs={"list": "people", "autocomplete": "off"}),
    )
    lots = forms.MultipleChoiceField(required=False)

    def __init__(self, data: Any, *, lots: list[Lot]) -> None:
        super().__init__(data)
        self.every = lots
        self.fields["status"].choices = [(code, w(t)) for code, t in STATUSES.items()]
        self.fields["lots"].choices = [(str(lot.pk), lot_name(lot)) for lot in lots]

    def clean_named(self) -> str:
        text: str = self.cleaned_data["named"]
        for part in text.replace(";", ",").split(","):
            if part.strip() and not self._named(part):
                raise forms.ValidationError(
                    w("No lot here is named {lot}.", lot=part.strip())
                )
        return text

    def _named(self, text: str) -> list[Lot]:
        return [lot for lot in self.every if in_range(lot.label, text)]

    def chosen(self) -> list[Lot]:
        data = self.cleaned_data
        named_lots = {lot.pk for lot in self._named(data["named"])}
        ticked = set(data["lots"])
        return [
            lot for lot in self.every if lot.pk in named_lots or str(lot.pk) in ticked
        ]


@office
@require_http_methods(["GET", "POST"])
def street_dates(request: HttpRequest, pk: int) -> HttpResponse:
    """Lots of a street with what is known of one date, and the form to say it."""
    street = get_object_or_404(Subdivision.objects.select_related("builder"), pk=pk)
    every = whats()
    code = request.GET.get("what", "")
    code = code if code in every else next(iter(every))
    what, text = every[code]
    found = Lot.objects.open().filter(subdivision=street).select_related("plan")
    lots = list(found.order_by("position", "pk")[:MOST_LOTS])
    data = request.POST if request.method == "POST" else None
    form = DatesForm(data, lots=lots)
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        try:
            count = say_dates(
                form.chosen(),
                what=what,
                day=typed["date"],
                status=typed["status"],
                said_by=typed["said_by"],
                who=who(request),
                now=timezone.now(),
            )
        except Refused as error:
            form.add_error(None, refusal(error))
        else:
            messages.success(request, w("Date said of {count} lots.", count=count))
            return redirect(request.get_full_path())
    dates = known_dates(lots, what)
    ticked = set(form.data.getlist("lots")) if form.is_bound else set()
    context = {
        "street": street,
        "whats": [(code_, text_) for code_, (_, text_) in every.items()],
        "code": code,
        "text": text,
        "form": form,
        "rows": [(lot, dates.get(lot.pk), str(lot.pk) in ticked) for lot in lots],
        "people": street.builder.superintendents.filter(is_active=True),
        "today": office_today(timezone.now()),
    }
    status = 422 if form.errors else 200
    return render(request, "desk/street_dates.html", context, status=status)
