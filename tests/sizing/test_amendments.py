from dataclasses import replace
from datetime import date

import pytest

from inspections.pipe_tests.books import amendments_from
from phases.sizing.amendments import (
    SETTINGS,
    Adoption,
    NoBook,
    book_in_force,
    jurisdiction_rows,
    overridable,
    published_amendments,
    why_not_override,
)
from phases.sizing.odds import cleanouts_wanted
from phases.sizing.outline import changed
from phases.sizing.outline.site import Placed
from phases.sizing.plan.check import check_plan
from phases.sizing.tables import Book, Override
from tests.sizing.houses import ROOMS, SITE, guessed
from tests.sizing.reference import table


def check(code="IRC", outline=None, overrides=()):
    book = Book(code, overrides=overrides)
    return check_plan(outline or guessed(code), book=book, site=SITE)


@pytest.mark.parametrize(
    ("amendment", "key", "values", "check_name", "code"),
    [
        # Litchfield Park AZ: at most 3 closets on a 3 in. drain (IRC has no count).
        (Override("closets_on_3_in_building_drain", "2", "city checklist"),
         "building-drain", {}, "closets on a drain", "IRC"),
        # Litchfield Park AZ: 1/4 in. a foot below the floor, 1/8 in the model.
        (Override("SLP-IRC-006", "0.25", "city checklist"),
         "building-drain", {"slope": 0.125}, "least slope", "IRC"),
        # Illinois: a clothes washer counts 3 dfu.
        (Override("DFU-IRC-034", "30", "state code"),
         "laundry-drain", {}, "drain capacity", "IRC"),
    ],
)  # fmt: skip
def test_a_local_amendment_decides_and_is_named(
    amendment, key, values, check_name, code
):
    outline = guessed(code)
    outline = replace(outline, drain=changed(outline.drain, key, **values))

    model = check(code, outline=outline)
    local = check(code, outline=outline, overrides=(amendment,))

    def found(report):
        return [f for f in report.of(key) if f.check == check_name]

    assert all(f.ok for f in found(model))
    assert [f.ok for f in found(local)] == [False]
    named = [c.provenance for c in found(local)[0].cells]
    assert f"local: {amendment.note}" in named
    assert local.book.title.endswith("amended")


def test_an_amendment_needs_a_note_a_cell_and_a_number():
    with pytest.raises(ValueError, match="where the local rule stands"):
        Override("SLP-IRC-006", "0.25", " ")
    assert "no cell" in why_not_override(Override("X-1", "1", "n"), code="IRC")
    assert "a number" in why_not_override(
        Override("SLP-IRC-006", "steep", "n"), code="IRC"
    )
    good = Override("SLP-IRC-006", "0.25", "n")
    assert why_not_override(good, code="IRC") is None
    assert why_not_override(good, code="UPC")
    for name in SETTINGS:
        assert why_not_override(Override(name, "3", "n"), code="UPC") is None


def test_every_overridable_cell_says_what_it_is():
    choices = overridable("UPC")

    assert len(choices) > 80
    assert len({choice.cell for choice in choices}) == len(choices)
    assert all(choice.table and choice.item for choice in choices)


ADOPTIONS = (
    Adoption("IRC", 2015, date(2016, 1, 1)),
    Adoption("UPC", 2021, date(2023, 7, 1)),
)


@pytest.mark.parametrize(
    ("day", "title"),
    [
        (date(2016, 1, 1), "IRC 2015"),
        (date(2023, 6, 30), "IRC 2015"),
        (date(2023, 7, 1), "UPC 2021"),
    ],
)
def test_sizes_follow_the_book_in_force_on_the_permit_date(day, title):
    assert book_in_force(ADOPTIONS, on=day).title == title


def test_before_any_adoption_no_book_is_made_up():
    with pytest.raises(NoBook, match="2015-12-31"):
        book_in_force(ADOPTIONS, on=date(2015, 12, 31))


def test_the_edition_decides_where_editions_differ():
    outline = guessed("IRC")
    drain = changed(outline.drain, "owner-bath-shower", size="1-1/2")
    outline = replace(outline, drain=drain)

    def ok(edition):
        report = check_plan(outline, book=Book("IRC", edition), site=SITE)
        return [f.ok for f in report.of("owner-bath-shower") if f.check == "arm size"]

    # IRC P3201.7: a shower trap is 2 in. to 2009, 1-1/2 in. from 2012.
    assert (ok(2009), ok(2012), ok(2021)) == ([False], [True], [True])


