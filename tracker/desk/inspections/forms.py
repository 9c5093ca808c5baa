"""What the pages of inspections ask."""

from typing import Any

from django import forms

from inspections.rules import SYSTEMS
from phases.actions.inspection_facts import RESULTS
from phases.models import CheckItem
from tracker.desk.lot.forms import OWERS, said
from tracker.people.models import Crew

FAULTS = ["", "us", "builder", "office", "another trade"]
WHO_PAYS = ["us", "builder", "another trade"]
FINDINGS = 6
AT_ONCE = 2  # rows of findings that stand open
DAY = {"type": "date"}


def day_field(**more: Any) -> forms.DateField:
    # A browser's date field takes the ISO form alone, whatever the language.
    widget = forms.DateInput(attrs=DAY, format="%Y-%m-%d")
    return forms.DateField(widget=widget, **more)


class CallForm(forms.Form):
    """One call for one lot: which kinds, which day, and what the office said."""

    kinds = forms.CharField(max_length=400)
    for_date = day_field(label="Day")
    window = forms.CharField(label="Window", max_length=40, required=False)
    confirmation = forms.CharField(
        label="Confirmation number", max_length=60, required=False
    )
    note = forms.CharField(label="What the office said", max_length=400, required=False)

    def clean_kinds(self) -> list[str]:
        return [code for code in self.cleaned_data["kinds"].split(",") if code]


class MoveForm(forms.Form):
    """The office gave another day, or its number came later."""

    for_date = day_field(label="Day")
    window = forms.CharField(label="Window", max_length=40, required=False)
    confirmation = forms.CharField(
        label="Confirmation number", max_length=60, required=False
    )
    note = forms.CharField(label="What the office said", max_length=400, required=False)


class CancelForm(forms.Form):
    reason = forms.CharField(label="Reason", max_length=400)


def _named(item: CheckItem, text: str) -> str:
    """Room and words of an item in a language."""
    room = item.spec.get(f"room_{text}", "")
    return f"{room}: {item.spec.get(f'text_{text}', item.key)}"[:90]


class ResultForm(forms.Form):
    """What the inspector said; up to six things found, each in his words."""

    result = forms.ChoiceField(label="Result")
    on = day_field(label="Day")
    inspector = forms.CharField(label="Inspector", max_length=120, required=False)
    words = forms.CharField(
        label="The inspector's words",
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    fault_of = forms.ChoiceField(label="Whose fault, if he could not look")
    pays = forms.ChoiceField(label="Who pays a fee")
    passed_systems = forms.MultipleChoiceField(
        label="Systems that passed, of a partial",
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )

    passed_items = forms.MultipleChoiceField(
        label="Items that passed, of a partial",
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )

    def __init__(
        self,
        *args: Any,
        items: list[CheckItem],
        systems: list[str],
        labels: dict[str, str],
        text: str,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        crews = Crew.objects.filter(is_active=True)
        self.items = {str(item.pk): item for item in items}
        results = [(r, labels.get(r, r)) for r in RESULTS]
        # Nothing is chosen beforehand: a slip must not pass an inspection.
        self.fields["result"].choices = [("", ""), *results]
        self.fields["fault_of"].choices = [(f, labels.get(f, f)) for f in FAULTS]
        self.fields["fault_of"].required = False
        self.fields["pays"].choices = [(p, labels.get(p, p)) for p in WHO_PAYS]
        known = [s for s in systems if s in SYSTEMS]
        self.fields["passed_systems"].choices = [(s, labels.get(s, s)) for s in known]
        named = [(str(item.pk), _named(item, text)) for item in items]
        self.fields["passed_items"].choices = named
        choices = [("", ""), *named]
        for n in range(1, FINDINGS + 1):
            self.fields[f"found_{n}"] = forms.CharField(
                label="Found", max_length=400, required=False
            )
            self.fields[f"item_{n}"] = forms.ChoiceField(
                label="Item", choices=choices, required=False
            )
            self.fields[f"owed_{n}"] = forms.ChoiceField(
                label="Who puts it right",
                choices=[(one, said(one)) for one in reversed(OWERS)],
                initial="us",
                required=False,
            )
            self.fields[f"crew_{n}"] = forms.ModelChoiceField(
                crews, label="Crew", required=False, empty_label=labels.get("own", "")
            )
            self.fields[f"due_{n}"] = day_field(label="Due", required=False)

    def finding_rows(self) -> list[list[forms.BoundField]]:
        return self._rows(1, AT_ONCE)

    def more_rows(self) -> list[list[forms.BoundField]]:
        return self._rows(AT_ONCE + 1, FINDINGS)

    def _rows(self, first: int, last: int) -> list[list[forms.BoundField]]:
        names = ("found", "item", "owed", "crew", "due")
        return [[self[f"{name}_{n}"] for name in names] for n in range(first, last + 1)]

    def main_fields(self) -> list[forms.BoundField]:
        names = ("result", "on", "inspector", "fault_of", "pays", "words")
        return [self[name] for name in names]

    def passed_parts(self) -> list[str]:
        given = self.cleaned_data
        systems = [f"system:{system}" for system in given["passed_systems"]]
        return systems + [f"item:{item}" for item in given["passed_items"]]

    def found(self) -> list[dict[str, Any]]:
        given = self.cleaned_data
        return [
            {
                "words": given[f"found_{n}"],
                "item": self.items.get(given[f"item_{n}"]),
                "owed_by": given[f"owed_{n}"] or "us",
                "crew": given[f"crew_{n}"],
                "due_on": given[f"due_{n}"],
            }
            for n in range(1, FINDINGS + 1)
            if given[f"found_{n}"]
        ]
