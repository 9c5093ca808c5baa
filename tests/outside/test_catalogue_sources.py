"""The catalogue's citations against the reference tables they name.

Sources: the reference folders `dwv` (rough-in, vents, cleanouts, tests, protection,
supports, condensate, inspections, slopes) and `supply` (gas rules), each row there
with its own published source. A figure resting on memory alone says so.
"""

import csv
import re
from pathlib import Path

import pytest

from phases.catalogue import load_catalogue

REFERENCE = Path(__file__).parents[3] / "shared" / "reference"


def _rows(path):
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


BY_ID = {
    row["id"]: row
    for path in sorted((REFERENCE / "dwv").glob("[0-9]*.csv"))
    for row in _rows(path)
}
GAS = {
    f"gas_rules:{row['topic']}/{row['item']}": row
    for row in _rows(REFERENCE / "supply" / "gas_rules.csv")
}
CITED = re.compile(
    r"(?P<id>[A-Z]{3}-[A-Z0-9/-]*\d{3}|gas_rules:[^;]+?)(?P<mem> \(.*\))?$"
)
CATALOGUE = load_catalogue()


def citations():
    """(where, citation) of every source cell of kinds, facts and demands."""
    for row in CATALOGUE.demands:
        where = f"{' '.join(row.fixtures)} {row.key}.{row.phase}"
        for part in row.source.split(";"):
            yield where, part.strip()
    for kind in CATALOGUE.kinds.values():
        for part in kind.source.split(";"):
            yield kind.code, part.strip()
    for fact in CATALOGUE.facts.values():
        for part in fact.source.split(";"):
            yield fact.name, part.strip()


def test_the_reference_tables_are_there():
    assert len(BY_ID) > 300
    assert len(GAS) > 30


def test_every_source_is_a_reference_row_common_practice_or_memory():
    strange = [
        (where, part)
        for where, part in citations()
        if part not in ("common practice", "from memory")
        and not (
            (match := CITED.match(part))
            and (match["id"] in BY_ID or match["id"] in GAS)
            and match["mem"] in (None, " (from memory)")
        )
    ]

    assert strange == []


def test_a_row_that_the_reference_has_from_memory_says_so():
    silent = [
        (where, part)
        for where, part in citations()
        if (match := CITED.match(part))
        and (BY_ID.get(match["id"]) or GAS.get(match["id"]))["provenance"] == "memory"
        and not match["mem"]
    ]

    assert silent == []


def figures(reference, fixture, key, phase, column):
    """Every figure of one cell, in inches, that cites the reference row."""
    found = {
        getattr(row, column)
        for row in CATALOGUE.demands
        if fixture in row.fixtures
        and (row.key, row.phase) == (key, phase)
        and reference in row.source
    } - {None}
    in_sixteenths = column in ("height", "wall", "side", "clear")
    return {value / 16 if in_sixteenths else value for value in found}


@pytest.mark.parametrize(
    ("reference", "cell"),
    [
        ("RGH-001", ("closet", "drain", "rough", "wall")),
        ("RGH-005", ("closet", "clear", "rough", "clear")),
        ("RGH-010", ("closet", "clear", "rough", "clear")),
        ("RGH-007", ("closet", "front", "trim", "least")),
        ("RGH-012", ("closet", "front", "trim", "least")),
        ("RGH-014", ("closet", "cold", "topout", "height")),
        ("RGH-016", ("closet", "cold", "topout", "side")),
        ("RGH-017", ("lavatory", "drain", "rough", "height")),
        ("RGH-019", ("lavatory", "hot", "topout", "side")),
        ("RGH-023", ("kitchen_sink", "drain", "rough", "height")),
        ("RGH-024", ("kitchen_sink", "hot", "topout", "height")),
        ("RGH-026", ("tub", "drain", "rough", "wall")),
        ("RGH-027", ("tub", "spout", "topout", "height")),
        ("RGH-028", ("tub", "valve", "topout", "height")),
        ("RGH-030", ("shower", "valve", "topout", "height")),
        ("RGH-031", ("shower", "head", "topout", "height")),
        ("RGH-034", ("washer_box", "box", "topout", "height")),
        ("RGH-040", ("ice_maker", "cold", "topout", "height")),
        ("RGH-043", ("hose_bibb", "cold", "topout", "height")),
        ("RGH-046", ("tank_gas", "stand", "trim", "height")),
        ("RGH-050", ("tank_gas", "space", "trim", "least")),
        ("RGH-054", ("tank_gas", "gas_stop", "trim", "most")),
    ],
)
def test_a_figure_lies_in_the_range_of_its_reference_row(reference, cell):
    row = BY_ID[reference]
    # A row cited for the least or the most alone leaves the other end open.
    low = float(row["value_low"] or 0)
    high = float(row["value_high"] or "inf")

    values = figures(reference, *cell)

    assert values
    if cell[3] in ("clear", "least"):
        assert values == {low}
    else:
        assert all(low <= value <= high for value in values)


@pytest.mark.parametrize(
    ("low_id", "high", "cell"),
    [
        ("RGH-036", 42, ("washer_box", "drain", "rough")),
        ("RGH-037", 30, ("washer_box", "drain", "rough", "book=UPC")),
        ("RGH-047", 6, ("tank_gas", "relief_end", "trim")),
        ("RGH-049", 24, ("tank_gas", "pan_end", "trim")),
    ],
)
def test_both_limits_of_a_reading_are_the_reference_rows(low_id, high, cell):
    fixture, key, phase, *when = cell
    rows = [
        row
        for row in CATALOGUE.demands
        if fixture in row.fixtures
        and (row.key, row.phase) == (key, phase)
        and low_id in row.source
        and row.least is not None
    ]

    assert [(row.least, row.most) for row in rows] == [
        (float(BY_ID[low_id]["value_low"]), float(BY_ID[low_id]["value_high"]))
    ]
    assert float(BY_ID[low_id]["value_high"]) == high
    assert [bool(when)] == [
        any(clause.name == "book" for clause in row.when) for row in rows
    ]


@pytest.mark.parametrize(
    ("reference", "cell"),
    [
        ("TST-001", ("systems", "dwv", "topout")),
        ("TST-013", ("systems", "dwv", "underground")),
        ("TST-009", ("building_sewer", "test", "underground")),
        ("TST-014", ("systems", "dwv", "topout")),
        ("TST-025", ("systems", "gas", "topout")),
        ("TST-017", ("systems", "water", "topout")),
        ("TST-019", ("shower", "pan_test", "rough")),
    ],
)
def test_a_test_asks_for_the_published_reading_and_time(reference, cell):
    fixture, key, phase = cell
    published = BY_ID[reference]
    rows = [
        row
        for row in CATALOGUE.demands
        if fixture in row.fixtures
        and (row.key, row.phase) == (key, phase)
        and reference in row.source
    ]
    # Gas: the minutes stand in a row of their own (single-family dwelling).
    minutes = published["duration_min"] or BY_ID["TST-026"]["duration_min"]

    assert [(row.least, row.minutes) for row in rows] == [
        (float(published["value"]), int(minutes))
    ]
