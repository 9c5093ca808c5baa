"""Forms of the page after final."""

from datetime import date, timedelta

from django import forms

from phases.models import CheckItem, LotPhase
from tracker.desk.money.forms import DateInput
from tracker.desk.templatetags.desk import named
from tracker.sites.models import Lot


class ClosingForm(forms.Form):
    closed_on = forms.DateField(label="Closed on", widget=DateInput())
    warranty_until = forms.DateField(label="Warranty until", widget=DateInput())

    def clean(self) -> dict:
        data = super().clean()
        closed, until = data.get("closed_on"), data.get("warranty_until")
        if closed and until and until < closed:
            self.add_error("warranty_until", "The warranty ends after the closing.")
        return data


class FoundForm(forms.Form):
    """One line of a walk list, or a call-back."""

    phase = forms.ModelChoiceField(LotPhase.objects.none(), label="Phase")
    item = forms.ModelChoiceField(
        CheckItem.objects.none(), label="Item", required=False
    )
    text = forms.CharField(max_length=400, label="What is wrong")
    due_on = forms.DateField(label="Due", widget=DateInput())

    def __init__(self, *args, lot: Lot, today: date, **kwargs) -> None:
        kwargs.setdefault("initial", {"due_on": today + timedelta(days=3)})
        super().__init__(*args, **kwargs)
        self.fields["phase"].queryset = lot.phases.select_related("kind")
        self.fields["phase"].label_from_instance = lambda phase: named(phase.kind)
        self.fields["item"].queryset = CheckItem.objects.filter(
            lot_phase__lot=lot, removed_at=None
        ).order_by("walk_order", "key")
        self.fields["item"].label_from_instance = lambda item: (
            f"{named(item.spec, 'room')}: {named(item.spec, 'text')}"
        )
