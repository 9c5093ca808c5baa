"""Starts of many lots at once: a builder releases twelve lots in one form."""

from datetime import date
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from phases.log import Who
from tracker.desk.access import office
from tracker.desk.doing import office_today
from tracker.desk.imports.starts import Start, release_lots
from tracker.desk.templatetags.desk import lot_name, reader_language, w
from tracker.errors import Refused
from tracker.sites.models import BuilderDate, Lot, Plan, Subdivision

MOST_LOTS = 200


class DayInput(forms.DateInput):
    input_type = "date"

    def __init__(self) -> None:
        super().__init__(format="%Y-%m-%d")


class LotForm(forms.Form):
    """One lot of the release. Fields left empty leave the lot as it is."""

    chosen = forms.BooleanField(required=False, label="Release")
    plan = forms.ChoiceField(required=False)
    options = forms.MultipleChoiceField(required=False)
    mirrored = forms.ChoiceField(required=False)
    start = forms.DateField(required=False, widget=DayInput())
    ready = forms.DateField(required=False, widget=DayInput())
    closing = forms.DateField(required=False, widget=DayInput())

    def __init__(self, *args: Any, lot: Lot, plans: dict[str, Plan], **kw: Any):
        super().__init__(*args, prefix=f"lot-{lot.pk}", **kw)
        self.lot = lot
        self.plans = plans
        self.every_option = {
            str(option.pk): option
            for plan in plans.values()
            for option in plan.options.all()
        }
        self.fields["plan"].choices = [("", "—")] + [
            (key, plan.code) for key, plan in plans.items()
        ]
        self.fields["options"].choices = [
            (plan.code, [(str(o.pk), str(o)) for o in plan.options.all()])
            for plan in plans.values()
            if plan.options.all()
        ]
        self.fields["mirrored"].choices = [
            ("", "—"),
            ("no", w("as drawn")),
            ("yes", w("mirrored")),
        ]
        self.fields["plan"].initial = lot.plan_id
        self.fields["options"].initial = [option.pk for option in lot.options.all()]
        for name, field in self.fields.items():
            field.widget.attrs["aria-label"] = f"{lot_name(lot)}: {w(LABELS[name])}"

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        plan = self.plans.get(data.get("plan") or "")
        options = [self.every_option[key] for key in data.get("options") or ()]
        wrong = [o.code for o in options if plan is None or o.plan_id != plan.pk]
        if data.get("chosen") and wrong:
            codes = ", ".join(wrong)
            self.add_error(
                "options", w("Not options of this plan: {codes}.", codes=codes)
            )
        return data

    def as_start(self, common: dict[str, Any]) -> Start:
        """What the row says, and from `common` the days that it leaves open."""
        data = self.cleaned_data
        days = {name: data[name] or common.get(name) for name in DAYS}
        hand = data["mirrored"]
        return Start(
            lot=self.lot,
            plan=self.plans.get(data["plan"]),
            options=tuple(self.every_option[key] for key in data["options"]),
            mirrored=None if not hand else hand == "yes",
            **days,
        )


DAYS = ("start", "ready", "closing")


class CommonForm(forms.Form):
    """Days for every chosen lot whose own row leaves them open."""

    start = forms.DateField(required=False, widget=DayInput(), label="Start")
    ready = forms.DateField(
        required=False, widget=DayInput(), label="First phase ready"
    )
    closing = forms.DateField(required=False, widget=DayInput(), label="Closing")


LABELS = {
    "chosen": "Release",
    "plan": "Plan",
    "options": "Options",
    "mirrored": "Handing",
    "start": "Start",
    "ready": "First phase ready",
    "closing": "Closing",
}


@office
@require_http_methods(["GET", "POST"])
def starts(request: HttpRequest) -> HttpResponse:
    """Choose a subdivision, then release its lots."""
    streets = Subdivision.objects.select_related("builder").order_by(
        "builder__name", "name"
    )
    chosen = request.GET.get("subdivision", "")
    if not chosen.isascii() or not chosen.isdigit():
        return render(request, "desk/import_starts.html", {"streets": streets})
    street = get_object_or_404(streets, pk=int(chosen[:18]))
    every = request.GET.get("all") == "1"
    rows = _forms(request, street, every=every)
    said_by = request.POST.get("said_by", "").strip()[:120]
    refused = ""
    common = CommonForm(
        request.POST if request.method == "POST" else None, prefix="all"
    )
    # Every form is asked, so that each shows its own mistakes.
    wrong = [form for form in (common, *rows) if not form.is_valid()]
    if request.method == "POST" and not wrong:
        try:
            count = release_lots(
                [
                    row.as_start(common.cleaned_data)
                    for row in rows
                    if row.cleaned_data["chosen"]
                ],
                said_by=said_by or street.builder.name,
                who=Who(member=request.user),
                now=timezone.now(),
            )
        except Refused as error:
            refused = error.say(reader_language())
        else:
            messages.success(request, w("Lots released: {count}.", count=count))
            return redirect(request.get_full_path())
    context = {
        "streets": streets,
        "street": street,
        "rows": rows,
        "common": common,
        "today": office_today(timezone.now()),
        "refused": refused,
        "said_by": said_by,
        "every": every,
    }
    return render(request, "desk/import_starts.html", context)


def _forms(request: HttpRequest, street: Subdivision, *, every: bool) -> list[LotForm]:
    lots = Lot.objects.open().filter(subdivision=street)
    if not every:
        lots = lots.filter(plan=None)
    lots = lots.select_related("plan").prefetch_related("options")[:MOST_LOTS]
    active = Plan.objects.filter(builder=street.builder, is_active=True)
    plans = {str(plan.pk): plan for plan in active.prefetch_related("options")}
    data = request.POST if request.method == "POST" else None
    rows = [LotForm(data, lot=lot, plans=plans) for lot in lots]
    known = _known_days(list(lots))
    for row in rows:
        row.known = known.get(row.lot.pk, {})
    return rows


def _known_days(lots: list[Lot]) -> dict[int, dict[str, date]]:
    """What was last said of start and closing, by lot."""
    found: dict[int, dict[str, date]] = {}
    said = BuilderDate.objects.filter(
        lot__in=lots, what__in=("start", "closing"), phase=""
    )
    for row in said.order_by("fact_no"):
        found.setdefault(row.lot_id, {})[row.what] = row.date
    return found
