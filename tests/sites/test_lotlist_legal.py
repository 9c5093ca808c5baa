"""How American lot lists write a legal description. All places are invented.

The ways of writing are common practice of deeds, permits and sales lists.
"""

import pytest

from tracker.sites.lotlist.designators import label
from tracker.sites.lotlist.legal import Legal, parse_legal

LOT_BLOCK = [
    ("Lt 4 Bk 2", "4", "2", None),
    ("L-12 B-3", "12", "3", None),
    ("LOT 5 BLK A SEC 2", "5", "A", "SEC 2"),
    ("LOT 3R-1", "3R1", None, None),
    ("TRACT B LOT 7", "7", None, "TRACT B"),
    ("LOT:12", "12", None, None),
    ("Lot 012 Block 003", "012", "003", None),
    ("BLK 3 L 12 HERON", "12", "3", "HERON"),
    ("HERON LAKES L12", "12", None, "HERON LAKES"),
    ("HERON LAKES - L12 - B3", "12", "3", "HERON LAKES"),
    ("LOTE 12 MZ 3 FRACC LAS LOMAS", "12", "3", "FRACC LAS LOMAS"),
    ("Plot 12, The Beeches", "12", None, "The Beeches"),
    ("S/D HERON LOT 12", "12", None, "HERON"),
    ("LOT 12 B STREET", "12", None, "B STREET"),
    ("LOT 12 A STREET COTTAGES", "12", None, "A STREET COTTAGES"),
    ("LOT 12 HERON, PLAN 1820, 3 BED 2 BATH", "12", None, "HERON"),
    ("Lot 12 Block 3, Heron - 2 story SFR w/ garage", "12", "3", "Heron"),
    ("New 2-story single family w/ 3 car garage. Lot 12, Block 3", "12", "3", None),
    ("LOT 12 (CORNER) HERON", "12", None, "HERON"),
    ("LOT 12 BLK 3 LESS R/W", "12", "3", None),
    ("LOT 12 AND PORTION OF VACATED ALLEY, BLK 3 HERON", "12", "3", "HERON"),
    ("LOT 4 EX N 10 FT BLK 2 HERON", "4", "2", "HERON"),
    ("LOT 12 HERON (MODEL)", "12", None, "HERON"),
    (
        "LOT 12, HERON ADDITION, AN ADDITION TO THE CITY OF ELM",
        "12",
        None,
        "HERON ADDITION",
    ),
    ("LOT 12 IN BLOCK 3 IN HERON, BEING A SUBDIVISION OF PART", "12", "3", "HERON"),
    ("LOT 12 HERON SUB AS PER PLAT THEREOF", "12", None, "HERON SUB"),
    ("LOT 12 HERON RIDGE UNIT 3", "12", None, "HERON RIDGE UNIT 3"),
    ("LOT 18A, BLOCK 6, LOW HILLS ADDITION", "18A", "6", "LOW HILLS ADDITION"),
    ("HERON RIDGE LOT 3 PHASE 13", "3", None, "HERON RIDGE PHASE 13"),
    ("HERON RIDGE LOT 3 BLK 2 PHASE 13", "3", "2", "HERON RIDGE PHASE 13"),
    ("LOT #4", "4", None, None),
    ("LOT NO. 4 HERON", "4", None, "HERON"),
    ("HERON PLACE LOT #4", "4", None, "HERON PLACE"),
    ("LOT 85 A 44 HERON PH 5", "85A", None, "44 HERON PH 5"),
    ("LOT 7, 44 HERON RANCH", "7", None, "44 HERON RANCH"),
    ("44 HERON PHASE 6A, LOT 240", "240", None, "44 HERON PHASE 6A"),
    ("HERON'S ADDITION, BLOCK 26, LOT 6A", "6A", "26", "HERON'S ADDITION"),
    ("Lot 12 Blk C Heron East Phs 2 Sec 3", "12", "C", "Heron East Phs 2 Sec 3"),
    ("BLK A LT 12 HERON RIDGE", "12", "A", "HERON RIDGE"),
    ("HERON, PHASE II (CFC), BLK 3, LOT 4", "4", "3", "HERON, PHASE II (CFC)"),
    ("LT 12 BLK 3 HERON LAKES SEC 9", "12", "3", "HERON LAKES SEC 9"),
    ("LOT:12 BLK:3 HERON LAKES", "12", "3", "HERON LAKES"),
    ("Lot 5, Block 2, of Heron Lakes Subdivision", "5", "2", "Heron Lakes Subdivision"),
    ("Subdivision: Heron Ridge Lot: 5 Block: 2", "5", "2", "Heron Ridge"),
    ("Lot: 5; Block: 2; Subdivision: Heron Ridge", "5", "2", "Heron Ridge"),
    ("lot 7 block k heron ridge", "7", "K", "heron ridge"),
    ("LT7 BK3 HERON", "7", "3", "HERON"),
    ("LOT7BLK3 HERON", "7", "3", "HERON"),
    ("L 4 B 2 HERON ADD", "4", "2", "HERON ADD"),
    ("L4/B2 HERON ADD", "4", "2", "HERON ADD"),
    ("L4B2 HERON ADD", "4", "2", "HERON ADD"),
    ("B2 L4 HERON ADD", "4", "2", "HERON ADD"),
    ("L4 HERON ADD", "4", None, "HERON ADD"),
    ("LO45 TWIN HERONS PH3", "45", None, "TWIN HERONS PH3"),
    ("HOMESITE 12 HERON RIDGE", "12", None, "HERON RIDGE"),
    ("HS 12 HERON", "12", None, "HERON"),
    ("LOT 4 BLK 2 HERON GREENS SUB NO 03", "4", "2", "HERON GREENS SUB NO 03"),
    ("LOT 5 BLK 3 HERON FILING NO 4", "5", "3", "HERON FILING NO 4"),
    ("LOT 3B HERON PARK #1 BLK 16", "3B", "16", "HERON PARK #1"),
    ("LOT 18-A HERON", "18A", None, "HERON"),
    ("LOT D-4 HERON", "D4", None, "HERON"),
    ("LOT 12R-1 BLK 4 HERON", "12R1", "4", "HERON"),
    ("LOT 10-12 HERON", "10-12", None, "HERON"),
    ("LOT D PARK ADDT BLK 22", "D", "22", "PARK ADDT"),
    ("LOT A-1, BLOCK B-2, HERON", "A1", "B2", "HERON"),
    ("LOT IV BLOCK II HERON ACRES", "IV", "II", "HERON ACRES"),
    ("Lot One (1), Block Two (2), Heron Acres", "1", "2", "Heron Acres"),
    ("LOT 5 N MAIN ADDITION", "5", None, "N MAIN ADDITION"),
    ("LOT 5 THE ORCHARD", "5", None, "THE ORCHARD"),
    ("LOT 1 TERRACES ON 3RD ST", "1", None, "TERRACES ON 3RD ST"),
    ("HERON LOT 1 SECOND ADDITION", "1", None, "HERON SECOND ADDITION"),
    ("LOT 12 BLK 3 HERON UNIT 5", "12", "3", "HERON UNIT 5"),
    ("HERON PARCEL 9 LOT 12", "12", None, "HERON PARCEL 9"),
    ("LOT 6 OF TRACT NO. 12345", "6", None, "TRACT NO. 12345"),
    ("LOT 12 BLK B HERON OAKS PB 45 PG 12", "12", "B", "HERON OAKS"),
    ("LOT 5A AMENDED PLAT OF LOT 5 HERON", "5A", None, "AMENDED PLAT OF LOT 5 HERON"),
    ("SPEC HOUSE - LOT 2A HERON CTR PH 3", "2A", None, "HERON CTR PH 3"),
    ("NEW SFR LOT 12 HERON RANCH PH 8", "12", None, "HERON RANCH PH 8"),
    ("BLDG B LOT 15 HERON BLK 35", "15", "35", "HERON"),
    ("LOT 15 (HERON RIDGE PH 2)", "15", None, "HERON RIDGE PH 2"),
    ("HERON RIDGE-LOT 15", "15", None, "HERON RIDGE"),
    ("LOT 12  BLK  HERON", "12", None, "HERON"),
    ("LOT 3 COS 6321", "3", None, "COS 6321"),
    ("LOT 3 IN SECTION 12 T13N R20W", "3", None, None),
    ("LOT 9", "9", None, None),
]


