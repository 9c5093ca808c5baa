"""A city's own workbook, read as it came.

Source: City of Missoula, Montana, Development Services, "New Construction Report" for
permits issued in 2014, as kept in the agency's public repository
MSLADevServGIS/building_permits (commit 951507b). The figures of the first two tests
stand in the description that came with the file; the file is not part of this project
and a checkout without it beside fails here.
"""

import re
from functools import cache
from pathlib import Path

import pytest
from openpyxl import load_workbook

from tracker.sites.lotlist import LotList, LotRow, as_json, counts_of, read_file

HOUSES = Path(__file__).resolve().parents[3] / "shared" / "reference" / "houses"
WORKBOOK = HOUSES / "missoula_new_construction_2014.xlsx"


@cache
def listing() -> LotList:
    return read_file(WORKBOOK)


@cache
def descriptions() -> dict[int, str]:
    """Row -> description, straight from the cells."""
    page = load_workbook(WORKBOOK, data_only=True).active
    return {r: str(page.cell(r, 10).value or "").strip() for r in range(6, 316)}


def row(number: int) -> LotRow:
    return listing().rows[number - 6]


def test_every_row_of_the_report_is_there_once_and_in_order():
    found = listing()

    assert found.header_row == 5
    assert [r.row for r in found.rows] == list(range(6, 316))
    assert sum(counts_of(found.rows).values()) == 310
    assert counts_of(found.rows)["bad"] == 0


def test_columns_are_recognised_by_the_headers_of_the_city():
    assert as_json(listing())["columns"] == {
        "address": "Address",
        "description": "Description",
        "permit": "Permit Number",
        "issued": "Permit Issued Date",
        "parcel": "Geocode",
        "dwellings": "Number of Dwellings",
        "kind": "Subtype",
        "construction": "Construction Type",
    }


def test_permits_and_blocks_are_as_many_as_the_description_of_the_file_says():
    rows = listing().rows

    assert len({r.permit for r in rows}) == 267
    assert sum(1 for r in rows if r.block) == 48
    assert sum(1 for text in descriptions().values() if text.startswith("LOT")) == 153


@pytest.mark.parametrize(
    ("number", "lot", "block", "plat"),
    [
        (302, "18A", "6", "LOW'S ADDITION AND BENNETT ADDITION"),
        (44, "13, 14 & 1/2 OF 12", "63", "URLINS ADD"),
        (150, "4", None, "RIVER PLACE"),
        (34, "85A", None, "44 RANCH PH 5"),
        (201, "3", None, "LINDA VISTA PHASE 13"),
        (160, "6A", "26", "DALY'S ADDITION"),
        (224, "A59", None, "WINDSOR PARK PH 6"),
        (314, "D4", None, "WINDSOR PARK PHASE VII, PHASE 2"),
        (315, "240", None, "44 RANCH PHASE 6A"),
        (239, "3B", "16", "HIGH PARK #1"),
        (110, "2A", None, "COMMERCE CTR PH 3"),
    ],
)
def test_descriptions_are_read_as_a_person_reads_them(number, lot, block, plat):
    read = row(number)

    assert (read.lot, read.block, read.subdivision) == (lot, block, plat)


def test_rows_with_several_lots_are_the_thirteen_found_by_eye():
    several = {r.row: r.lots for r in listing().rows if r.lots}

    assert sorted(several) == [
        *(44, 45, 46, 72, 79, 80, 93, 134, 135, 195, 227, 248, 249)
    ]
    assert several[44] == ("13", "14", "1/2 OF 12")
    assert several[134] == ("1", "2", "3", "4", "E1/2 OF 5")
    assert several[249] == ("5", "6", "7", "8")


def test_envelopes_and_townhouses_are_units_without_a_lot():
    units = {r.row: (r.lot, r.unit) for r in listing().rows if r.unit}

    assert units[142] == (None, "13A")
    assert units[312] == (None, "C")
    assert units[145] == (None, "17")
    assert row(145).subdivision == "FLYNN RANCH COTTAGES"


def test_a_plain_reading_of_each_single_lot_agrees():
    """Another reader: the token after LOT, taken from the cells alone."""
    for number, text in descriptions().items():
        found = re.findall(r"\bLOT\s+#?([A-Z]?\d+[A-Z]?|[A-Z])\b", text)
        read = row(number)
        if read.lots or number == 34:  # 85 A, checked above
            continue
        assert read.lot == (found[0] if found else None) or read.lot_word == "PARCEL"
        if read.subdivision:
            assert not re.search(r"\b(?:LOTS?|BLK|BLOCK)\b", read.subdivision)
            words = set(re.split(r"[\s/,]+", text))
            assert set(read.subdivision.replace(",", " ").split()) <= words


def test_garages_signs_and_shops_are_left_out_with_their_reason():
    assert {row(n).status for n in (42, 62, 96, 128, 152, 241, 302)} == {"skipped"}
    assert row(152).reason == (
        "Not a house: Subtype says 'BNRDG - New Detached Garage/Carport'."
    )
    assert {row(n).status for n in (9, 25, 41, 108, 182, 228, 284)} == {"new"}


def test_a_permit_repeated_for_another_parcel_or_address_is_its_own_row():
    assert [row(n).status for n in (6, 7, 8)] == ["new"] * 3
    assert [row(n).status for n in range(9, 21)] == ["new"] * 12
    assert (row(32).status, row(33).status) == ("new", "skipped")
    assert row(33).reason == "The same house as row 32."


def test_spellings_of_one_plat_are_proposed():
    pairs = {
        frozenset((pair["spelling"], pair["like"])) for pair in listing().spellings
    }

    assert frozenset(("LINDA VISTA 13TH SUPP", "LINDA VISTA 13TH")) in pairs
    assert frozenset(("LINDA VISTA PHASE 13", "LINDA VISTA 13TH")) in pairs
    assert frozenset(("RIVER WALK ESTATES", "RIVERWALK ESTATES")) in pairs
    assert frozenset(("LINDA VISTA 12TH", "LINDA VISTA 13TH")) not in pairs
