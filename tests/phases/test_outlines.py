"""Piping outlines: kept, accepted, withdrawn, and their sizes on the check items."""

import pytest

from phases.actions.outlines import (
    accept_outline,
    keep_guess,
    save_outline,
    withdraw_outline,
)
from phases.log import Who
from phases.models import CheckItem, Correction, PlanOutline
from phases.sizing.tables import Book
from tests.factories import (
    NOW,
    make_lot,
    make_member,
    make_option,
    make_plan,
    prove,
)
from tracker.errors import Refused

pytestmark = pytest.mark.django_db
IRC = Book("IRC", 2021)
FIXTURES = ("closet", "lavatory", "tub_shower")


@pytest.fixture
def office():
    return Who(member=make_member("office"))


def guessed(plan, who, codes=()):
    return keep_guess(plan, codes, book=IRC, who=who, now=NOW)


def edited(outline, who, old, new, **more):
    assert old in outline.text
    return save_outline(
        outline.plan,
        [],
        text=outline.text.replace(old, new),
        extras=outline.extras,
        site=outline.site,
        book=IRC,
        who=who,
        now=NOW,
        **more,
    )


def accepted(outline, who):
    return accept_outline(outline, name="Wren Quill", who=who, now=NOW)


def item_of(lot, key):
    return CheckItem.objects.get(lot_phase__lot=lot, key=key)


CLOSET = "bath/closet1/drain.rough"


def test_a_guess_is_marked_and_sizes_nothing(office):
    plan = make_plan(fixtures=FIXTURES, foundation="crawl")

    outline = guessed(plan, office)
    lot = make_lot(plan=plan)

    assert (outline.is_guess, outline.is_accepted, outline.version) == (True, False, 1)
    assert outline.extras == "house baths=1\n"
    assert "checked" not in item_of(lot, CLOSET).spec


def test_a_plan_without_fixtures_has_no_guess(office):
    plan = make_plan(fixtures=())

    with pytest.raises(Refused, match="no fixtures to pipe") as caught:
        guessed(plan, office)

    assert "aún no tiene muebles" in caught.value.say("es")
    assert PlanOutline.objects.count() == 0


def test_the_sizes_of_an_accepted_outline_reach_items_made_later(office):
    plan = make_plan(fixtures=FIXTURES, foundation="crawl")
    outline = guessed(plan, office)
    outline = edited(outline, office, "size=3 length=3", "size=4 length=3")
    accepted(outline, office)

    lot = make_lot(plan=plan)

    spec = item_of(lot, CLOSET).spec
    assert (spec["size"], spec["checked"]) == ("4", "IRC 2021")
    assert spec["text_en"] == "Closet drain, 4 in., capped, off the back wall"
    assert spec["text_es"].startswith("Drenaje del inodoro de 4 pulg.,")


def test_acceptance_marks_an_answered_item_without_a_correction(office):
    plan = make_plan(fixtures=FIXTURES, foundation="crawl")
    lot = make_lot(plan=plan)
    item = item_of(lot, CLOSET)
    prove(item, who=office)

    accepted(guessed(plan, office), office)

    item.refresh_from_db()
    assert (item.spec["checked"], item.version, item.state) == ("IRC 2021", 1, "proven")
    assert Correction.objects.count() == 0
    assert lot.facts.filter(kind="item_changed", item=item).count() == 1


def test_a_new_size_follows_on_an_open_item_and_is_said_on_an_answered_one(office):
    plan = make_plan(fixtures=FIXTURES, foundation="crawl")
    lot = make_lot(plan=plan)
    answered, still_open = item_of(lot, CLOSET), item_of(lot, "bath/closet1/vent.rough")
    prove(answered, who=office)
    outline = guessed(plan, office)
    outline = edited(outline, office, "size=3 length=3", "size=4 length=3")
    outline = edited(outline, office, "vent_size=2 ", "vent_size=3 ")

    accepted(outline, office)

    answered.refresh_from_db()
    still_open.refresh_from_db()
    assert answered.spec["size"] == "3"
    assert answered.spec["pending"]["size"] == "4"
    said = list(Correction.objects.values_list("text", flat=True))
    assert len(said) == 1
    assert said[0].startswith("Size 3 is now 4 on the plan")
    assert (still_open.spec["size"], still_open.version) == ("3", 2)


