"""Forms of an outline: the text, what it does not draw, the figures of the site."""

from collections.abc import Callable
from dataclasses import fields
from typing import Any

from django import forms

from phases.plan_check import MATERIALS, outline_from
from phases.sizing import gas
from phases.sizing.outline import OutlineError, Problem, show
from phases.sizing.outline.sheet import Line, read_lines
from phases.sizing.outline.site import Site
from phases.sizing.plan.extras_text import parse_extras
from phases.sizing.shields import DEPTHS
from tracker.desk.checks.sheet_form import (
    Table,
    as_json,
    lines_in,
    read_json,
    tables,
)
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
LAYOUTS = {"branches": "A branch a room", "manifold": "Manifolds, a run a fixture"}
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


TABLE, TEXT = "table", "text"


class OutlineForm(forms.Form):
    """One version of an outline, as a table or as text; mistakes have their place.

    `side` says which of the two was written in; the other one is not read.
    """

    side = forms.ChoiceField(
        choices=[(TABLE, TABLE), (TEXT, TEXT)],
        required=False,
        widget=forms.HiddenInput,
    )
    rows = forms.CharField(
        required=False, max_length=400_000, strip=False, widget=forms.HiddenInput
    )
    text = forms.CharField(
        label="Outline",
        max_length=60_000,
        strip=False,
        required=False,
        widget=forms.Textarea,
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
        self.told: list[tuple[str, Problem]] = []
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
        layouts = [(code, _said(text)) for code, text in LAYOUTS.items()]
        self.fields["water_layout"] = forms.ChoiceField(
            label="Water layout of a guess", choices=layouts, required=False
        )
        for name, label in YES:
            self.fields[name] = forms.BooleanField(label=label, required=False)
        for name in ("text", "extras"):
            self.fields[name].widget.attrs.update(
                {"spellcheck": "false", "class": "outline-text", "wrap": "off"}
            )

    def clean_text(self) -> str:
        if self.is_table:
            return ""
        text = _lines(self.cleaned_data["text"])
        self._read("text", lambda: outline_from(text, False, ""))
        return text

    def clean_extras(self) -> str:
        text = _lines(self.cleaned_data["extras"])
        self._read("extras", lambda: parse_extras(text))
        return text

    def clean(self) -> None:
        """The rows of the table become the text that is kept."""
        if not self.is_table or "rows" not in self.cleaned_data:
            return
        text = ""

        def read() -> None:
            nonlocal text
            text = show(read_lines(read_json(self.cleaned_data["rows"])))
            outline_from(text, False, "")

        try:
            self._read("rows", read)
        except forms.ValidationError as error:
            self.add_error("rows", error)
        else:
            self.cleaned_data["text"] = text

    def _read(self, name: str, read: Callable[[], object]) -> None:
        try:
            read()
        except OutlineError as error:
            self.told += [(name, problem) for problem in error.problems]
            raise forms.ValidationError([str(p) for p in error.problems]) from error

    @property
    def is_table(self) -> bool:
        """Whether the table is the side that is written in."""
        if self.is_bound:
            return self.data.get("side") == TABLE
        return self.initial.get("side", TABLE) == TABLE

    @property
    def lines(self) -> tuple[Line, ...]:
        """The rows as they were sent, or of the outline that is kept."""
        if not self.is_bound:
            return lines_in(self.initial.get("text", ""))
        try:
            return read_json(self.data.get("rows", ""))
        except OutlineError:
            return ()

    @property
    def tables(self) -> list[Table]:
        """Every system's rows, with what is wrong in them."""
        return tables(self.lines, [p for name, p in self.told if name == "rows"])

    @property
    def rows_json(self) -> str:
        return as_json(self.lines)

    def turned(self) -> "OutlineForm":
        """The same outline on its other side; itself where it cannot be read."""
        if not self.is_valid():
            return self
        text = self.cleaned_data["text"]
        data = self.data.copy()
        data.update({"text": text, "rows": as_json(lines_in(text))})
        data["side"] = TEXT if self.is_table else TABLE
        other = OutlineForm(data)
        other.is_valid()
        return other

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
    def problems(self) -> list[tuple[str, Problem]]:
        """Mistakes in table and texts: which field, and the place in it."""
        return self.told if self.errors else []


def _lines(text: str) -> str:
    """The text as it is kept: one kind of line end, an end on the last line."""
    return "".join(f"{line.rstrip()}\n" for line in text.splitlines()) if text else ""


class AcceptForm(forms.Form):
    name = forms.CharField(max_length=120, label="Accepted by, first and last name")


class ReasonForm(forms.Form):
    reason = forms.CharField(max_length=200, label="Why")
