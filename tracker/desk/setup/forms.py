"""Forms of the settings, one a table."""

import json
from typing import Any

from django import forms

from inspections.dates import Malformed
from inspections.offices import parse_office
from phases.models import PhaseKind, ReadyPart, Route, RouteStep
from tracker.desk.templatetags.desk import named, reader_language
from tracker.sites.models import (
    Builder,
    Company,
    InspectionKind,
    Jurisdiction,
    Subdivision,
    Superintendent,
)

NOTHING_KNOWN = {"timezone": "UTC", "lead": "unknown"}


class JsonArea(forms.JSONField):
    """JSON as text; an empty area is the empty value of its column."""

    def __init__(self, *, empty: Any, **more: Any) -> None:
        more.setdefault("required", False)
        more.setdefault("widget", forms.Textarea(attrs={"rows": 8, "class": "code"}))
        super().__init__(**more)
        self.empty = empty

    def clean(self, value: Any) -> Any:
        found = super().clean(value)
        return self.empty if found in (None, "") else found

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, dict | list):
            return json.dumps(value, indent=1, ensure_ascii=False)
        return super().prepare_value(value)


LABELS = {
    "time_zone": "Time zone",
    "walk_own_work": "A lead may walk what he proved himself",
    "hold_alert_days": "Days after which a hold stands on Today",
    "cover_warn_days": "Days before a cover date from which it counts as due",
    "promise_percent": "Odds of a promise date, per cent",
    "shows_crew_names": "The builder's page may name our crews",
    "is_active": "In use",
    "name_en": "Name in English",
    "name_es": "Name in Spanish",
    "conceals_en": "What covers it, in English",
    "conceals_es": "What covers it, in Spanish",
    "glyph_part": "Part of the house section",
    "rain_exposed": "Rain stops it",
    "crew_quarters": "Quarter days a crew needs",
    "kind": "Phase",
    "owed_by": "Who owes it",
    "is_required": "Needed before work starts",
    "how_to_call": "How to call in",
    "jurisdiction": "Inspecting office",
    "map_x": "Place on the map, miles east",
    "map_y": "Place on the map, miles north",
    "code_book": "Code book",
    "position": "Place in the list",
}


class RowForm(forms.ModelForm):
    """A row of a table; labels say what the column means to the office."""

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        for name, field in self.fields.items():
            if name in LABELS and name not in type(self).declared_fields:
                field.label, field.help_text = LABELS[name], ""


class CompanyForm(RowForm):
    class Meta:
        model = Company
        fields = [
            *("name", "phone", "address", "time_zone", "walk_own_work"),
            *("hold_alert_days", "cover_warn_days", "promise_percent"),
        ]


class BuilderForm(RowForm):
    class Meta:
        model = Builder
        fields = ["name", "phone", "email", "notes", "shows_crew_names"]


class SuperintendentForm(RowForm):
    class Meta:
        model = Superintendent
        fields = ["builder", "name", "phone", "email", "language", "is_active"]


class SubdivisionForm(RowForm):
    class Meta:
        model = Subdivision
        fields = [
            *("builder", "name", "jurisdiction", "code_book", "edition"),
            *("time_zone", "address", "map_x", "map_y"),
        ]


class JurisdictionForm(RowForm):
    rules = JsonArea(
        empty={},
        label="Date rules",
        help_text="Cut-off, lead, days, windows, cap; as the office publishes them.",
    )
    record = JsonArea(
        empty={},
        label="What else the office says",
        help_text="Fees, block until paid, who may ask, tests refused.",
    )
    amendments = JsonArea(empty=[], label="Local changes to the code book")

    class Meta:
        model = Jurisdiction
        fields = ["name", "phone", "how_to_call", "rules", "record", "amendments"]

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        rules, record = data.get("rules"), data.get("record")
        if rules is not None and record is not None:
            try:
                parse_office(rules or NOTHING_KNOWN, record)
            except Malformed as error:
                field = "record" if error.key.startswith("record") else "rules"
                said = error.complaint.in_language(reader_language())
                self.add_error(field, said)
        return data


class InspectionKindForm(RowForm):
    proves = forms.MultipleChoiceField(
        label="Phases it proves", widget=forms.CheckboxSelectMultiple
    )
    applies_to = JsonArea(
        empty=[],
        label="Only where the lot has",
        help_text='Systems or fixtures, as ["gas"]; empty: every lot.',
    )
    on_test = JsonArea(empty=[], label="Must be on test")
    after = JsonArea(empty=[], label="Kinds that must pass first")
    rides_with = JsonArea(empty=[], label="Kinds that may share a visit")
    rules = JsonArea(empty={}, label="Date rules of its own")

    class Meta:
        model = InspectionKind
        fields = [
            *("jurisdiction", "code", "name_en", "name_es", "position", "proves"),
            *("applies_to", "on_test", "after", "rides_with", "rules"),
        ]

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        kinds = PhaseKind.objects.all()
        self.fields["proves"].choices = [(k.code, named(k)) for k in kinds]


class PhaseKindForm(RowForm):
    class Meta:
        model = PhaseKind
        fields = [
            *("code", "name_en", "name_es", "position", "conceals_en", "conceals_es"),
            *("glyph_part", "rain_exposed", "crew_quarters"),
        ]


class ReadyPartForm(RowForm):
    class Meta:
        model = ReadyPart
        fields = [
            *("kind", "code", "name_en", "name_es", "owed_by", "position"),
            "is_required",
        ]


class RouteForm(RowForm):
    """A route with its phases, in their usual order."""

    phases = forms.ModelMultipleChoiceField(
        PhaseKind.objects.all(), label="Phases", widget=forms.CheckboxSelectMultiple
    )

    class Meta:
        model = Route
        fields = ["name", "builder", "foundation"]

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        if self.instance.pk:
            self.initial["phases"] = [s.kind_id for s in self.instance.steps.all()]

    def _save_m2m(self) -> None:
        super()._save_m2m()
        self.instance.steps.all().delete()
        RouteStep.objects.bulk_create(
            RouteStep(route=self.instance, kind=kind, position=place)
            for place, kind in enumerate(self.cleaned_data["phases"], start=1)
        )
