"""Forms of a plan's parts and of one row of the catalogue."""

import hashlib
import io
from typing import Any

from django import forms
from PIL import Image, UnidentifiedImageError

from phases.catalogue import Catalogue, format_inches, parse_inches
from phases.catalogue.house import POSITIONS, TILED, WALLS
from tracker.desk.lot.forms import DayInput, said
from tracker.desk.templatetags.desk import named as name_of
from tracker.sites.models import Option, Plan, PlanFixture, Room

MOST_SHEET = 25 * 1024 * 1024


class InchesField(forms.Field):
    """A length as a tape says it (12 1/2); kept in sixteenths of an inch."""

    def prepare_value(self, value: Any) -> Any:
        return format_inches(value).rstrip('"') if isinstance(value, int) else value

    def to_python(self, value: Any) -> int | None:
        text = str(value or "").strip().rstrip('"')
        if not text:
            return None
        try:
            return parse_inches(text)
        except ValueError:
            raise forms.ValidationError(said("Write it like 12 1/2.")) from None


class PlanForm(forms.ModelForm):
    class Meta:
        model = Plan
        fields = ["builder", "code", "name", "storeys", "foundation", "is_active"]

    def __init__(self, *args: Any, catalogue: Catalogue, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        labels = {
            "builder": "Builder",
            "code": "Code",
            "name": "Name",
            "storeys": "Storeys",
            "foundation": "Foundation",
            "is_active": "In use",
        }
        for name, label in labels.items():
            self.fields[name].label = label
        self.fields["storeys"].min_value = 1
        if self.instance.pk:
            del self.fields["builder"]
        es = said("Yes") == "Sí"
        self.fact_names = list(catalogue.facts)
        for name, fact in catalogue.facts.items():
            self.fields[f"fact_{name}"] = forms.ChoiceField(
                label=fact.name_es if es else fact.name_en,
                choices=[(value, said(value)) for value in fact.values],
                initial=self.instance.facts.get(name, fact.values[0]),
            )

    def save(self, commit: bool = True) -> Plan:
        plan = super().save(commit=False)
        plan.facts = plan.facts | {
            name: self.cleaned_data[f"fact_{name}"] for name in self.fact_names
        }
        if commit:
            plan.save()
        return plan


class RoomForm(forms.ModelForm):
    board = InchesField(label="Wall board", required=True)
    backer = InchesField(label="Backer board", required=False)
    tile = InchesField(label="Tile and bed", required=False)
    floor_finish = InchesField(label="Floor finish", required=False)
    stud = InchesField(label="Stud depth", required=True)

    class Meta:
        model = Room
        fields = [
            *("key", "kind", "name_en", "name_es", "floor", "position", "option"),
            *("board", "backer", "tile", "tiled", "floor_finish", "stud"),
            *("stack", "vent"),
        ]

    def __init__(self, plan: Plan, *args: Any, catalogue: Catalogue, **more: Any):
        super().__init__(*args, **more)
        _labels(
            self,
            key="Key",
            name_en="Name in English",
            name_es="Name in Spanish",
            floor="Floor",
            position="Place in the walk",
            option="Only with option",
            tiled="Tiled walls",
            stack="Shared stack",
            vent="Shared vent",
        )
        self.instance.plan = plan
        self.fields["option"].queryset = plan.options.all()
        self.fields["kind"] = forms.ChoiceField(
            label="Kind", choices=_worded(catalogue.room_kinds)
        )
        self.fields["tiled"] = forms.ChoiceField(
            label="Tiled walls", choices=[(one, said(f"tiled.{one}")) for one in TILED]
        )

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        for name in ("backer", "tile", "floor_finish"):
            if name in data:
                data[name] = data[name] or 0
        return data


class FixtureForm(forms.ModelForm):
    along = InchesField(label="Centre line from the side wall", required=False)
    params = forms.CharField(
        label="More",
        required=False,
        max_length=200,
        help_text="As name=value, with blanks between: bowls=2 pan=site.",
    )

    class Meta:
        model = PlanFixture
        fields = [
            *("room", "key", "kind", "quantity", "place", "wall", "hand"),
            *("along", "along_from", "beside", "option", "position"),
        ]

    def __init__(self, plan: Plan, *args: Any, catalogue: Catalogue, **more: Any):
        super().__init__(*args, **more)
        _labels(
            self,
            room="Room",
            key="Key",
            quantity="How many",
            beside="Works with",
            option="Only with option",
            position="Place in the walk",
        )
        self.instance.plan = plan
        self.catalogue = catalogue
        self.fields["room"].queryset = plan.rooms.all()
        self.fields["room"].empty_label = None
        self.fields["room"].label_from_instance = name_of
        self.fields["option"].queryset = plan.options.all()
        self.fields["kind"] = forms.ChoiceField(
            label="Fixture", choices=_worded(catalogue.kinds)
        )
        sides = ("left", "right")
        for name, label, codes in (
            ("place", "Place", POSITIONS),
            ("wall", "Wall", WALLS),
            ("hand", "Working end", ("", *sides)),
            ("along_from", "Counted from", sides),
        ):
            self.fields[name] = forms.ChoiceField(
                label=label,
                required="" not in codes,
                choices=[(one, said(f"at.{one}") if one else "–") for one in codes],
            )
        self.initial["params"] = " ".join(
            f"{name}={value}" for name, value in self.instance.params.items()
        )

    def clean_params(self) -> dict[str, str]:
        """Only what the catalogue knows of this kind, with a value it allows."""
        params: dict[str, str] = {}
        kind = self.catalogue.kinds.get(self.data.get("kind", ""))
        known = kind.params if kind else {}
        for word in self.cleaned_data["params"].split():
            name, _, value = word.partition("=")
            if value not in known.get(name, ()):
                allowed = ", ".join(f"{n}={'|'.join(v)}" for n, v in known.items())
                text = said("{word} is not known here. Choose from: {allowed}.")
                raise forms.ValidationError(
                    text.format(word=word, allowed=allowed or "–")
                )
            params[name] = value
        return params

    def save(self, commit: bool = True) -> PlanFixture:
        self.instance.params = self.cleaned_data["params"]
        return super().save(commit=commit)


class OptionForm(forms.ModelForm):
    class Meta:
        model = Option
        fields = ["code", "name", "removes"]

    def __init__(self, plan: Plan, *args: Any, **more: Any) -> None:
        more.pop("catalogue", None)
        super().__init__(*args, **more)
        _labels(self, code="Code", name="Name", removes="Takes away")
        self.instance.plan = plan
        fixtures = plan.fixtures.filter(option=None).select_related("room")
        self.fields["removes"].queryset = fixtures
        self.fields["removes"].label_from_instance = lambda one: (
            f"{one.room}: {one.key}"
        )


class SheetForm(forms.Form):
    title = forms.CharField(label="Title", max_length=120)
    dated = forms.DateField(label="Dated", widget=DayInput)
    option = forms.ModelChoiceField(
        Option.objects.none(), label="Only with option", required=False
    )
    file = forms.FileField(label="PDF or picture")

    def __init__(self, plan: Plan, *args: Any, **more: Any) -> None:
        # It stands on one page with the form of a part, which has such fields too.
        super().__init__(*args, auto_id="sheet-%s", **more)
        self.fields["option"].queryset = plan.options.all()

    def clean_file(self) -> dict[str, Any]:
        """The bytes, what they really are, and their hash."""
        file = self.cleaned_data["file"]
        if file.size > MOST_SHEET:
            raise forms.ValidationError(said("The file is larger than 25 MB."))
        data = file.read()
        content_type = "application/pdf"
        if not data.startswith(b"%PDF-"):
            content_type = _picture_type(data)
        return {
            "data": data,
            "content_type": content_type,
            "sha256": hashlib.sha256(data).hexdigest(),
            "name": file.name[-80:],
        }


def _picture_type(data: bytes) -> str:
    try:
        with Image.open(io.BytesIO(data)) as picture:
            picture.verify()
            kind = picture.format
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError):
        kind = None
    if kind not in ("PNG", "JPEG"):
        raise forms.ValidationError(said("Only a PDF, PNG or JPEG can be a sheet."))
    return f"image/{kind.lower()}"


def _labels(form: forms.ModelForm, **labels: str) -> None:
    for name, label in labels.items():
        if name in form.fields:
            form.fields[name].label = label


def _worded(rows: Any) -> list[tuple[str, str]]:
    """Codes with their names, sorted by name."""
    es = said("Yes") == "Sí"
    named = [
        (code, (row.es if es else row.en) if hasattr(row, "en") else _name(row, es))
        for code, row in rows.items()
    ]
    return sorted(named, key=lambda pair: pair[1].casefold())


def _name(row: Any, es: bool) -> str:
    return row.name_es if es else row.name_en
