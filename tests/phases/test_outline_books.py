"""Which book an outline is checked in, and how its sizes reach items and paper."""

import re
from datetime import date, timedelta

import pytest

from inspections.papers.sheet import _rooms
from phases.actions.lots import update_lot
from phases.actions.outlines import (
    accept_outline,
    keep_guess,
    save_outline,
)
from phases.catalogue import Fixture, House, Room, stub_out_list
from phases.house_of import catalogue_now, plan_of
from phases.item_sizes import with_sizes
from phases.log import Who
from phases.models import CheckItem
from phases.plan_check import (
    baths_of,
    book_of,
    clearances_of,
    outline_from,
    overrides_of,
)
from phases.sizing.amendments import NoBook
from phases.sizing.outline import show
from phases.sizing.tables import Book
from tests.factories import (
    NOW,
    make_jurisdiction,
    make_lot,
    make_member,
    make_plan,
    make_subdivision,
)
from tracker.phone.item_docs import item_doc

pytestmark = pytest.mark.django_db
IRC = Book("IRC", 2021)
FIXTURES = ("closet", "lavatory", "tub_shower")


@pytest.fixture
def office():
    return Who(member=make_member("office"))


def guessed(plan, who, codes=()):
    return keep_guess(plan, codes, book=IRC, who=who, now=NOW)


def accepted(outline, who):
    return accept_outline(outline, name="Wren Quill", who=who, now=NOW)


def item_of(lot, key):
    return CheckItem.objects.get(lot_phase__lot=lot, key=key)


CLOSET = "bath/closet1/drain.rough"


# the book in force


def test_the_permits_date_decides_the_book():
    office = make_jurisdiction(
        amendments=[
            {"code": "IRC", "edition": "2018", "effective": "2020-01-01"},
            {"code": "IRC", "edition": "2021", "effective": "2025-07-01"},
        ]
    )
    street = make_subdivision(jurisdiction=office, code_book="IRC", edition="2021")

    assert book_of(street, on=date(2025, 6, 30)).title == "IRC 2018"
    assert book_of(street, on=date(2025, 7, 1)).title == "IRC 2021"
    assert book_of(street).title == "IRC 2021"


def test_a_new_permit_date_brings_the_sizes_of_its_book(office):
    rules = make_jurisdiction(
        amendments=[{"code": "UPC", "edition": "2021", "effective": "2026-01-01"}]
    )
    street = make_subdivision(jurisdiction=rules)
    plan = make_plan(street.builder, fixtures=FIXTURES, foundation="crawl")
    accepted(guessed(plan, office), office)
    lot = make_lot(street, plan=plan)
    assert item_of(lot, CLOSET).spec["checked"] == "IRC 2021"

    update_lot(
        lot, who=office, now=NOW + timedelta(days=1), permit_issued_on=date(2026, 2, 1)
    )

    assert item_of(lot, CLOSET).spec["checked"] == "UPC 2021"


def test_a_street_without_a_book_checks_nothing(office):
    street = make_subdivision(code_book="", edition="")
    plan = make_plan(street.builder, fixtures=FIXTURES, foundation="crawl")
    accepted(guessed(plan, office), office)

    with pytest.raises(NoBook, match="No code book"):
        book_of(street)
    assert "checked" not in item_of(make_lot(street, plan=plan), CLOSET).spec


def test_local_amendments_are_taken_by_book_and_bad_ones_are_named():
    office = make_jurisdiction(
        amendments=[
            {"cell": "closets_on_3_in_stack", "value": "2", "note": "Ord. 12"},
            {"cell": "test.gas.pressure_psi", "value": "3", "note": "Ord. 13"},
            {"cell": "no-such-cell", "value": "1", "note": "Ord. 14"},
            {"cell": "closets_on_3_in_stack", "value": "9", "book": "UPC"},
        ]
    )

    found, unused = overrides_of(office, "IRC")

    assert [(o.cell, o.value, o.note) for o in found] == [
        ("closets_on_3_in_stack", "2", "Ord. 12")
    ]
    assert unused == ("no-such-cell: IRC has no cell or setting 'no-such-cell'.",)


