"""Read the catalogue's tables from data files or rows, and refuse what is wrong."""

import csv
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TypeVar

from phases.catalogue.cells import SCHEMA, Row
from phases.catalogue.conditions import Clause, why_not_condition
from phases.catalogue.demand import PHASES
from phases.catalogue.tables import (
    DemandRow,
    Fact,
    FixtureKind,
    Term,
    Words,
    words_from_row,
)

T = TypeVar("T")
DATA = Path(__file__).parent / "data"
# What a text may name in braces; the list fills it in.
PLACES = frozenset(["n", "wall", "size", "room", "beside", "hand", "count"])
NEEDS_EACH = {
    "n": ("bowl",),
    "wall": ("wall",),
    "room": ("stack", "vent"),
    "count": ("",),
}
_PLACE = re.compile(r"\{(\w*)\}")


class CatalogueError(ValueError):
    """A catalogue row cannot be used; the message names table, row and cell."""


@dataclass(frozen=True)
class Catalogue:
    """Everything the stub-out list is made from; one version of the owner's tables."""

    kinds: Mapping[str, FixtureKind]
    demands: tuple[DemandRow, ...]
    facts: Mapping[str, Fact]
    room_kinds: Mapping[str, Words]
    strings: Mapping[str, Words]
    glossary: tuple[Term, ...]
    rows_of: Mapping[str, tuple[DemandRow, ...]]
    phases: tuple[str, ...]

    @classmethod
    def from_rows(
        cls,
        tables: Mapping[str, Iterable[Row]],
        *,
        phases: tuple[str, ...] = PHASES,
    ) -> "Catalogue":
        """Build from rows of text by the columns of SCHEMA, one list a table.

        `phases` are the codes of the contractor's own phases, in order.
        Raises CatalogueError for a missing table, a bad cell or a dangling code.
        """
        if missing := [name for name in SCHEMA if name not in tables]:
            raise CatalogueError(f"The catalogue lacks: {', '.join(missing)}.")
        kinds = _read(tables, "fixture_kinds", FixtureKind.from_row)
        demands = _read(tables, "demands", DemandRow.from_row)
        facts = _read(tables, "facts", Fact.from_row)
        room_kinds = _read(
            tables, "room_kinds", lambda row: words_from_row(row, prefix="name")
        )
        strings = _read(
            tables, "strings", lambda row: words_from_row(row, prefix="text")
        )
        made = cls(
            kinds=_by([(kind.code, kind) for kind in kinds], table="fixture_kinds"),
            demands=tuple(demands),
            facts=_by([(fact.name, fact) for fact in facts], table="facts"),
            room_kinds=_by([(w.code, w) for w in room_kinds], table="room_kinds"),
            strings=_by([(w.code, w) for w in strings], table="strings"),
            glossary=tuple(_read(tables, "glossary", Term.from_row)),
            rows_of=_rows_of(demands),
            phases=phases,
        )
        for row in made.demands:
            _check_demand(row, catalogue=made)
        for kind in made.kinds.values():
            where = f"fixture_kinds {kind.code}"
            _check_clauses(kind.implied_when, {}, catalogue=made, where=where)
        return made


def _rows_of(demands: Iterable[DemandRow]) -> dict[str, tuple[DemandRow, ...]]:
    found: dict[str, list[DemandRow]] = {}
    for row in demands:
        for fixture in row.fixtures:
            found.setdefault(fixture, []).append(row)
    return {fixture: tuple(rows) for fixture, rows in found.items()}


def _read(
    tables: Mapping[str, Iterable[Row]], table: str, read: Callable[[Row], T]
) -> list[T]:
    made = []
    for line, row in enumerate(tables[table], start=1):
        name = row.get("code") or row.get("name") or row.get("fixture", "")
        where = " ".join(part for part in (name, row.get("key", "")) if part)
        if strange := sorted(set(row) - set(SCHEMA[table])):
            raise CatalogueError(
                f"{table} row {line} ({where}): no such columns: "
                f"{', '.join(map(str, strange))}."
            )
        try:
            made.append(read(row))
        except ValueError as error:
            raise CatalogueError(f"{table} row {line} ({where}): {error}") from None
    return made


def _by(pairs: Iterable[tuple[str, T]], *, table: str) -> dict[str, T]:
    found: dict[str, T] = {}
    for code, thing in pairs:
        if code in found:
            raise CatalogueError(f"{table}: {code} stands twice. Keep one row.")
        found[code] = thing
    return found


def _check_demand(row: DemandRow, *, catalogue: Catalogue) -> None:
    where = f"demands {' '.join(row.fixtures)} {row.key}.{row.phase}"
    params: dict[str, tuple[str, ...]] = {}
    if row.phase not in catalogue.phases:
        raise CatalogueError(
            f"{where}: there is no phase {row.phase!r}; "
            f"they are {', '.join(catalogue.phases)}."
        )
    for fixture in row.fixtures:
        if fixture not in catalogue.kinds:
            raise CatalogueError(f"{where}: there is no fixture kind {fixture!r}.")
        params |= catalogue.kinds[fixture].params
    _check_clauses(row.when, params, catalogue=catalogue, where=where)
    places = [set(_PLACE.findall(text)) for text in (row.text_en, row.text_es)]
    if places[0] != places[1] or places[0] - PLACES:
        raise CatalogueError(
            f"{where}: both texts need the same places in braces, out of "
            f"{', '.join(sorted(PLACES))}."
        )
    for place in sorted(places[0] & set(NEEDS_EACH)):
        if row.each not in NEEDS_EACH[place]:
            wanted = " or ".join(each or "(blank)" for each in NEEDS_EACH[place])
            raise CatalogueError(f"{where}: {{{place}}} needs each {wanted}.")
    for reference in (row.height_from, row.wall_from):
        if reference and reference not in catalogue.strings:
            raise CatalogueError(f"{where}: strings has no words for {reference!r}.")


def _check_clauses(
    clauses: Iterable[Clause],
    params: dict[str, tuple[str, ...]],
    *,
    catalogue: Catalogue,
    where: str,
) -> None:
    facts = {name: fact.values for name, fact in catalogue.facts.items()}
    for clause in clauses:
        reason = why_not_condition(
            clause, facts=facts, params=params, kinds=frozenset(catalogue.kinds)
        )
        if reason:
            raise CatalogueError(f"{where}: when: {reason}")


def read_csv(path: Path) -> list[Row]:
    """Read one data file. Raises CatalogueError when a line has too many cells."""
    with path.open(encoding="utf-8", newline="") as file:
        rows: list[Row] = list(csv.DictReader(file, restval=""))
    for line, row in enumerate(rows, start=2):
        if None in row:
            raise CatalogueError(f"{path.name} line {line} has too many cells.")
    return rows


def read_tables(folder: Path = DATA) -> dict[str, list[Row]]:
    """Read a folder of data files: TABLE.csv, or all of TABLE/*.csv by name."""
    tables = {}
    for table in SCHEMA:
        files = sorted((folder / table).glob("*.csv")) or [folder / f"{table}.csv"]
        if missing := [file for file in files if not file.is_file()]:
            raise CatalogueError(f"The catalogue file {missing[0].name} is missing.")
        tables[table] = [row for file in files for row in read_csv(file)]
    return tables


@cache
def load_catalogue(folder: Path = DATA) -> Catalogue:
    """The catalogue of a folder of data files; read once."""
    return Catalogue.from_rows(read_tables(folder))
