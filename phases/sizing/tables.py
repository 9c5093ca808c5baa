"""The reference tables as cells: value, unit, book, edition, section, provenance."""

import csv
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from .said import say

DATA = Path(__file__).parent / "data"
CODES = ("IPC", "IRC", "UPC")
_CONFIDENCE = {"high": 0, "medium": 1, "low": 2}
# Editions the notes of the rows give, where the edition column says less.
_SPANS: dict[str, tuple[int, int]] = {
    "DFU-IRC-040": (2012, 9999),
    "PRO-003": (0, 2012),
    "PRO-013": (2000, 9999),
}

Row = Mapping[str, str]


class Absent(LookupError):
    """The reference tables do not hold what is asked; the message says which cell."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One figure of a table. `value` is the text as printed there."""

    id: str
    code: str
    edition: str
    table: str
    item: str
    value: str
    unit: str
    provenance: str
    note: str = ""

    @property
    def number(self) -> float:
        """The value as a number; raises Absent where the table has words."""
        try:
            return float(self.value)
        except ValueError:
            raise Absent(
                say("not_a_number", label=self.label, value=self.value)
            ) from None

    @property
    def origin(self) -> str:
        """published, memory, computed or local (an amendment)."""
        return origin(self.provenance)

    @property
    def label(self) -> str:
        """Book, edition and section, for people."""
        return " ".join(filter(None, (self.code, self.edition, self.table)))


@dataclass(frozen=True, slots=True)
class Override:
    """A local amendment: a cell's value as the jurisdiction sets it.

    cell    id of the cell or the name of a setting (see `settings`)
    value   the local figure, in the unit of the cell
    note    who set it and where it stands, shown with every result
    """

    cell: str
    value: str
    note: str

    def __post_init__(self) -> None:
        if not self.note.strip():
            raise ValueError(
                f"Override of {self.cell}: say where the local rule stands"
            )


@dataclass(frozen=True, slots=True)
class Book:
    """A code book and edition, with the local amendments of a jurisdiction."""

    code: str
    edition: int = 2021
    overrides: tuple[Override, ...] = ()

    def __post_init__(self) -> None:
        if self.code not in CODES:
            raise ValueError(f"Code book {self.code!r}: choose {', '.join(CODES)}")
        if not 1980 <= self.edition <= 2100:
            raise ValueError(f"Edition {self.edition} is no year of a code book")

    @property
    def title(self) -> str:
        """Name for people: `IRC 2021`, with `amended` where overrides exist."""
        return f"{self.code} {self.edition}" + (", amended" if self.overrides else "")

    def amended(self, cell: Cell) -> Cell:
        """The cell, with the local value where an override names it."""
        for override in self.overrides:
            if override.cell == cell.id:
                return replace(
                    cell, value=override.value, provenance=f"local: {override.note}"
                )
        return cell

    def local(self, override: Override, unit: str) -> Cell:
        """A setting as a cell that names the local rule."""
        return Cell(
            override.cell, "local", "", override.note, override.cell, override.value,
            unit, f"local: {override.note}",
        )  # fmt: skip

    def setting(self, name: str) -> Override | None:
        """The override of a setting that the model code leaves open, if any."""
        for override in self.overrides:
            if override.cell == name:
                return override
        return None


def origin(provenance: str) -> str:
    """Word for a provenance text: published, memory, computed or local."""
    text = provenance.strip().lower()
    if text.startswith("local:"):
        return "local"
    if text.startswith("memory"):
        return "memory"
    if text.startswith(("computed", "common practice")):
        return "computed"
    return "published"


@cache
def rows(name: str) -> tuple[Row, ...]:
    """All rows of a data file such as `dwv/04_trap_arm`."""
    with (DATA / f"{name}.csv").open(newline="", encoding="utf-8") as file:
        return tuple(csv.DictReader(file))


@cache
def codes_of(text: str) -> frozenset[str]:
    """Books a code column names: `IPC/IRC` gives both, `all` gives every one."""
    if text.strip() == "all":
        return frozenset(CODES)
    return frozenset(part.strip() for part in text.split("/"))


@cache
def edition_span(text: str) -> tuple[int, int] | None:
    """First and last year an edition column covers, or None where it names no year."""
    years = [int(year) for year in re.findall(r"\b(?:19|20)\d\d\b", text)]
    if not years:
        return None
    if "and earlier" in text:
        return (0, max(years))
    if "before" in text:
        return (0, min(years) - 1)
    if "and later" in text:
        return (min(years), 9999)
    return (min(years), max(years))


def _rank(row: Row, edition: int) -> tuple[int, int]:
    """How well a row fits an edition: years apart, then confidence."""
    span = _SPANS.get(row.get("id", "")) or edition_span(row["edition"])
    if span is None:
        return (1000, _CONFIDENCE[row["confidence"]])
    apart = max(span[0] - edition, edition - span[1], 0)
    return (apart, _CONFIDENCE[row["confidence"]])


@cache
def best(
    name: str, code: str, edition: int, match: tuple[tuple[str, str], ...]
) -> Row | None:
    """The row of a file that fits code, edition and column values best, or None."""
    found = [
        row
        for row in rows(name)
        if code in codes_of(row["code"])
        and all(row[column] == value for column, value in match)
    ]
    return min(found, key=lambda row: _rank(row, edition)) if found else None


@cache
def lookup(
    name: str,
    book: Book,
    column: str,
    provenance: str,
    match: tuple[tuple[str, str], ...],
) -> Cell | None:
    """One cell of a file for a book, with local amendments applied, or None."""
    row = best(name, book.code, book.edition, match)
    if row is None or not row[column].strip():
        return None
    item = " ".join(value for _, value in match if value)
    key = row.get("id") or f"{name.split('/')[1]}/{row['code']}/{item}"
    cell = Cell(
        id=key if column != "min_trap_in" else f"{key}:trap",
        code=row["code"],
        edition=row["edition"],
        table=row.get("trap_section") or row["table_section"]
        if column == "min_trap_in"
        else row["table_section"],
        item=item,
        value=row[column],
        unit=row["unit"] if column != "min_trap_in" else "in",
        provenance=row[provenance],
        note=row["note"],
    )
    return book.amended(cell)


def find(
    name: str,
    book: Book,
    *,
    column: str = "value",
    provenance: str = "provenance",
    **match: str,
) -> Cell | None:
    """One cell of a file such as `dwv/04_trap_arm` by column values, or None."""
    return lookup(name, book, column, provenance, tuple(sorted(match.items())))


def need(name: str, book: Book, *, column: str = "value", **match: str) -> Cell:
    """As `find`, but raises Absent that says which cell the reference lacks."""
    cell = find(name, book, column=column, **match)
    if cell is None:
        what = ", ".join(f"{key} {value}" for key, value in match.items() if value)
        raise Absent(say("no_row", book=book.code, what=what))
    return cell


def practice(item: str, value: float, unit: str, note: str) -> Cell:
    """A figure of the trade that no code table here states."""
    return Cell(
        id=f"practice/{item}", code="practice", edition="", table="",
        item=item, value=f"{value:g}", unit=unit,
        provenance="common practice", note=note,
    )  # fmt: skip
