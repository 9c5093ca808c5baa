"""Forms of the lot page. They shape what was typed; the actions decide."""

from typing import Any

from django import forms

from phases.actions.inspection_facts import RESULTS
from phases.models import LotPhase
from tracker.desk.coded import DATE_WHATS, RESULT_WORDS
from tracker.desk.spanish import in_language
from tracker.desk.templatetags.desk import named, reader_language
from tracker.people.models import Crew
from tracker.sites.models import (
    BuilderDate,
    InspectionKind,
    Lot,
    Option,
    Plan,
    Superintendent,
)

OWERS = (
    "builder",
    "city",
    "utility",
    "electrician",
    "framer",
    "HVAC",
    "drywall",
    "another trade",
    "us",
)
STATUSES = {
    BuilderDate.PREDICTED: "Predicted",
    BuilderDate.REVISED: "Revised",
    BuilderDate.ACTUAL: "It has happened",
}


def said(text: str) -> str:
    return in_language(text, reader_language())


def choices(words: dict[str, str]) -> list[tuple[str, str]]:
    return [(code, said(text)) for code, text in words.items()]


class DayInput(forms.DateInput):
    input_type = "date"

    def __init__(self) -> None:
        super().__init__(format="%Y-%m-%d")


class PhaseChoice(forms.ModelChoiceField):
    def label_from_instance(self, obj: LotPhase) -> str:
        return named(obj.kind)


class KindChoice(forms.ModelChoiceField):
    def label_from_instance(self, obj: InspectionKind) -> str:
        return named(obj)


class LotForm(forms.Form):
    """A form that stands on the page of a lot; ids begin with its own word."""

    word = ""

    def __init__(self, lot: Lot, data: Any = None, **more: Any) -> None:
        super().__init__(data, auto_id=f"{self.word}-%s", **more)
        self.lot = lot
        if "phase" in self.fields:
            self.fields["phase"].queryset = lot.phases.select_related("kind")
            self.fields["phase"].empty_label = said("Whole house")
        if "kind" in self.fields:
            self.fields["kind"].queryset = InspectionKind.objects.filter(
                jurisdiction=lot.subdivision.jurisdiction_id
            )


class DateForm(LotForm):
    word = "date"
    what = forms.ChoiceField(label="What")
    phase = PhaseChoice(LotPhase.objects.none(), label="Phase", required=False)
    status = forms.ChoiceField(label="How sure")
    date = forms.DateField(
        label="Date",
        required=False,
        widget=DayInput,
        help_text="Empty: it is no longer known.",
    )
    said_by = forms.CharField(
        label="Said by",
        required=False,
        max_length=120,
        help_text="Empty: you.",
    )

    def __init__(self, lot: Lot, data: Any = None, **more: Any) -> None:
        super().__init__(lot, data, **more)
        self.fields["what"].choices = choices(DATE_WHATS)
        self.fields["status"].choices = choices(STATUSES)


class HoldForm(LotForm):
    word = "hold"
    owed_by = forms.ChoiceField(label="Waits for")
    phase = PhaseChoice(LotPhase.objects.none(), label="Phase", required=False)
    text = forms.CharField(label="What is missing", max_length=400)

    def __init__(self, lot: Lot, data: Any = None, **more: Any) -> None:
        super().__init__(lot, data, **more)
        self.fields["owed_by"].choices = [(one, said(one)) for one in OWERS[:-1]]


class CorrectionForm(LotForm):
    word = "correction"
    text = forms.CharField(label="What is wrong", max_length=400)
    text_es = forms.CharField(
        label="The same in Spanish", max_length=400, required=False
    )
    phase = PhaseChoice(LotPhase.objects.none(), label="Phase", required=False)
    owed_by = forms.ChoiceField(label="Owed by")
    crew = forms.ModelChoiceField(
        Crew.objects.filter(is_active=True), label="Crew", required=False
    )
    due_on = forms.DateField(label="Due", required=False, widget=DayInput)
    source = forms.ChoiceField(label="Found by")

    def __init__(self, lot: Lot, data: Any = None, **more: Any) -> None:
        super().__init__(lot, data, **more)
        self.fields["owed_by"].choices = [(one, said(one)) for one in reversed(OWERS)]
        found = {"walk": "Our walk", "work": "At work", "inspector": "Inspector"}
        if lot.closed_on:
            found = {"call_back": "Call-back"} | found
        self.fields["source"].choices = choices(found)