@pytest.mark.parametrize(("text", "lot", "block", "plat"), LOT_BLOCK)
def test_lot_block_and_plat_are_found(text, lot, block, plat):
    legal = parse_legal(text)

    assert (legal.lot, legal.block, legal.subdivision) == (lot, block, plat)
    assert (legal.lots, legal.unit) == ((), None)


SEVERAL = [
    (
        "LOTS 13, 14 & 1/2 OF 12, BLK 63 HERON ADD",
        "13, 14 & 1/2 OF 12",
        ("13", "14", "1/2 OF 12"),
        "63",
        "HERON ADD",
    ),
    (
        "LOTS 1-4 + E1/2 LOT 5, TRAM LINE ADDITION, BLOCK 2",
        "1-4 + E1/2 LOT 5",
        ("1", "2", "3", "4", "E1/2 OF 5"),
        "2",
        "TRAM LINE ADDITION",
    ),
    ("LOT 5,6,7 & 8 HERON", "5,6,7 & 8", ("5", "6", "7", "8"), None, "HERON"),
    ("LOT 7 & 8 HERON BLK 41", "7 & 8", ("7", "8"), "41", "HERON"),
    ("LOTS 7 AND 8, 44 HERON", "7 AND 8", ("7", "8"), None, "44 HERON"),
    ("LOTS 7, 8 HERON", "7, 8", ("7", "8"), None, "HERON"),
    ("LOTS 1 THRU 3 BLOCK 7", "1 THRU 3", ("1", "2", "3"), "7", None),
    ("LOTS 5 - 7 BLK 12 HERON", "5 - 7", ("5", "6", "7"), "12", "HERON"),
    ("BLK 7 HERON ADD LOTS 3-5", "3-5", ("3", "4", "5"), "7", "HERON ADD"),
    ("Block 4, Lots 3, 4 and 5, Heron", "3, 4 AND 5", ("3", "4", "5"), "4", "Heron"),
    ("LOTS A AND B, HERON", "A AND B", ("A", "B"), None, "HERON"),
    ("LOT 3 AND LOT 4, BLK 5 HERON", "3 AND LOT 4", ("3", "4"), "5", "HERON"),
    ("LOTS 3 & 4 LESS W 10 FT BLK 2 HERON", "3 & 4", ("3", "4"), "2", "HERON"),
    ("LOT 5 BLK 2 LOT 6 BLK 2 HERON", "5 & 6", ("5", "6"), "2", "HERON"),
    ("LOT 5/6 BLK 3", "5/6", ("5", "6"), "3", None),
    ("LOT 1 - 4 BLK 2", "1 - 4", ("1", "2", "3", "4"), "2", None),
    ("LOT 108/109 HERON", "108/109", ("108", "109"), None, "HERON"),
    ("LOT 1A-1C HERON", "1A-1C", ("1A", "1B", "1C"), None, "HERON"),
    ("LOT 1A,1B HERON BLK 2", "1A,1B", ("1A", "1B"), "2", "HERON"),
    ("LOTS 4-7 & 10-11 BLK 2", "4-7 & 10-11", (*"4567", "10", "11"), "2", None),
    ("LOTS A-D HERON", "A-D", tuple("ABCD"), None, "HERON"),
    ("LOT 12 A & B", "12 A & B", ("12A", "12B"), None, None),
    ("LOT 12A/B, HERON", "12A/B", ("12A", "12B"), None, "HERON"),
    (
        "LOTS 1, 2, 3 HERON ADD BLOCK 4 & W 1/2 LOT 4",
        "1, 2, 3 & W 1/2 OF 4",
        ("1", "2", "3", "W 1/2 OF 4"),
        "4",
        "HERON ADD",
    ),
]


