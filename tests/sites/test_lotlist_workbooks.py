"""Merges, formulas, hidden rows and sheets of workbooks. Places are invented."""

from datetime import date, datetime

from openpyxl import Workbook
from openpyxl.styles import PatternFill

from tests.sites.lists import places, saved, workbook
from tracker.sites.lotlist import read_bytes


def test_merged_cells_give_their_value_to_each_row_they_cover():
    rows = [
        ["Legal", None, "Site", None],
        ["Lot", "Block", "Address", "Subdivision"],
        [1, "A", "12 Elm St", "Heron"],
        [2, "A", "14 Elm St", None],
    ]

    def merge(page):
        page.merge_cells("A1:B1")
        page.merge_cells("C1:D1")
        page.merge_cells("D3:D4")

    assert places(workbook(rows, merge)) == [
        (3, "1", "A", "Heron", "12 Elm St"),
        (4, "2", "A", "Heron", "14 Elm St"),
    ]


def test_numbers_dates_and_mangled_lots_of_a_workbook():
    rows = [
        ["Lot", "Address", "Start", "Swing"],
        # A cell of a sheet knows no time zone.
        [18.0, "12 Elm St", datetime(2026, 3, 4), "R"],  # noqa: DTZ001
        [date(2026, 3, 4), "14 Elm St", "3/5/26", "L"],
        ["19", "16 Elm St", "Mar 6, 2026", "sideways"],
    ]

    listing = read_bytes(workbook(rows))

    first, second, third = listing.rows
    assert (first.lot, first.start, first.mirrored) == ("18", date(2026, 3, 4), True)
    assert [(e.column, e.value) for e in second.errors] == [("Lot", "2026-03-04")]
    assert second.start == date(2026, 3, 5)
    assert third.start == date(2026, 3, 6)
    assert [(e.column, e.value) for e in third.errors] == [("Swing", "sideways")]
    assert [row.status for row in listing.rows] == ["new", "bad", "bad"]


def test_error_cells_and_unsolved_formulas_are_bad_and_name_the_cell():
    rows = [
        ["Lot", "Address"],
        ["#REF!", "12 Elm St"],
        ["=A5", "14 Elm St"],
        ["3", "16 Elm St"],
    ]

    listing = read_bytes(workbook(rows))

    assert [row.status for row in listing.rows] == ["bad", "bad", "new"]
    assert listing.rows[0].errors[0].column == "Lot"
    assert "formula" in listing.rows[1].errors[0].reason


def test_hidden_and_empty_styled_cells_change_nothing():
    rows = [["Lot", "Address"], [1, "12 Elm St"], [2, "14 Elm St"]]

    def change(page):
        page.row_dimensions[3].hidden = True
        page.column_dimensions["A"].hidden = True
        page.cell(1_048_576, 1).fill = PatternFill("solid", fgColor="FFFF00")

    listing = read_bytes(workbook(rows, change))

    assert [(row.row, row.lot) for row in listing.rows] == [(2, "1"), (3, "2")]
    assert listing.rows[1].notes == ("hidden in the sheet",)


def test_the_sheet_that_looks_like_a_list_is_read_and_said():
    book = Workbook()
    book.active.append(["Notes", "nothing here"])
    page = book.create_sheet("Lots")
    for row in (["Lot", "Address"], [1, "12 Elm St"]):
        page.append(row)
    other = book.create_sheet("Old")
    for row in (["Lot", "Address"], [7, "70 Elm St"], [8, "80 Elm St"]):
        other.append(row)
    other.sheet_state = "hidden"
    data = saved(book)

    listing = read_bytes(data)

    assert (listing.sheet, [row.lot for row in listing.rows]) == ("Lots", ["1"])
    assert [row.lot for row in read_bytes(data, sheet="old").rows] == ["7", "8"]
