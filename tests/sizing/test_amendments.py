from dataclasses import replace
from datetime import date

import pytest

from phases.sizing.amendments import (
    SETTINGS,
    Adoption,
    NoBook,
    book_in_force,
    overridable,
    why_not_override,
)
from phases.sizing.outline import changed
from phases.sizing.plan.check import check_plan
from phases.sizing.tables import Book, Override
from tests.sizing.houses import SITE, guessed


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
    if not amendment.cell.startswith("closets"):
        assert any(c.provenance == f"local: {amendment.note}"
                   for c in found(local)[0].cells)  # fmt: skip
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
