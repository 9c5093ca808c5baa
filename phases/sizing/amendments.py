"""Which book is in force on a permit's date, and what a jurisdiction may override."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from .said import say
from .tables import Book, Override, codes_of, rows

# Settings that a model code leaves open; an override sets them by these names.
SETTINGS = {
    "closets_on_3_in_branch": "most water closets on a 3 in. horizontal branch",
    "closets_on_3_in_building_drain": "most water closets on a 3 in. building drain",
    "closets_on_3_in_stack": "most water closets on a 3 in. stack",
    "cleanout_total_turn": "degrees of turns in all that ask a cleanout (not each)",
    "underground_branch": "least size of a branch below the lowest floor, in.",
    "sewer_slope_4_in": "least slope of a 4 in. building sewer, in./ft",
    "sewer_slope_6_in": "least slope of a 6 in. building sewer, in./ft",
    "slope_1_8_approved": "UPC: 1/8 in. a foot approved for 4 in. and larger",
}
_VALUES = {
    "dwv/01_fixture_units_traps": "dfu",
    "dwv/02_drain_capacity": "max_dfu",
    "dwv/03_min_slope": "min_slope_in_per_ft",
    "dwv/04_trap_arm": "value",
    "dwv/05_vents": "value",
    "dwv/06_cleanouts": "value",
    "dwv/07_tests": "value",
    "dwv/08_protection_framing": "value",
    "dwv/09_supports": "horizontal_max",
    "dwv/10_rough_in": "value_low",
}

# Columns that say which cell it is, in the order they are read.
_NAMING = (
    "dimension", "element", "item", "test", "material", "pipe_size_in",
    "trap_arm_size_in", "slope_in_per_ft", "condition",
)  # fmt: skip


class NoBook(LookupError):
    """No code book is known to be in force on that day."""


@dataclass(frozen=True, slots=True)
class Adoption:
    """A jurisdiction's book and edition, in force from a day on."""

    code: str
    edition: int
    effective: date


def book_in_force(
    adoptions: Iterable[Adoption], *, on: date, overrides: Iterable[Override] = ()
) -> Book:
    """The book of the last adoption in force on the permit's date.

    Raises NoBook where none is: sizes are then not checked.
    """
    passed = [adoption for adoption in adoptions if adoption.effective <= on]
    if not passed:
        raise NoBook(say("no_book_on", day=on.isoformat()))
    last = max(passed, key=lambda adoption: adoption.effective)
    return Book(last.code, last.edition, tuple(overrides))


@dataclass(frozen=True, slots=True)
class Choice:
    """A cell that an override may name: id, section, what it says, its value."""

    cell: str
    table: str
    item: str
    value: str
    unit: str


def overridable(code: str) -> tuple[Choice, ...]:
    """Every cell of a book by its id, for the office to pick from, then settings."""
    found: list[Choice] = []
    for name, column in _VALUES.items():
        for row in rows(name):
            if code not in codes_of(row["code"]) or not row[column]:
                continue
            words = [
                row.get("fixture_key") or row.get("fixture", ""),
                *(row.get(key, "") for key in _NAMING),
            ]
            found.append(
                Choice(
                    row["id"], f"{row['code']} {row['edition']} {row['table_section']}",
                    " ".join(filter(None, words)), row[column], row["unit"],
                )
            )  # fmt: skip
    found += [Choice(name, "local setting", text, "", "") for name, text in
              SETTINGS.items()]  # fmt: skip
    return tuple(found)


def why_not_override(override: Override, *, code: str) -> str | None:
    """Why an override cannot be kept, or None."""
    known = {choice.cell: choice for choice in overridable(code)}
    choice = known.get(override.cell.removesuffix(":trap"))
    if choice is None:
        return f"{code} has no cell or setting {override.cell!r}."
    if not override.value.strip():
        return "Give the local value."
    if choice.value.replace(".", "", 1).isdigit() or override.cell in SETTINGS:
        try:
            number = float(override.value)
        except ValueError:
            return f"{override.cell} is a number; {override.value!r} is none."
        if not 0 <= number < 1e6:
            return f"{override.cell}: {override.value} is out of range."
    return None


def published_amendments(place: str, *, code: str) -> tuple[Override, ...]:
    """Overrides for a place of `local_amendments.csv`, where it sets a figure we use.

    A start for the office, each with its source; empty where the place is not held or
    its rule is no figure of a cell (see `amendment_cells.csv`).
    """
    sources = {
        (row["place"], row["topic"]): row["provenance"]
        for row in rows("dwv/local_amendments")
    }
    return tuple(
        Override(
            row["cell"], row["value"],
            f"{place}, {row['topic']}: {sources[row['place'], row['topic']]}",
        )
        for row in rows("amendment_cells")
        if (row["place"], row["book"]) == (place, code)
        and not row["cell"].startswith("test.")
    )  # fmt: skip


def jurisdiction_rows(place: str, *, code: str) -> list[dict[str, str]]:
    """What the office keeps for a place: cells, test rules, and notes with a reason.

    Each row of `local_amendments.csv` comes as a cell with its value, or as a note that
    says why no figure of ours holds it.
    """
    found: list[dict[str, str]] = []
    for row in rows("dwv/local_amendments"):
        if row["place"] != place:
            continue
        note = f"{place}, {row['topic']}: {row['local_rule']} ({row['provenance']})"
        key = (place, row["topic"])
        found += [
            {"book": code, "cell": cell["cell"], "value": cell["value"], "note": note}
            for cell in rows("amendment_cells")
            if (cell["place"], cell["topic"], cell["book"]) == (*key, code)
        ]
        found += [
            {"note": note, "reason": why["reason"]}
            for why in rows("amendment_notes")
            if (why["place"], why["topic"]) == key
        ]
    return found