@pytest.mark.parametrize(
    ("place", "code", "number"),
    [("Litchfield Park AZ", "IRC", 4), ("Chicago IL", "IPC", 4),
     ("Oregon 2011", "UPC", 1), ("Davison MI", "IRC", 2),
     ("Washington State", "UPC", 1), ("Illinois", "IPC", 2), ("Nowhere", "IRC", 0)],
)  # fmt: skip
def test_published_amendments_name_cells_that_exist_and_their_source(
    place, code, number
):
    found = published_amendments(place, code=code)

    assert len(found) == number
    for override in found:
        assert why_not_override(override, code=code) is None
        assert "http" in override.note


def test_three_closets_pass_and_a_fourth_fails_where_a_city_counts_them():
    overrides = published_amendments("Litchfield Park AZ", code="IRC")
    four = (*ROOMS, Placed(1, "powder-2", "closet"))

    def ok(rooms):
        outline = guessed("IRC", rooms=rooms)
        report = check("IRC", outline=outline, overrides=overrides)
        found = [f for f in report.of("building-drain") if "closets" in f.check]
        return [(f.value, f.limit, f.verdict) for f in found]

    assert ok(ROOMS) == [(3, 3, "pass")]
    assert ok(four) == [(4, 3, "fail")]


ROWS = table("dwv/local_amendments")
BOOKS = {"Chicago IL": "IPC", "Washington State": "UPC", "Oregon 2011": "UPC",
         "Illinois": "IPC", "Detroit MI": "IPC"}  # fmt: skip


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['place']} {row['topic']}")
def test_each_of_the_twenty_is_a_cell_a_test_rule_or_a_note_with_its_reason(row):
    place = row["place"]
    code = BOOKS.get(place, "IRC")

    kept = jurisdiction_rows(place, code=code)

    mine = [k for k in kept if k["note"].startswith(f"{place}, {row['topic']}:")]
    assert mine
    for one in mine:
        assert row["provenance"] in one["note"]
        if "cell" not in one:
            assert len(one["reason"]) > 20
        elif not one["cell"].startswith("test."):
            override = Override(one["cell"], one["value"], one["note"])
            assert why_not_override(override, code=code) is None


def test_the_test_rules_of_places_are_ones_that_the_tests_know():
    assert len(ROWS) == 20
    kept = [
        one
        for row in ROWS
        for one in jurisdiction_rows(row["place"], code=BOOKS.get(row["place"], "IRC"))
        if one.get("cell", "").startswith("test.")
    ]

    known = amendments_from(kept)

    assert {(a.system, a.topic) for a in known} == {
        ("gas", "pressure_psi"), ("gas", "minutes"), ("dwv", "no_plastic"),
    }  # fmt: skip
    assert len(known) == len(kept)


def test_a_city_that_counts_turns_in_total_asks_fewer_cleanouts():
    local = published_amendments("Litchfield Park AZ", code="IRC")

    model, _ = cleanouts_wanted(Book("IRC"), [90, 45], 50)
    city, cells = cleanouts_wanted(Book("IRC", overrides=local), [90, 45], 50)
    more, _ = cleanouts_wanted(Book("IRC", overrides=local), [90, 90], 50)

    assert (model, city, more) == (2, 1, 2)
    assert cells[0].origin == "local"


@pytest.mark.parametrize(
    ("cell", "value", "key", "values", "check_name"),
    [("underground_branch", "3", "kitchen-drain", {}, "underground branch"),
     ("sewer_slope_4_in", "0.25", "sewer", {"slope": 0.125}, "least slope")],
)  # fmt: skip
def test_a_local_setting_decides_where_it_is_set(cell, value, key, values, check_name):
    outline = guessed("IRC")
    outline = replace(outline, drain=changed(outline.drain, key, **values))
    local = (Override(cell, value, "city code 7"),)

    def found(overrides):
        report = check("IRC", outline=outline, overrides=overrides)
        return [f.verdict for f in report.of(key) if f.check == check_name]

    assert found(local) == ["fail"]
    assert "fail" not in found(())
