"""What people may say to the planner, checked."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from django import forms
from django.template.defaultfilters import date as date_text

from tracker.desk.templatetags.desk import w
from tracker.people.models import Crew
from tracker.planning.actions.settings import LIMITS


class SpanForm(forms.Form):
    """Which part of which plan is shown."""

    plan = forms.CharField(required=False, max_length=12)
    by = forms.ChoiceField(choices=[("crew", "Crews"), ("lot", "Lots")], required=False)
    crew = forms.CharField(required=False, max_length=60)
    start = forms.IntegerField(required=False, min_value=0, max_value=400)
    days = forms.TypedChoiceField(
        required=False,
        coerce=int,
        choices=[(10, "2 weeks"), (20, "4 weeks"), (40, "8 weeks"), (60, "12 weeks")],
    )

    def chosen(self) -> dict[str, Any]:
        """The choices, with defaults for what is missing or wrong."""
        self.is_valid()
        data = self.cleaned_data
        return {
            "plan": data.get("plan") or "",
            "by": data.get("by") or "crew",
            "crew": data.get("crew") or "",
            "start": data.get("start") or 0,
            "days": data.get("days") or 20,
        }


class MoveForm(forms.Form):
    lot = forms.CharField(max_length=200)
    phase = forms.CharField(max_length=40)
    crew = forms.CharField(max_length=60)
    half = forms.IntegerField(min_value=0, max_value=4000)
    revision = forms.IntegerField(min_value=0)


class HelperForm(forms.Form):
    crew = forms.ModelChoiceField(
        queryset=Crew.objects.filter(is_active=True), label="Helping crew"
    )
    on = forms.DateField(
        label="Day", widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )

    def __init__(self, *args: Any, crew: int | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["crew"]
        field.queryset = field.queryset.exclude(pk=crew)  # type: ignore[attr-defined]


class BreakOffForm(forms.Form):
    quarters_left = forms.IntegerField(
        label="Quarter days left", min_value=1, max_value=200
    )
    reason = forms.CharField(label="Reason", max_length=400)


class RunForm(forms.Form):
    what = forms.ChoiceField(
        choices=[(name, name) for name in ("solve", "remedies", "levels", "odds")]
    )
    seconds = forms.FloatField(min_value=1, max_value=120, required=False)


class RainForm(forms.Form):
    """Days as ticked, or a span, or a forecast file."""

    day = forms.TypedMultipleChoiceField(
        required=False, coerce=date.fromisoformat, widget=forms.CheckboxSelectMultiple
    )
    first = forms.DateField(
        label="Rain on",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}),
    )
    last = forms.DateField(
        label="until",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}),
        help_text="Empty: that day alone.",
    )
    file = forms.FileField(
        label="or a forecast file",
        required=False,
        help_text="CSV with the columns date and inches.",
    )
    replan = forms.BooleanField(required=False)

    def __init__(self, *args: Any, days: Iterable[date] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["day"].choices = [  # type: ignore[attr-defined]
            (day.isoformat(), date_text(day, "D j M")) for day in days
        ]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        first, last, file = (data.get(name) for name in ("first", "last", "file"))
        if not first and not file and not data.get("day"):
            raise forms.ValidationError(w("Say which day it rains, or give a file."))
        if first and last and not 0 <= (last - first).days <= 60:
            self.add_error("last", w("The last day must follow within 60 days."))
        if file and file.size > 1_000_000:
            self.add_error("file", w("A forecast file is smaller than 1 MB."))
        return data


class OffForm(forms.Form):
    crew = forms.ModelChoiceField(
        queryset=Crew.objects.filter(is_active=True), label="Crew"
    )
    off_first = forms.DateField(
        label="Off on", widget=forms.DateInput(attrs={"type": "date"})
    )
    off_last = forms.DateField(
        label="until",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}),
        help_text="Empty: that day alone.",
    )
    reason = forms.CharField(label="Reason", required=False, max_length=80)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        first, last = data.get("off_first"), data.get("off_last")
        if first and last and not 0 <= (last - first).days <= 60:
            self.add_error("off_last", w("The last day must follow within 60 days."))
        return data


class RulesForm(forms.Form):
    late_day = forms.IntegerField(
        label="A day late", help_text="Times the priority, 1 to 3."
    )
    move = forms.IntegerField(label="A drive to another subdivision")
    crew_change = forms.IntegerField(label="Another crew than told")
    day_change = forms.IntegerField(label="Another day than told")
    buffer = forms.FloatField(
        label="Aim before need-by",
        help_text="Times the expected days of a repeat inspection.",
        widget=forms.NumberInput(
            attrs={"type": "range", "min": "0", "max": "4", "step": "1"}
        ),
    )
    told_days = forms.IntegerField(label="Working days that crews are told")
    hold_days = forms.IntegerField(label="Working days a hold is taken to last")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            low, high = LIMITS[name]
            field.min_value, field.max_value = low, high  # type: ignore[attr-defined]
            field.widget.attrs.update({"min": low, "max": high})

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        for name, value in list(data.items()):
            low, high = LIMITS[name]
            if value is not None and not low <= value <= high:
                self.add_error(name, f"{low:g} to {high:g}.")
        return data
