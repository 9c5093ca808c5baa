"""What a person may send: checked here for shape, by the rules for sense."""

from typing import Any

from django import forms

from tracker.sites.models import Builder, Subdivision, Superintendent
from tracker.status.actions.links import DEFAULT_DAYS
from tracker.status.rules import LONGEST_DAYS, MOVABLE
from tracker.status.words import text


class DateForm(forms.Form):
    """A superintendent's word on a date; `was` is the one he saw (empty: none)."""

    phase = forms.IntegerField(min_value=1)
    what = forms.ChoiceField(choices=[(what, what) for what in MOVABLE])
    date = forms.DateField(input_formats=["%Y-%m-%d"])
    was = forms.DateField(input_formats=["%Y-%m-%d"], required=False)


class PartForm(forms.Form):
    phase = forms.IntegerField(min_value=1)
    part = forms.SlugField(max_length=40)
    ready = forms.TypedChoiceField(
        choices=[("yes", "yes"), ("no", "no")], coerce=lambda value: value == "yes"
    )


class LinkForm(forms.Form):
    """Who a new link is for, and how long it lives."""

    builder = forms.ModelChoiceField(Builder.objects.all(), label="Builder")
    subdivision = forms.ModelChoiceField(
        Subdivision.objects.select_related("builder"),
        required=False,
        label="Subdivision",
    )
    superintendent = forms.ModelChoiceField(
        Superintendent.objects.filter(is_active=True).select_related("builder"),
        required=False,
        label="Superintendent",
    )
    days = forms.IntegerField(
        min_value=1, max_value=LONGEST_DAYS, initial=DEFAULT_DAYS, label="Good for days"
    )
    note = forms.CharField(max_length=120, required=False, label="Note")

    def __init__(self, *args: Any, language: str = "en", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        shared = text("nobody: shared, only reads", language)
        self.fields["superintendent"].empty_label = shared
        self.fields["superintendent"].label_from_instance = _with_builder
        self.fields["subdivision"].empty_label = text("every subdivision", language)
        self.fields["subdivision"].label_from_instance = _with_builder


def _with_builder(row: Subdivision | Superintendent) -> str:
    return f"{row.name} ({row.builder.name})"
