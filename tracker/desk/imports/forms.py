"""Forms of the import pages: which list, what its columns mean, which lots start."""

from typing import Any

from django import forms

from tracker.desk.imports.looking import Looked
from tracker.desk.templatetags.desk import w
from tracker.sites.lotlist.grid import letter
from tracker.sites.lotlist.guard import MOST_BYTES
from tracker.sites.models import Builder, LotImport, Subdivision

FIELD_NAMES = {
    "": "(not used)",
    "lot": "lot",
    "block": "block",
    "lot_block": "lot and block, lot first",
    "block_lot": "block and lot, block first",
    "unit": "unit, townhouse",
    "subdivision": "subdivision",
    "phase": "phase of the subdivision",
    "address": "address",
    "house_number": "house number",
    "street_direction": "street direction",
    "street": "street",
    "street_suffix": "street type",
    "description": "description with lot and subdivision",
    "permit": "permit number",
    "issued": "permit date",
    "parcel": "parcel",
    "dwellings": "number of dwellings",
    "kind": "kind of building",
    "construction": "kind of work",
    "work": "remark on the work",
    "plan": "plan",
    "elevation": "elevation",
    "options": "options",
    "mirrored": "mirrored or not",
    "foundation": "foundation",
    "start": "start date",
    "closing": "closing date",
    "gate_code": "gate code",
    "superintendent": "superintendent",
}


class UploadForm(forms.Form):
    builder = forms.ModelChoiceField(
        Builder.objects.all(), required=False, empty_label="—", label="Builder"
    )
    new_builder = forms.CharField(
        max_length=120, required=False, label="or a new builder"
    )
    file = forms.FileField(
        label="Lot list",
        help_text="CSV or XLSX. Nothing is changed before you have looked at it.",
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,.tsv,.xlsx,.xlsm"}),
    )

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if not data.get("builder") and not (data.get("new_builder") or "").strip():
            self.add_error("builder", w("Choose the builder whose list it is."))
        file = data.get("file")
        if file is not None and file.size > MOST_BYTES:
            self.add_error("file", w("A lot list may have up to 25 MB."))
        return data

    def chosen_builder(self) -> Builder:
        """The builder chosen, or the new one by its name (saved)."""
        if self.cleaned_data["builder"]:
            return self.cleaned_data["builder"]
        name = " ".join(self.cleaned_data["new_builder"].split())
        return Builder.objects.get_or_create(name=name)[0]


class DecisionForm(forms.Form):
    """A person's word on a list: columns, spellings, rows without a subdivision."""

    remember = forms.BooleanField(
        required=False, initial=True, label="Remember these columns for the builder"
    )

    def __init__(
        self, *args: Any, lot_import: LotImport, looked: Looked, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.looked = looked
        self._add_sheet(lot_import)
        self._add_columns()
        self._add_joins(lot_import)
        self._add_people()
        self.fields["otherwise"] = forms.CharField(
            max_length=160,
            required=False,
            initial=lot_import.otherwise,
            label="Rows without a subdivision belong to",
            widget=forms.TextInput(attrs={"list": "streets", "autocomplete": "off"}),
        )

    def _add_sheet(self, lot_import: LotImport) -> None:
        sheets = self.looked.listing.sheets
        if len(sheets) > 1:
            self.fields["sheet"] = forms.ChoiceField(
                choices=[(name, name) for name in sheets],
                initial=lot_import.sheet or self.looked.listing.sheet,
                label="Sheet",
            )

    def _add_columns(self) -> None:
        listing = self.looked.listing
        used = {header: field for field, header in listing.columns.items()}
        every = listing.every_column
        self.columns: dict[str, str] = {}
        for place, header in enumerate(every):
            name = header if every.count(header) == 1 else letter(place)
            key = f"column-{place}"
            self.columns[key] = name
            self.fields[key] = forms.ChoiceField(
                choices=[(field, w(text)) for field, text in FIELD_NAMES.items()],
                required=False,
                initial=used.get(header, ""),
                # In quotes: the words of the file, which are not translated.
                label=f"“{header}”",
            )

    def _add_joins(self, lot_import: LotImport) -> None:
        streets = Subdivision.objects.filter(builder=lot_import.builder)
        names = [*streets.values_list("name", flat=True), *self.looked.unknown]
        self.streets = list(dict.fromkeys(names))
        self.joins: dict[str, str] = {}
        spellings = dict.fromkeys([*lot_import.joins, *self.looked.unknown])
        for place, spelling in enumerate(spellings):
            key = f"join-{place}"
            self.joins[key] = spelling
            others = [name for name in self.streets if name != spelling]
            self.fields[key] = forms.ChoiceField(
                choices=[("", w("(a subdivision of its own)"))]
                + [(name, name) for name in others],
                required=False,
                initial=lot_import.joins.get(spelling, ""),
                label=spelling,
            )

    def _add_people(self) -> None:
        self.people: dict[str, str] = {}
        for place, name in enumerate(self.looked.strangers):
            key = f"person-{place}"
            self.people[key] = name
            self.fields[key] = forms.BooleanField(required=False, label=name)

    def people_fields(self) -> list[forms.BoundField]:
        return [self[key] for key in self.people]

    def column_fields(self) -> list[forms.BoundField]:
        return [self[key] for key in self.columns]

    def join_fields(self) -> list[tuple[forms.BoundField, str, str]]:
        """Each new spelling, the name proposed for it and why; proposed ones first."""
        proposed = {p["spelling"]: (p["like"], p["why"]) for p in self.looked.spellings}
        rows = [
            (self[key], *proposed.get(spelling, ("", "")))
            for key, spelling in self.joins.items()
        ]
        return sorted(rows, key=lambda row: not row[1])

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        chosen: dict[str, str] = {}
        for key in self.columns:
            field = data.get(key)
            if field and field in chosen:
                first = self.fields[chosen[field]].label
                self.add_error(
                    key,
                    w(
                        "{field} is already taken from {column}.",
                        field=w(FIELD_NAMES[field]),
                        column=first,
                    ),
                )
            elif field:
                chosen[field] = key
        return data

    def words(self) -> dict[str, Any]:
        """What `decide` needs."""
        data = self.cleaned_data
        return {
            "sheet": data.get("sheet", ""),
            "mapping": {
                name: data.get(key) or "-" for key, name in self.columns.items()
            },
            "joins": {
                spelling: data[key]
                for key, spelling in self.joins.items()
                if data.get(key)
            },
            "otherwise": data["otherwise"],
            "remember": data["remember"],
            "people": [name for key, name in self.people.items() if data.get(key)],
        }
