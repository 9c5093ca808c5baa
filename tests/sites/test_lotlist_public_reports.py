"""Lists in the manners of public permit reports and builders' sheets; all invented."""

from datetime import date

import pytest
from openpyxl import Workbook

from tests.sites.lists import saved, workbook
from tracker.sites.lotlist import counts_of, read_bytes
from tracker.sites.lotlist.record import LotRow


def rows_of(text: str | bytes) -> list[LotRow]:
    return list(read_bytes(text if isinstance(text, bytes) else text.encode()).rows)


def test_spanish_headers_are_known():
    listing = read_bytes(
        (
            "Número de permiso,Fecha de emisión,Dirección,Fraccionamiento,Lote,Manzana,"
            "Modelo,Fecha de inicio\n"
            "P-3,2024-03-02,Calle Uno 16,Las Lomas,Lote 14,Mz 3,A2,2024-04-01\n"
        ).encode()
    )
    row = listing.rows[0]

    assert (row.lot, row.block, row.subdivision) == ("14", "3", "Las Lomas")
    assert (row.permit, row.issued) == ("P-3", date(2024, 3, 2))
    assert (row.plan, row.start) == ("A2", date(2024, 4, 1))


def test_headers_without_spaces_are_known():
    text = (
        "OBJECTID,APNO,APTYPE,STNO,PREDIR,STNAME,SUFFIX,SUBDIVISION,LOTNO,BLK,OWNER\n"
        "1,APP1,RSF NEW,1201,N,EGRET,LN,HERON LAKES,1,A,SMITH\n"
        "2,APP3,FENCE,1203,,EGRET,LN,HERON LAKES,2,A,SMITH\n"
    )
    house, fence = rows_of(text)

    assert (house.lot, house.block, house.permit) == ("1", "A", "APP1")
    assert house.address == "1201 N EGRET LN"
    assert fence.reason == "Not a house: APTYPE says 'FENCE'."


def test_a_header_of_two_lines_is_known_again_in_the_middle():
    lines = [
        ["HERON HOMES - RELEASES", None, None, None, None],
        [None] * 5,
        ["Lot", None, "Address", None, "Plan"],
        ["No.", "Blk", "No.", "Street", "Model"],
        [1, "A", 101, "Egret Ln", 2450],
        ["Subtotal Block A", 1],
        ["No.", "Blk", "No.", "Street", "Model"],
        [2, "B", 103, "Egret Ln", 1820],
        ["Grand Total", 2],
    ]

    def merge(page):
        page.merge_cells("A1:E1")
        page.merge_cells("A3:B3")
        page.merge_cells("C3:D3")

    rows = rows_of(workbook(lines, merge))

    assert [(r.row, r.status) for r in rows] == [
        (5, "new"),
        (6, "skipped"),
        (7, "skipped"),
        (8, "new"),
        (9, "skipped"),
    ]
    assert (rows[3].lot, rows[3].block) == ("2", "B")
    assert (rows[3].address, rows[3].plan) == ("103 Egret Ln", "1820")


def test_a_cover_sheet_is_passed_over():
    book = Workbook()
    book.active.append(["Starts report", "see the next sheet"])
    page = book.create_sheet("Releases")
    page.append(["Lot", "Block", "Start"])
    page.append([1, "A", date(2024, 3, 1)])
    listing = read_bytes(saved(book))

    assert (listing.sheet, listing.rows[0].start) == ("Releases", date(2024, 3, 1))


def test_a_heading_that_says_a_kind_of_building_rules_the_rows_below():
    text = (
        "Permit,Issued,Location,Subdivision / Lot,Contractor\n"
        "101 Single Family Detached,,,,\n"
        "R1,1/2/2024,12 EGRET LN,HERON LAKES L1 B2,ACE\n"
        "Total for 101 Single Family Detached,,,,\n"
        "438 Garages,,,,\n"
        "R5,1/4/2024,20 EGRET LN,HERON LAKES L9 B2,ACE\n"
    )
    rows = rows_of(text)

    assert [r.status for r in rows] == [
        "skipped",
        "new",
        "skipped",
        "skipped",
        "skipped",
    ]
    assert (rows[1].lot, rows[1].block, rows[1].subdivision) == (
        "1",
        "2",
        "HERON LAKES",
    )
    assert rows[4].reason == "Not a house: the heading says '438 Garages'."


