"""Forms of an outline: the text, what it does not draw, the figures of the site."""

from dataclasses import fields
from typing import Any

from django import forms

from phases.plan_check import MATERIALS, outline_from
from phases.sizing import gas
from phases.sizing.outline import OutlineError
from phases.sizing.outline.site import Site
from phases.sizing.plan.extras_text import parse_extras
from phases.sizing.shields import DEPTHS
from tracker.desk.spanish import in_language
from tracker.desk.templatetags.desk import reader_language

# name, label, least, most
NUMBERS = (
    ("street_ft", "House to main, ft", 1, 2000),
    ("depth_ft", "Run inside the house, ft", 1, 500),
    ("storey_ft", "Storey height, ft", 6, 20),
    ("static_psi", "Static pressure at the meter, psi", 10, 300),
    ("rise_ft", "Highest fixture above the meter, ft", -50, 200),
    ("heating_value", "Heating value of the gas, Btu/cu ft", 500, 3000),
)
CHOICES = (
    ("service_material", "Service pipe", MATERIALS["service_material"]),
    ("water_material", "Water pipe", MATERIALS["water_material"]),
    ("drain_material", "Drain pipe", MATERIALS["drain_material"]),
    ("stud", "Wet walls", tuple(name for name in DEPTHS if len(name) == 3)),
)
YES = (
    ("has_regulator", "A water pressure regulator is drawn"),
    ("frost", "Vents close with frost here"),
)
METHODS = {"longest": "Longest length", "branch": "Branch length"}
DEFAULTS = {field.name: field.default for field in fields(Site)}


def _said(text: str) -> str:
    return in_language(text, reader_language())


def gas_tables() -> list[tuple[str, str]]:
    """Each gas table once, named by what it is printed for."""
    named = {id(table): (name, table) for name, table in gas.tables().items()}
    return [
        (name, f"{name}: {t.material}, {t.inlet}, {t.drop:g} {t.drop_unit}")
        for name, t in named.values()
    ]


class OutlineForm(forms.Form):
    """One version of an outline; a mistake is told with its line."""

    text = forms.CharField(
        label="Outline", max_length=60_000, strip=False, widget=forms.Textarea
    )
    extras = forms.CharField(
        label="Heater, condensate and framing",
        max_length=8_000,
        strip=False,
        required=False,
        widget=forms.Textarea,
    )
    base_version = forms.IntegerField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, label, least, most in NUMBERS:
            self.fields[name] = forms.FloatField(
                label=label, min_value=least, max_value=most, required=False
            )
        for name, label, choices in CHOICES:
            self.fields[name] = forms.ChoiceField(
                label=label, choices=[(c, c) for c in choices], required=False
            )
        self.fields["gas_table"] = forms.ChoiceField(
            label="Gas table", choices=gas_tables(), required=False
        )
        methods = [(code, _said(text)) for code, text in METHODS.items()]
        self.fields["gas_method"] = forms.ChoiceField(
            label="Gas method", choices=methods, required=False
        )
        for name, label in YES:
            self.fields[name] = forms.BooleanField(label=label, required=False)
        for name in ("text", "extras"):
            self.fields[name].widget.attrs.update(
                {"spellcheck": "false", "class": "outline-text", "wrap": "off"}
            )

    def clean_text(self) -> str:
        text = _lines(self.cleaned_data["text"])
        _read(lambda: outline_from(text, False, ""))
        return text

    def clean_extras(self) -> str:
        text = _lines(self.cleaned_data["extras"])
        _read(lambda: parse_extras(text))
        return text

    def site(self) -> dict[str, Any]:
        """Figures that differ from common practice; the rest is not kept."""
        found = {}
        for name, default in DEFAULTS.items():
            value = self.cleaned_data.get(name)
            if name in self.fields and value not in (None, "", default):
                found[name] = value
        return found

    @property
    def figures(self) -> list[forms.BoundField]:
        """The fields of the site, in order."""
        return [self[name] for name in self.fields if name in DEFAULTS]

    @property
    def problems(self) -> list[str]:
        """Mistakes in the texts, each with its place."""
        return [
            error for name in ("text", "extras") for error in self.errors.get(name, ())
        ]


def _lines(text: str) -> str:
    """The text as it is kept: one kind of line end, an end on the last line."""
    return "".join(f"{line.rstrip()}\n" for line in text.splitlines()) if text else ""


def _read(read: Any) -> None:
    try:
        read()
    except OutlineError as error:
        raise forms.ValidationError([str(p) for p in error.problems]) from error


class AcceptForm(forms.Form):
    name = forms.CharField(max_length=120, label="Accepted by, first and last name")


class ReasonForm(forms.Form):
    reason = forms.CharField(max_length=200, label="Why")