# reading the plan


def test_a_room_with_closet_and_tub_is_a_bath_and_one_without_is_half():
    plan = make_plan(fixtures=("closet", "lavatory", "shower"))
    house, _ = plan_of(plan)
    half, _ = plan_of(make_plan(fixtures=("closet", "lavatory")))

    assert (baths_of(house), baths_of(half)) == (1.0, 0.5)


def test_centre_lines_of_the_plan_become_clearances_that_are_checked():
    closet = Fixture("wc", "closet", wall="back", along=14 * 16)
    bidet = Fixture("bd", "bidet", wall="back", along=42 * 16)
    sink = Fixture("lav", "lavatory", wall="back", along=70 * 16)
    room = Room("bath", "bath", 1, 1, "Bath", "Baño", fixtures=(closet, bidet, sink))

    clear = clearances_of(House(rooms=(room,)))

    assert [(c.key, c.side_in, c.next_in) for c in clear] == [
        ("bath-closet", 14, 28),
        ("bath-bidet", 42, 28),
    ]


def test_what_is_shown_reads_back_to_the_same_outline(office):
    outline = guessed(make_plan(fixtures=FIXTURES), office)

    read = outline_from(outline.text, True, "")

    assert show(read) == outline.text


def test_without_a_report_the_list_is_as_the_catalogue_has_it():
    house, _ = plan_of(make_plan(fixtures=FIXTURES))

    assert with_sizes((), house, None) == ()


def test_a_text_that_names_the_pipe_follows_its_size_and_other_figures_stay(office):
    """Over every kind that the catalogue pipes, each on a framed floor."""
    kinds = (
        "closet",
        "lavatory",
        "tub_shower",
        "shower",
        "kitchen_sink",
        "washer_box",
        "gas_range",
    )
    plan = make_plan(fixtures=kinds, foundation="crawl")
    outline = guessed(plan, office)
    text = re.sub(r"(arm \S+ size=)\S+", r"\g<1>4", outline.text)
    text = re.sub(r"(outlet \S+ size=)\S+", r"\g<1>1-1/4", text)
    # Walls that take a bore of that size, so that no pipe fails.
    text = re.sub(r"stud=2x\d", "stud=2x12", text)
    outline = save_outline(
        plan, [], text=text, extras="", site={}, book=IRC, who=office, now=NOW
    )
    before = {d.key: d for d in stub_out_list(plan_of(plan)[0], catalogue_now())}
    accepted(outline, office)

    lot = make_lot(plan=plan)

    said = {
        item.key: item.spec["text_en"]
        for item in CheckItem.objects.filter(
            lot_phase__lot=lot, spec__has_key="checked"
        )
    }
    assert said["bath/shower4/drain.rough"] == "Shower drain, 4 in., with trap"
    assert said["bath/gas_range7/gas.topout"] == "Gas drop for the range, 1 1/4 in."
    assert said["bath/washer_box6/drain.rough"] == (
        "Washer standpipe and trap, 4 in.; top of the pipe above the trap weir"
    )
    assert said["bath/kitchen_sink5/drain.rough"] == (
        before["bath/kitchen_sink5/drain.rough"].text_en
    )


def test_phone_and_inspection_sheet_show_the_book_of_a_checked_size(office):
    plan = make_plan(fixtures=FIXTURES, foundation="crawl")
    accepted(guessed(plan, office), office)
    lot = make_lot(plan=plan)
    item = item_of(lot, CLOSET)
    unmarked = item_of(lot, "bath/closet1/clear.rough")

    docs = [
        item_doc(
            one,
            answers=(),
            walked=None,
            photos=(),
            member=office.member,
            catalogue=catalogue_now(),
        )
        for one in (item, unmarked)
    ]

    assert docs[0]["where"] == {
        "en": '3" · ✓ checked IRC 2021',
        "es": '3" · ✓ revisado IRC 2021',
    }
    assert "IRC" not in docs[1]["where"]["en"]
    (room,) = _rooms([item])
    assert room["items"][0]["size"] == "3, checked IRC 2021"
