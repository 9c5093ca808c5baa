"""Headers, encodings, totals of real files. Places are invented."""

import pytest

from tests.sites.lists import places
from tracker.sites.lotlist import as_json, counts_of, read_bytes

HOUSES = "Lot,Block,Subdivision,Address\n18A,6,Heron,12 Elm St\n19,6,Heron,14 Elm St\n"


BOTH = [(2, "18A", "6", "Heron", "12 Elm St"), (3, "19", "6", "Heron", "14 Elm St")]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le"])
@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_usual_encodings_and_delimiters_are_read_alike(encoding, delimiter):
    data = HOUSES.replace(",", delimiter).encode(encoding)

    assert places(data) == BOTH


@pytest.mark.parametrize(
    ("encoding", "ends"), [("cp1252", "\r\n"), ("latin-1", "\n"), ("mac_roman", "\r")]
)
def test_letters_outside_ascii_survive(encoding, ends):
    text = "Lot,Address\n1,12 Cañon Rd\n2,14 Elm St\n".replace("\n", ends)

    assert places(text.encode(encoding))[0][4] == "12 Cañon Rd"


def test_a_quoted_line_break_does_not_shift_the_row_numbers():
    text = 'Lot,Address,Notes\n1,"12 Elm St\nRear",x\n\n2,14 Elm St,y\n'

    assert [(p[0], p[4]) for p in places(text)] == [
        (2, "12 Elm St Rear"),
        (4, "14 Elm St"),
    ]


def test_a_stray_quotation_mark_swallows_no_rows():
    lines = "".join(f'{n},{n} Elm St,"{n}" pipe\n' for n in range(1, 60))
    text = "Lot,Address,Notes\n" + lines.replace('"7" pipe', '"7 pipe')

    assert [p[1] for p in places(text)] == [str(n) for n in range(1, 60)]


def test_a_first_line_that_declares_the_delimiter_is_no_row():
    assert places("sep=;\nLot;Address\n1;12 Elm St\n") == [
        (2, "1", None, None, "12 Elm St")
    ]


def test_titles_headings_totals_and_repeated_headers_are_told_apart():
    text = (
        "Heron Homes\n\nLot Report,,\nAs of 3/4/2026\n\nLot,Address,Plan\n"
        "HERON PH 1,,\n1,12 Elm St,A\nHeron Ph 2 (12 lots),,\n1,12 Oak St,A\n"
        "Lot,Address,Plan\n3,16 Oak St,C\nGrand Total,3,\nPage 1 of 1,,\n"
    )

    listing = read_bytes(text.encode())

    assert (listing.header_row, counts_of(listing.rows)) == (
        6,
        {"new": 3, "changed": 0, "unchanged": 0, "skipped": 5, "bad": 0},
    )
    assert [(r.row, r.lot, r.subdivision) for r in listing.rows if r.lot] == [
        (8, "1", "HERON PH 1"),
        (10, "1", "Heron Ph 2"),
        (12, "3", "Heron Ph 2"),
    ]
    assert all(r.reason for r in listing.rows if r.status == "skipped")


@pytest.mark.parametrize(
    ("head", "row", "expected"),
    [
        ("Lot/Block,Address", "18/6,12 Elm St", ("18", "6")),
        ("Lot-Block,Address", "18A-B,12 Elm St", ("18A", "B")),
        ("LOT & BLK,Address", "L9 B7,12 Elm St", ("9", "7")),
        ("Block/Lot,Address", "6/18,12 Elm St", ("18", "6")),
        ("Lot No.,Blk No.,Address", "18.0,6.0,12 Elm St", ("18", "6")),
        ("LotNumber,BlockNumber,Address", "18,6,12 Elm St", ("18", "6")),
        ("lot,Address", '"Lot 18A, Block 6",12 Elm St', ("18A", "6")),
        ("HOMESITE #,Address", "#18,12 Elm St", ("18", None)),
        ("LEGAL_DESC1,SITUS ADDR", "LT 5 BLK 2 HERON,12 Elm St", ("5", "2")),
        ("Job Name,Job #", "Lot 5 Heron,1001", ("5", None)),
    ],
)
def test_lot_and_block_are_found_in_whichever_columns_hold_them(head, row, expected):
    [place] = places(f"{head}\n{row}\n")

    assert place[1:3] == expected


def test_lots_of_one_row_are_listed_from_their_own_column():
    listing = read_bytes(b'Lots,Subdivision\n1-3,Heron\n"5, 6",Heron\n')

    assert [(r.lot, r.lots) for r in listing.rows] == [
        ("1-3", ("1", "2", "3")),
        ("5, 6", ("5", "6")),
    ]


def test_a_header_of_two_rows_is_joined():
    text = (
        "Lot,Subdivision,Permit,Street\nNo.,Name,Number,Address\n"
        "1,Heron,P-1,12 Elm St\n"
    )

    listing = read_bytes(text.encode())

    assert dict(listing.columns) == {
        "lot": "Lot No.",
        "subdivision": "Subdivision Name",
        "permit": "Permit Number",
        "address": "Street Address",
    }
    assert [row.row for row in listing.rows] == [3]


def test_a_name_written_once_holds_for_the_blank_cells_below():
    text = "Community,Lot,Address\nHeron,1,12 Elm St\n,2,14 Elm St\n,3,16 Elm St\n"

    listing = read_bytes(text.encode())

    assert [row.subdivision for row in listing.rows] == ["Heron"] * 3
    assert "Community" in " ".join(listing.guesses)