def test_a_pipe_with_a_failed_check_is_never_shown_as_checked(office):
    plan = make_plan(fixtures=FIXTURES, foundation="crawl")
    outline = edited(
        guessed(plan, office), office, "size=3 length=3", "size=2 length=3"
    )
    accepted(outline, office)

    lot = make_lot(plan=plan)

    spec = item_of(lot, CLOSET).spec
    assert (spec["size"], spec.get("checked")) == ("3", None)
    assert item_of(lot, "bath/tub_shower3/drain.rough").spec["checked"] == "IRC 2021"


def test_an_outline_holds_for_exactly_its_options(office):
    plan = make_plan(fixtures=FIXTURES, foundation="crawl")
    option = make_option(plan, ["bidet"], code="BID")
    accepted(guessed(plan, office), office)

    plain = make_lot(plan=plan)
    with_option = make_lot(plan=plan, options=[option])

    assert item_of(plain, CLOSET).spec["checked"] == "IRC 2021"
    assert "checked" not in item_of(with_option, CLOSET).spec


def test_withdrawing_puts_the_version_before_in_force(office):
    plan = make_plan(fixtures=FIXTURES, foundation="crawl")
    first = accepted(guessed(plan, office), office)
    second = accepted(
        edited(first, office, "size=3 length=3", "size=4 length=3"), office
    )
    lot = make_lot(plan=plan)

    withdraw_outline(second, reason="wrong closet", who=office, now=NOW)

    assert item_of(lot, CLOSET).spec["size"] == "3"
    assert item_of(lot, CLOSET).spec["checked"] == "IRC 2021"
    withdraw_outline(first, reason="all wrong", who=office, now=NOW)
    assert "checked" not in item_of(lot, CLOSET).spec


def test_only_the_newest_version_is_accepted_by_a_name_and_once(office):
    plan = make_plan(fixtures=FIXTURES)
    first = guessed(plan, office)
    with pytest.raises(Refused, match="who accepts"):
        accept_outline(first, name=" ", who=office, now=NOW)
    second = edited(first, office, "length=40", "length=50")

    with pytest.raises(Refused, match="newer version"):
        accepted(first, office)
    accepted(second, office)
    with pytest.raises(Refused, match="accepted already by Wren Quill"):
        accepted(second, office)


def test_a_crew_may_not_accept(office):
    outline = guessed(make_plan(fixtures=FIXTURES), office)

    with pytest.raises(Refused, match="role"):
        accepted(outline, Who(member=make_member("lead")))


def test_an_edit_over_a_newer_version_is_refused_and_loses_nothing(office):
    first = guessed(make_plan(fixtures=FIXTURES), office)
    edited(first, office, "length=40", "length=50", base_version=1)

    with pytest.raises(Refused, match="kept version 2"):
        edited(first, office, "length=40", "length=60", base_version=1)

    assert [o.version for o in PlanOutline.objects.all()] == [2, 1]


def test_an_edit_that_changes_nothing_adds_no_version(office):
    first = guessed(make_plan(fixtures=FIXTURES), office)
    second = edited(first, office, "length=40", "length=50")

    assert edited(second, office, "length=50", "length=50").pk == second.pk


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("drain\n  sewer a size=4 length=0 slope=1/4", "line 2"),
        ("drain\n  arm a fixture=closet length=3", "line 2"),
        ("", "line 1"),
        ("what", "line 1"),
        ("drain\n" + "#" * 60_001, "text"),
    ],
)
def test_a_wrong_outline_is_refused_at_its_place(office, text, place):
    first = guessed(make_plan(fixtures=FIXTURES), office)

    with pytest.raises(Refused, match=place):
        save_outline(
            first.plan,
            [],
            text=text,
            extras="",
            site={},
            book=IRC,
            who=office,
            now=NOW,
        )

    assert PlanOutline.objects.count() == 1