def test_a_column_that_writes_the_day_first_is_read_so():
    text = "Lot,Issue Date,Permit\n1,03/04/2024,a\n2,25/04/2024,b\n"

    assert [r.issued for r in rows_of(text)] == [date(2024, 4, 3), date(2024, 4, 25)]


def test_a_column_that_writes_the_month_first_stays_so():
    text = "Lot,Issue Date,Permit\n1,03/04/2024,a\n2,04/25/2024,b\n"

    assert [r.issued for r in rows_of(text)] == [date(2024, 3, 4), date(2024, 4, 25)]


@pytest.mark.parametrize(
    ("work", "status"),
    [
        ("Construct a new single detached dwelling", "new"),
        ("NEW HOUSE W/ DECK AND POOL", "new"),
        ("Finish basement", "skipped"),
        ("Backflow preventer", "skipped"),
        ("6FT PRIVACY FENCE", "skipped"),
        ("2450 sq ft, slab", "new"),
    ],
)
def test_a_remark_on_other_work_is_no_house_and_a_doubt_is_one(work, status):
    text = f"Permit Number,Address,Lot,Description of Work\n1,12 Elm St,4,{work}\n"

    assert rows_of(text)[0].status == status


def test_a_row_with_a_permit_alone_says_what_is_missing():
    text = "Legal|Permit No|Issued\nLOT 1 HERON|24-1|1/2/2024\n|24-9|\n"
    row = rows_of(text)[1]

    assert (row.status, row.permit) == ("bad", "24-9")
    assert [(e.column, e.hint) for e in row.errors] == [
        ("Legal", "Fill in the lot or the address.")
    ]


def test_a_lot_named_in_the_address_alone_is_found():
    row = rows_of("Permit,Address\n1,12 Elm Ln Lot 4 Blk 2\n")[0]

    assert (row.lot, row.block) == ("4", "2")
    assert row.address == "12 Elm Ln Lot 4 Blk 2"


def test_every_row_of_a_report_with_totals_is_counted():
    text = (
        "Año;Permit Nr.;Property Address;Legal Description;Work Type\n"
        "2023;1;101 Niño Way;LOT 1 BLK A LAS PIÑAS;New Single Family\n"
        "2023;2;103 Niño Way;LOT 2 BLK A LAS PIÑAS;Pool\n"
        ";;;;\n"
        "Total;2;;;\n"
    )
    listing = read_bytes(text.encode("cp1252"))

    assert counts_of(listing.rows) == {
        "new": 1,
        "changed": 0,
        "unchanged": 0,
        "skipped": 2,
        "bad": 0,
    }
    assert listing.rows[0].subdivision == "LAS PIÑAS"


@pytest.mark.parametrize(
    ("header", "field"),
    [
        ("Legal Description (Lot; Block; Subd.)", "description"),
        ("Lot/Blk/Subd", "description"),
        ("Tax Lot", "parcel"),
        ("Model/Elev", "plan"),
        ("Permit Description", "description"),
        ("Date of Issuance", "issued"),
        ("LOTNO", "lot"),
        ("N° de lote", "lot"),
    ],
)
def test_headers_of_other_offices_are_known(header, field):
    listing = read_bytes(f"Address,{header}\n12 Elm St,2026-03-04\n".encode())

    assert listing.columns.get(field) == header


@pytest.mark.parametrize(
    "header", ["Lot SF", "Block Group", "Census Block", "Lot Area"]
)
def test_a_figure_about_the_lot_is_no_name_of_it(header):
    listing = read_bytes(f"Address,{header}\n12 Elm St,7200\n".encode())

    assert header not in listing.columns.values()