def test_blanks_stay_blank_where_the_list_repeats_its_names():
    text = "Community,Lot,Address\nHeron,1,1 Elm St\nHeron,2,2 Elm St\n" + "".join(
        f",{n},{n} Elm St\n" for n in range(3, 9)
    )

    assert [p[3] for p in places(text)] == ["Heron", "Heron"] + [None] * 6


def test_an_address_in_parts_is_put_together():
    text = "House #,Dir,Street Name,Type,Lot\n12,N,Elm,St,1\n"

    assert places(text) == [(2, "1", None, None, "12 N Elm St")]


def test_somebody_elses_address_is_not_the_house():
    text = "Owner Address,Lot,Site Address\n9 Far Rd,1,12 Elm St\n"

    assert places(text)[0][4] == "12 Elm St"


def test_a_list_without_header_is_judged_by_what_it_holds():
    listing = read_bytes(b"LOT 5 BLK 2 HERON,12 Elm St\nLOT 6 BLK 2 HERON,14 Elm St\n")

    assert listing.header_row is None
    assert [(r.row, r.lot, r.address) for r in listing.rows] == [
        (1, "5", "12 Elm St"),
        (2, "6", "14 Elm St"),
    ]
    assert "no header row" in " ".join(listing.guesses)


def test_a_person_can_say_what_a_column_is():
    data = b"A1,B1,C1\n5,2,x\n6,2,y\n"

    assert [p[:3] for p in places(data, mapping={"A1": "lot", "B": "block"})] == [
        (2, "5", "2"),
        (3, "6", "2"),
    ]


def test_a_column_can_be_left_out():
    assert places(HOUSES, mapping={"Block": "-"})[0][2] is None


def test_a_row_with_a_delimiter_too_many_is_bad_unless_the_description_is_last():
    text = "Permit,Address,Plan\nP1,12 Elm St, Rear,A\nP2,14 Elm St,B\n"
    last = "Permit,Address,Description\nP1,12 Elm St,LOT 18A, BLOCK 6, HERON\n"

    assert [row.status for row in read_bytes(text.encode()).rows] == ["bad", "new"]
    assert places(last) == [(2, "18A", "6", "HERON", "12 Elm St")]


def test_the_same_house_twice_is_skipped_and_a_contradiction_is_bad():
    text = "Lot,Subdivision,Plan\n1,Heron,A\n1,Heron,A\n1,HERON,B\n2,Heron,A\n"

    listing = read_bytes(text.encode())

    assert [row.status for row in listing.rows] == ["new", "skipped", "bad", "new"]
    assert listing.rows[1].reason == "The same house as row 2."
    assert listing.rows[2].errors[0].column == "Plan"


def test_a_repeated_permit_with_another_parcel_is_its_own_row():
    text = "Permit,Parcel,Address,Lot\nP1,001,12 Elm St,1\nP1,002,12 Elm St,1\n"

    assert [row.status for row in read_bytes(text.encode()).rows] == ["new", "new"]


@pytest.mark.parametrize(
    ("kind", "dwellings", "description", "status"),
    [
        ("New Single Family Residence", "0", "", "new"),
        ("Duplex with garage", "2", "", "new"),
        ("New Detached Garage/Carport", "1", "LOT 4 HERON", "skipped"),
        ("NEW DET ACCESS BLDG", "", "", "skipped"),
        ("Accessory Dwelling Unit", "1", "", "new"),
        ("New Other Than Building", "1", "STORE SIGN", "skipped"),
        ("Residential Remodel", "1", "", "skipped"),
        ("Multifamily 5+ Units", "6", "", "new"),
        ("", "0", "", "skipped"),
        ("", "", "", "new"),
        ("", "1", "CARPORT #1", "skipped"),
        ("", "", "LOT 5 GARAGE HILL ADDITION", "new"),
        ("", "", "SFR WITH DETACHED GARAGE", "new"),
        ("Commercial", "", "", "skipped"),
        ("Commercial", "4", "", "new"),
        ("Commercial", "", "HERON PLACE APARTMENTS", "new"),
    ],
)
def test_a_row_is_left_out_only_when_the_sheet_says_it_is_no_house(
    kind, dwellings, description, status
):
    text = (
        "Address,Subtype,Number of Dwellings,Description\n"
        f"12 Elm St,{kind},{dwellings},{description}\n14 Elm St,,1,LOT 9 HERON\n"
    )

    row = read_bytes(text.encode()).rows[0]

    assert row.status == status
    assert bool(row.reason) == (status == "skipped")


def test_json_has_one_entry_for_each_row_and_null_for_what_is_absent():
    found = as_json(read_bytes(HOUSES.encode()))

    assert found["columns"] == {
        "lot": "Lot",
        "block": "Block",
        "subdivision": "Subdivision",
        "address": "Address",
    }
    assert found["counts"] == {
        "new": 2,
        "changed": 0,
        "unchanged": 0,
        "skipped": 0,
        "bad": 0,
    }
    first = found["rows"][0]
    assert (first["row"], first["lot"], first["unit"]) == (2, "18A", None)
    assert (first["lots"], first["reason"], first["errors"]) == (None, None, [])
