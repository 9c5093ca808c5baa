"""Forms of the money pages."""

from datetime import date

from django import forms

from phases.models import Charge, DrawTerm, LotPhase, PieceRate
from tracker.desk.lot.forms import said
from tracker.desk.templatetags.desk import lot_name, named
from tracker.sites.models import Lot


class DateInput(forms.DateInput):
    input_type = "date"

    def __init__(self) -> None:
        super().__init__(format="%Y-%m-%d")


class DatedForm(forms.Form):
    """A form with a date that is today at the office unless somebody says another."""

    def __init__(self, *args, today: date, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["on"].initial = today


class InvoiceForm(DatedForm):
    number = forms.CharField(max_length=40, label="Invoice number")
    on = forms.DateField(label="Invoice date", widget=DateInput())


class PaidForm(forms.Form):
    on = forms.DateField(label="Paid on", widget=DateInput())


class LotForm(forms.Form):
    """Which lot an extra is on."""

    lot = forms.ModelChoiceField(Lot.objects.none(), label="Lot")

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        lots = Lot.objects.select_related("subdivision").order_by(
            "subdivision__name", "position"
        )
        self.fields["lot"].queryset = lots
        self.fields["lot"].label_from_instance = lambda lot: (
            f"{lot.subdivision.name}, {lot_name(lot)}"
        )


class ExtraForm(DatedForm):
    """An extra or a backcharge on one lot, signed for by somebody."""

    sort = forms.ChoiceField(
        choices=[(Charge.EXTRA, "Extra"), (Charge.BACKCHARGE, "Backcharge")],
        label="Sort",
    )
    text = forms.CharField(max_length=300, label="What for")
    phase = forms.ModelChoiceField(
        LotPhase.objects.none(), label="Phase", required=False
    )
    amount = forms.DecimalField(
        max_digits=9, decimal_places=2, min_value=0, label="Amount"
    )
    signer = forms.CharField(max_length=120, label="Signed by")
    on = forms.DateField(label="Date", widget=DateInput())
    photo = forms.ChoiceField(required=False, label="Photo")

    def __init__(self, *args, lot: Lot, photos: list[str], **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["phase"].queryset = lot.phases.select_related("kind")
        self.fields["phase"].label_from_instance = lambda row: named(row.kind)
        self.fields["photo"].choices = [("", ""), *((sha, sha) for sha in photos)]
        sorts = self.fields["sort"]
        sorts.choices = [(code, said(text)) for code, text in sorts.choices]


class PriceForm(forms.Form):
    """Price of changes that stand already as corrections."""

    amount = forms.DecimalField(
        max_digits=9, decimal_places=2, min_value=0, label="Amount"
    )
    signer = forms.CharField(max_length=120, label="Signed by")
    on = forms.DateField(label="Date", widget=DateInput())


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