class CallForm(LotForm):
    word = "call"
    kind = KindChoice(InspectionKind.objects.none(), label="Inspection")
    for_date = forms.DateField(label="Day", widget=DayInput)
    window = forms.CharField(label="Window", max_length=40, required=False)
    confirmation = forms.CharField(
        label="Confirmation number", max_length=60, required=False
    )
    note = forms.CharField(label="What the office said", max_length=400, required=False)


class ResultForm(LotForm):
    word = "result"
    kind = KindChoice(InspectionKind.objects.none(), label="Inspection")
    result = forms.ChoiceField(label="Result")
    on = forms.DateField(label="Day", widget=DayInput)
    inspector = forms.CharField(label="Inspector", max_length=120, required=False)
    found = forms.CharField(
        label="What he found, one thing a line",
        required=False,
        max_length=8000,
        widget=forms.Textarea,
    )
    fault_of = forms.ChoiceField(label="Whose fault", required=False)

    def __init__(self, lot: Lot, data: Any = None, **more: Any) -> None:
        super().__init__(lot, data, **more)
        self.fields["result"].choices = [
            (code, said(RESULT_WORDS.get(code, code))) for code in RESULTS
        ]
        nobody = [("", said("Nobody has said"))]
        self.fields["fault_of"].choices = [
            *nobody,
            *((one, said(one)) for one in OWERS),
        ]

    def clean_found(self) -> list[str]:
        lines = self.cleaned_data["found"].splitlines()
        return [line.strip() for line in lines if line.strip()]


class DetailsForm(LotForm):
    word = "details"
    label = forms.CharField(label="Lot", max_length=60, required=False)
    block = forms.CharField(label="Block", max_length=20, required=False)
    unit = forms.CharField(label="Unit", max_length=40, required=False)
    address = forms.CharField(label="Address", max_length=160, required=False)
    permit_number = forms.CharField(label="Permit", max_length=60, required=False)
    permit_issued_on = forms.DateField(
        label="Permit issued", required=False, widget=DayInput
    )
    gate_code = forms.CharField(label="Gate code", max_length=40, required=False)
    key_note = forms.CharField(label="Key or lockbox", max_length=120, required=False)
    superintendent = forms.ModelChoiceField(
        Superintendent.objects.none(), label="Superintendent", required=False
    )
    position = forms.IntegerField(
        label="Place on the street", min_value=0, max_value=1_000_000
    )
    warranty_until = forms.DateField(
        label="Warranty until", required=False, widget=DayInput
    )
    mirrored = forms.BooleanField(label="Mirrored", required=False)

    def __init__(self, lot: Lot, data: Any = None, **more: Any) -> None:
        super().__init__(lot, data, **more)
        self.fields["superintendent"].queryset = Superintendent.objects.filter(
            builder=lot.subdivision.builder_id, is_active=True
        )
        for name in self.fields:
            self.initial.setdefault(name, getattr(lot, name))


class PlanForm(LotForm):
    word = "plan"
    plan = forms.ModelChoiceField(Plan.objects.none(), label="Plan", required=False)
    options = forms.ModelMultipleChoiceField(
        Option.objects.none(),
        label="Options",
        required=False,
        help_text="Only those of the plan above.",
    )

    def __init__(self, lot: Lot, data: Any = None, **more: Any) -> None:
        super().__init__(lot, data, **more)
        plans = lot.subdivision.builder.plans.filter(is_active=True)
        self.fields["plan"].queryset = plans
        self.fields["plan"].empty_label = said("no plan")
        options = self.fields["options"]
        options.queryset = Option.objects.filter(plan__in=plans).select_related("plan")
        options.label_from_instance = lambda one: f"{one.plan.code}: {one}"
        self.initial.setdefault("plan", lot.plan_id)
        self.initial.setdefault("options", [one.pk for one in lot.options.all()])