@pytest.mark.parametrize(("text", "lot", "lots", "block", "plat"), SEVERAL)
def test_several_lots_are_kept_as_written_and_listed(text, lot, lots, block, plat):
    legal = parse_legal(text)

    assert (legal.lot, legal.lots) == (lot, lots)
    assert (legal.block, legal.subdivision) == (block, plat)


UNITS = [
    ("ENVELOPE #13A", None, "13A", None),
    ("HERON COTTAGES ENVEL. #17", None, "17", "HERON COTTAGES"),
    ("TOWNHOUSE C", None, "C", None),
    ("HERON STREET TOWNHOMES - TOWNHOME 1", None, "1", "HERON STREET TOWNHOMES"),
    ("UNIT 5 HERON CONDOS", None, "5", "HERON CONDOS"),
    ("UNIT 204 BLDG 3 HERON CONDOS", None, "204", "HERON CONDOS"),
    ("LOT 7 UNIT B, HERON ACRES", "7", "B", "HERON ACRES"),
    ("UNIT B LOT 12", "12", "B", None),
    ("LOT 5 (SIDE A) HERON", "5", "A", "HERON"),
    ("LOT 5 BLDG 3 UNIT 2 HERON CONDOS", "5", "2", "HERON CONDOS"),
    ("TOWNHOUSES A-D", None, "A-D", None),
    ("ENVELOPES #13A & #13B", None, "13A & 13B", None),
    ("UNIT 4 BLDG C", None, "4", None),
    ("ENVELOPE #9B, HERON COTTAGES", None, "9B", "HERON COTTAGES"),
    ("TOWNHOUSE UNIT C LOT 5 HERON", "5", "C", "HERON"),
    ("TH 5 HERON", None, "5", "HERON"),
    ("APT B", None, "B", None),
]


