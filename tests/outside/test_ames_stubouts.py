"""400 real houses of Ames, Iowa, as plans: every one has a list and the lists add up.

Source: Dean De Cock, Journal of Statistics Education 19(3), 2011, as sampled in the
reference folder `houses/`. The count is independent: ames_count.py reads the columns
and imports nothing of the project.
"""

import ast
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

from phases.catalogue import (
    Catalogue,
    Demand,
    load_catalogue,
    read_tables,
    stub_out_list,
)
from tests.outside import ames_count
from tests.outside.ames_plans import house_of

HOUSES = ames_count.rows()
BATHING = ("tub", "tub_shower", "shower", "soaking_tub")
LAVATORIES = ("lavatory", "lavatory_double")


def totals(demands: Iterable[Demand]) -> dict[str, int]:
    """The same totals as ames_count, read off a stub-out list."""
    found: Counter[str] = Counter()
    for demand in demands:
        own = demand.key.rsplit("/", 1)[1]
        if demand.kind == "closet" and own == "set.trim":
            found["closets"] += 1
        if demand.kind in LAVATORIES and own.startswith("set.trim."):
            found["bowls"] += 1
        if demand.kind in BATHING and own == "set.trim":
            found["tubs_and_showers"] += 1
        if demand.phase == "topout" and demand.outlet in ("hot", "cold"):
            found[demand.outlet] += demand.quantity
        if own.startswith("through_roof."):
            found["roof_penetrations"] += demand.quantity
        if own.startswith("flashing_"):
            found[f"flashings{own.removeprefix('flashing').split('.')[0]}"] += (
                demand.quantity
            )
    return dict(found)


def off(catalogue: Catalogue) -> Iterator[str]:
    """The houses (by order number) whose list and columns disagree."""
    for row in HOUSES:
        expected = {name: n for name, n in ames_count.count(row).items() if n}
        if totals(stub_out_list(house_of(row), catalogue)) != expected:
            yield row["Order"]


def test_the_sample_has_its_400_houses():
    assert len(HOUSES) == 400


def test_the_count_from_the_columns_imports_nothing_of_the_project():
    tree = ast.parse(Path(ames_count.__file__).read_text(encoding="utf-8"))

    imported = {
        alias.name.split(".")[0]
        for node in ast.walk(tree)
        if isinstance(node, ast.Import)
        for alias in node.names
    } | {
        (node.module or "").split(".")[0]
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom)
    }

    assert imported == {"csv", "pathlib"}


def test_every_house_has_a_list_without_a_marker():
    catalogue = load_catalogue()

    bare = [
        row["Order"]
        for row in HOUSES
        if not (found := stub_out_list(house_of(row), catalogue))
        or any(demand.proof == "no_list" for demand in found)
    ]

    assert bare == []


def test_the_lists_add_up_to_the_columns_house_by_house():
    assert list(off(load_catalogue())) == []


CHANGES = [
    ("closet", "set", "trim", {"phase": "rough"}),
    ("kitchen_sink bar_sink", "hot2", "topout", {"count": "2"}),
    ("lavatory lavatory_double", "cold", "topout", {"outlet": "hot"}),
    ("ice_maker", "cold", "topout", {"when": "fact.fuel=none"}),
    ("hose_bibb", "cold", "topout", {"count": "2"}),
    ("roof_vent", "through_roof", "topout", {"each": "stack"}),
    ("roof_vent", "flashing_2", "topout", {"count": "roof_vents_3"}),
]


@pytest.mark.parametrize(("fixture", "key", "phase", "change"), CHANGES)
def test_a_changed_catalogue_row_is_caught_by_the_count(fixture, key, phase, change):
    tables = read_tables()
    hits = [
        row
        for row in tables["demands"]
        if (row["fixture"], row["key"], row["phase"]) == (fixture, key, phase)
    ]
    tables["demands"] = [
        {**row, **change} if row in hits else row for row in tables["demands"]
    ]

    wrong = next(off(Catalogue.from_rows(tables)), None)

    assert hits
    assert wrong


def test_a_changed_vent_size_of_a_kind_is_caught_by_the_count():
    tables = read_tables()
    tables["fixture_kinds"] = [
        {**row, "vent_size": "1 1/2"} if row["code"] == "closet" else row
        for row in tables["fixture_kinds"]
    ]

    assert next(off(Catalogue.from_rows(tables)), None)
