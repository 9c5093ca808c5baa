"""A list beside the lots we have: new, changed, unchanged. Pure; places invented."""

from datetime import date

import pytest

from tracker.sites.lotlist.matching import judge
from tracker.sites.lotlist.meaning import Known, KnownLot, KnownPlan, find_plan
from tracker.sites.lotlist.record import LotRow

HERON = {"heron": "Heron"}


def lot(pk=1, label="5", block="2", unit="", subdivision="Heron", gone="", **values):
    return KnownLot(pk, subdivision, label, block, unit, values, gone)


def row(number=2, lot="5", block="2", subdivision="Heron", **fields):
    return LotRow(
        row=number,
        lot=lot,
        lot_word="LOT",
        block=block,
        subdivision=subdivision,
        **fields,
    )


def statuses(rows, known, **told):
    return [(one.row.status, one.pk) for one in judge(rows, known, **told)]


def test_a_lot_that_is_not_there_is_new():
    assert statuses([row()], Known()) == [("new", None)]


def test_the_same_lot_is_unchanged_whatever_the_case_and_leading_zeros():
    known = Known(lots=[lot(address="12 Elm St")], subdivisions=HERON)

    rows = [row(lot="05", subdivision="HERON", address="12  Elm St")]

    assert statuses(rows, known) == [("unchanged", 1)]


def test_what_differs_is_named_with_old_and_new_and_blanks_erase_nothing():
    known = Known(
        lots=[lot(address="12 Elm St", permit="P1", start=None)], subdivisions=HERON
    )

    [one] = judge([row(address="14 Elm St", start=date(2026, 3, 4))], known)

    assert one.row.status == "changed"
    assert one.changes == {
        "address": ("12 Elm St", "14 Elm St"),
        "start": (None, date(2026, 3, 4)),
    }


def test_a_spelling_is_joined_only_on_a_persons_word():
    known = Known(lots=[lot()], subdivisions=HERON)
    rows = [row(subdivision="HERON ADD")]

    assert statuses(rows, known) == [("new", None)]
    assert statuses(rows, known, joins={"HERON ADD": "Heron"}) == [("unchanged", 1)]


def test_rows_without_a_subdivision_go_where_they_are_told():
    known = Known(lots=[lot()], subdivisions=HERON)

    assert statuses([row(subdivision=None)], known, otherwise="heron") == [
        ("unchanged", 1)
    ]


def test_a_phase_column_is_part_of_the_name():
    known = Known(
        lots=[lot(subdivision="Heron Phase 2")],
        subdivisions={"heron phase 2": "Heron Phase 2"},
    )

    assert statuses([row(phase="2")], known) == [("unchanged", 1)]
    assert statuses([row(phase="3")], known) == [("new", None)]


def test_houses_of_one_lot_are_told_apart_by_address_and_found_again():
    rows = [
        row(2, address="9 Elm St #101", parcel="001"),
        row(3, address="9 Elm St #102", parcel="001"),
        row(4, address="9 Elm St #101", parcel="002"),
    ]
    first = judge(rows, Known(subdivisions=HERON))
    known = Known(
        lots=[
            lot(pk, unit=one.unit, **one.values)
            for pk, one in enumerate(first, start=1)
        ],
        subdivisions=HERON,
    )

    assert [one.unit for one in first] == ["101", "102", ""]
    assert statuses(rows, known) == [
        ("unchanged", 1),
        ("unchanged", 2),
        ("unchanged", 3),
    ]
    assert statuses([rows[2], rows[0]], known) == [("unchanged", 3), ("unchanged", 1)]


def test_two_permits_on_one_address_are_two_houses():
    rows = [
        row(2, address="9 Elm St", permit="P1"),
        row(3, address="9 Elm St", permit="P2"),
    ]

    units = [one.unit for one in judge(rows, Known())]

    assert units == ["9 ELM ST", "P2"]


def test_a_tract_and_a_lot_of_one_number_are_two_places():
    rows = [
        row(2, block=None),
        LotRow(row=3, lot="5", lot_word="TRACT", subdivision="Heron"),
    ]

    assert [one.label for one in judge(rows, Known())] == ["5", "TRACT 5"]


def test_a_lot_that_the_office_took_off_the_street_is_not_made_again():
    known = Known(lots=[lot(gone="retired")], subdivisions=HERON)

    [one] = judge([row()], known)

    assert (one.row.status, bool(one.row.reason)) == ("skipped", True)


def test_a_lot_of_an_undone_list_is_new_again():
    known = Known(lots=[lot(gone="undone")], subdivisions=HERON)

    assert statuses([row()], known) == [("new", 1)]


PLANS = [
    KnownPlan("1820", "The Wren", {"TUB2": "Second tub", "ISL": "Island sink"}),
    KnownPlan("2400B"),
]


@pytest.mark.parametrize(
    ("text", "elevation", "code"),
    [
        ("1820", None, "1820"),
        ("Plan 1820", "A", "1820"),
        ("1820-C", None, "1820"),
        ("the wren", None, "1820"),
        ("2400", "B", "2400B"),
        ("2400", "A", None),
        ("9999", None, None),
    ],
)
def test_a_plan_is_found_by_code_name_and_elevation(text, elevation, code):
    plan = find_plan(text, elevation, PLANS)

    assert (plan.code if plan else None) == code


def test_unknown_plans_and_options_are_bad_cells_that_say_what_to_do():
    known = Known(plans=PLANS)
    rows = [
        row(2, plan="1820", options=("TUB2", "island sink")),
        row(3, lot="6", plan="77"),
        row(4, lot="7", plan="1820", options=("XYZ",)),
        row(5, lot="8", options=("TUB2",)),
    ]

    first, *bad = judge(rows, known, headers={"plan": "Plan #", "options": "Opt"})

    assert (first.values["plan"], first.values["options"]) == ("1820", ("ISL", "TUB2"))
    assert [one.row.status for one in bad] == ["bad"] * 3
    assert [one.row.errors[0].column for one in bad] == ["Plan #", "Opt", "Opt"]
    assert all(one.row.errors[0].hint for one in bad)
