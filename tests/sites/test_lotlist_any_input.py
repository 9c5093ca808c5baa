"""Whatever bytes come: a list with every row accounted for, or one sentence."""

import csv
import io

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.sites.lists import workbook
from tracker.sites.lotlist import Unreadable, as_json, counts_of, read_bytes
from tracker.sites.lotlist.legal import parse_legal
from tracker.sites.lotlist.report import errors_csv, errors_xlsx, harmless

_WORDS = (
    "LOT LOTS BLK BLOCK # 12 12A A 44 & , - 1/2 OF PH II UNIT TRACT HERON ADD ( ) NO."
)
WORDS = st.sampled_from([*_WORDS.split(), "L4"])
CELLS = st.one_of(
    st.none(),
    st.integers(-5, 99999),
    st.floats(allow_nan=False, allow_infinity=False, width=32),
    st.text(max_size=12).filter(lambda t: not any(ord(c) < 32 for c in t)),
    st.lists(WORDS, max_size=8).map(" ".join),
)


def accounted(data: bytes) -> None:
    try:
        listing = read_bytes(data)
    except Unreadable:
        return
    numbers = [row.row for row in listing.rows]
    assert numbers == sorted(set(numbers))
    assert sum(counts_of(listing.rows).values()) == len(numbers)
    assert all(row.errors for row in listing.rows if row.status == "bad")
    assert all(row.reason for row in listing.rows if row.status == "skipped")
    errors_csv(as_json(listing)["rows"])


@settings(max_examples=60, deadline=None)
@given(st.binary(max_size=400))
def test_random_bytes_never_crash(data):
    accounted(data)


@settings(max_examples=40, deadline=None)
@given(st.text(max_size=300))
def test_random_text_under_a_header_never_crashes(text):
    accounted(("Lot,Block,Description,Start\n" + text).encode("utf-8", "ignore"))


@settings(max_examples=120, deadline=None)
@given(st.lists(WORDS, max_size=14).map(" ".join))
def test_any_words_give_a_description_whose_parts_stand_in_it(text):
    legal = parse_legal(text)

    if legal.lot:
        assert set(legal.lot) - {" "} <= set(text.upper()) | {"&"}
    assert all(lot.strip() for lot in legal.lots)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.lists(CELLS, min_size=3, max_size=3), min_size=1, max_size=8))
def test_every_row_of_a_csv_that_holds_something_is_accounted_for(rows):
    stream = io.StringIO()
    writer = csv.writer(stream)
    writer.writerows([["Lot", "Subdivision", "Address"], *rows])
    filled = [
        number
        for number, cells in enumerate(rows, 2)
        if any(str(c).strip() for c in cells if c is not None)
    ]

    try:
        listing = read_bytes(stream.getvalue().encode())
    except Unreadable:
        assert not filled
        return

    assert [row.row for row in listing.rows] == filled


@settings(max_examples=15, deadline=None)
@given(st.lists(st.lists(CELLS, min_size=3, max_size=3), min_size=1, max_size=6))
def test_every_row_of_a_workbook_that_holds_something_is_accounted_for(rows):
    safe = [
        [f" {c}" if isinstance(c, str) and c.startswith("=") else c for c in row]
        for row in rows
    ]
    filled = [
        number
        for number, cells in enumerate(safe, 2)
        if any(str(c).strip() for c in cells if c is not None)
    ]

    try:
        listing = read_bytes(workbook([["Lot", "Subdivision", "Address"], *safe]))
    except Unreadable:
        assert not filled
        return

    assert [row.row for row in listing.rows] == filled


@given(st.text(max_size=20))
@settings(max_examples=60, deadline=None)
def test_no_cell_of_the_error_sheet_is_a_formula(text):
    assert not harmless(text).startswith(("=", "+", "-", "@", "\t", "\r"))


def test_the_error_sheet_names_row_column_value_reason_and_remedy():
    rows = as_json(read_bytes(b"Lot,Address,Start\n=cmd,12 Elm St,soon\n"))["rows"]

    lines = list(csv.reader(io.StringIO(errors_csv(rows).decode("utf-8-sig"))))

    assert lines[1] == [
        "2",
        "Start",
        "soon",
        "This is not a date.",
        "Write it as 2026-03-04.",
        "bad",
    ]
    assert errors_xlsx(rows).startswith(b"PK")