@pytest.mark.parametrize(("text", "lot", "unit", "plat"), UNITS)
def test_a_unit_is_no_lot(text, lot, unit, plat):
    legal = parse_legal(text)

    assert (legal.lot, legal.unit, legal.subdivision) == (lot, unit, plat)


@pytest.mark.parametrize(
    ("text", "lot", "word", "plat"),
    [
        ("COS 9452/PARCEL 0A2", "0A2", "PARCEL", "COS 9452"),
        ("TRACT 4 COS 1234", "4", "TRACT", "COS 1234"),
        ("TR A HERON ACRES", "A", "TRACT", "HERON ACRES"),
    ],
)
def test_a_tract_or_parcel_stands_for_the_lot(text, lot, word, plat):
    legal = parse_legal(text)

    assert (legal.lot, legal.lot_word, legal.subdivision) == (lot, word, plat)


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("E1/2 OF LOT 5, HERON ADD", "E1/2"),
        ("THE N 50 FT OF LOT 5 HERON ADD", "N 50 FT"),
        ("PORTION OF LOT 5 HERON ADD", "PORTION"),
    ],
)
def test_a_piece_of_a_lot_is_kept_beside_the_lot(text, part):
    assert parse_legal(text) == Legal(
        lot="5", lot_word="LOT", part=part, subdivision="HERON ADD"
    )


@pytest.mark.parametrize(
    "text",
    [
        "PARKING LOT AT 12TH",
        "LOT TBD HERON",
        "SHOE STORE SIGN",
        "BLOCK HERON",
        "HERON VIEW SQUARE",
        "Detached ADU Special Use",
        "MODULAR UNITS NEXT TO BOILER HOUSE",
        "",
    ],
)
def test_a_text_that_names_no_land_says_nothing(text):
    assert parse_legal(text) == Legal()


def test_a_plat_without_lot_is_taken_only_when_worded_like_one():
    assert parse_legal("HERON STREET CONDOS PH 4").subdivision == (
        "HERON STREET CONDOS PH 4"
    )
    assert parse_legal("HERON PLACE APARTMENTS").subdivision is None


@pytest.mark.parametrize(
    ("written", "name"),
    [("#4", "4"), ("18-a", "18A"), ("1-4", "1-4"), ("No.", "NO"), ("a.1", "A1")],
)
def test_a_label_loses_signs_but_never_joins_two_numbers(written, name):
    assert label(written) == name
