"""Forms of the money pages."""

from datetime import date

from django import forms

from phases.models import Charge, DrawTerm, PieceRate
from tracker.sites.models import Lot


class DateInput(forms.DateInput):
    input_type = "date"

    def __init__(self) -> None:
        super().__init__(format="%Y-%m-%d")


class InvoiceForm(forms.Form):
    number = forms.CharField(max_length=40, label="Invoice number")
    on = forms.DateField(label="Invoice date", widget=DateInput(), initial=date.today)


class PaidForm(forms.Form):
    on = forms.DateField(label="Paid on", widget=DateInput(), initial=date.today)


class ExtraForm(forms.Form):
    """An extra or a backcharge, signed for by somebody."""

    lot = forms.ModelChoiceField(Lot.objects.none(), label="Lot")
    sort = forms.ChoiceField(
        choices=[(Charge.EXTRA, "Extra"), (Charge.BACKCHARGE, "Backcharge")],
        label="Sort",
    )
    text = forms.CharField(max_length=300, label="What for")
    amount = forms.DecimalField(
        max_digits=9, decimal_places=2, min_value=0, label="Amount"
    )
    signer = forms.CharField(max_length=120, label="Signed by")
    on = forms.DateField(label="Date", widget=DateInput(), initial=date.today)

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        lots = Lot.objects.select_related("subdivision").order_by(
            "subdivision__name", "position"
        )
        self.fields["lot"].queryset = lots
        self.fields["lot"].label_from_instance = lambda lot: (
            f"{lot.subdivision.name}, {lot.name}"
        )


class PriceForm(forms.Form):
    """Price of a change that stands already as a correction."""

    amount = forms.DecimalField(
        max_digits=9, decimal_places=2, min_value=0, label="Amount"
    )
    signer = forms.CharField(max_length=120, label="Signed by")
    on = forms.DateField(label="Date", widget=DateInput(), initial=date.today)


class DrawTermForm(forms.ModelForm):
    class Meta:
        model = DrawTerm
        fields = ["builder", "kind", "plan", "option", "amount", "earned_on"]
        labels = {"kind": "Phase", "earned_on": "Earned on"}

    def clean(self) -> dict:
        data = super().clean()
        plan, option = data.get("plan"), data.get("option")
        if plan and data.get("builder") and plan.builder_id != data["builder"].pk:
            self.add_error("plan", "This plan belongs to another builder.")
        if option and (plan is None or option.plan_id != plan.pk):
            self.add_error("option", "Choose the plan that has this option.")
        return data


class PieceRateForm(forms.ModelForm):
    class Meta:
        model = PieceRate
        fields = ["kind", "crew", "plan", "amount"]
        labels = {"kind": "Phase"}
