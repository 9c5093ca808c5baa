"""What a lot demands beyond its fixtures: stacks, roof, yard, tests, code book."""

import pytest

from phases.catalogue import (
    Fixture,
)
from tests.catalogue.houses import keys_of, listed, room_of


@pytest.mark.parametrize(
    ("upstairs", "size"),
    [
        (("closet", "lavatory"), "3"),
        (("lavatory", "tub"), "2"),
        (("washer_box",), "2"),
    ],
)
def test_a_closet_upstairs_sets_the_stack_below(upstairs, size):
    fixtures = [Fixture(f"f{n}", kind) for n, kind in enumerate(upstairs)]
    down = room_of(Fixture("closet1", "closet"), key="half")
    up = room_of(*fixtures, key="up", floor=2)

    demand = listed(down, up, storeys=2)["house/stack/drain.rough.up"]

    assert demand.size == size
    assert demand.text_en.startswith(f"{size} in. stack from Bath")


def test_upstairs_rooms_that_share_a_stack_are_asked_for_once():
    rooms = [
        room_of(Fixture("lav1", "lavatory"), key="a", floor=2, stack="s1"),
        room_of(Fixture("closet1", "closet"), key="b", floor=2, stack="s1"),
    ]

    found = listed(*rooms, storeys=2)

    assert keys_of(found, start="house/stack/drain") == ["house/stack/drain.rough.s1"]
    assert found["house/stack/drain.rough.s1"].size == "3"


def roof(found):
    return [
        (demand.key.rsplit(".", 1)[1], demand.size)
        for key, demand in found.items()
        if "/through_roof." in key
    ]


def flashings(found):
    return {
        demand.size: demand.quantity
        for demand in found.values()
        if demand.handoff == "roofer"
    }


ROOMS = (
    room_of(Fixture("closet1", "closet"), key="bath1", order=1),
    room_of(Fixture("closet1", "closet"), key="bath2", order=2),
    room_of(Fixture("sink1", "kitchen_sink"), key="kitchen", order=3),
)


def test_vents_through_the_roof_follow_the_rule_and_leave_flashings_by_size():
    found = listed(*ROOMS)

    assert roof(found) == [("bath1", "3"), ("bath2", "2"), ("kitchen", "1 1/2")]
    assert flashings(found) == {"1 1/2": 1, "2": 1, "3": 1}


@pytest.mark.parametrize(
    ("book", "sizes"), [("IRC", ["3", "3", "3"]), ("UPC", ["3", "2", "2"])]
)
def test_where_vents_freeze_none_is_smaller_than_the_book_allows(book, sizes):
    found = listed(*ROOMS, book=book, facts={"frost": "yes"})

    assert [size for _, size in roof(found)] == sizes
    assert sum(flashings(found).values()) == 3


def test_rooms_that_share_a_vent_pass_the_roof_once_and_basements_tie_in():
    rooms = [
        room_of(Fixture("closet1", "closet"), key="a", vent="v1"),
        room_of(Fixture("lav1", "lavatory"), key="b", vent="v1"),
        room_of(Fixture("closet1", "closet"), key="low", floor=0),
    ]

    assert roof(listed(*rooms, foundation="basement")) == [("v1", "3")]
    assert roof(listed(rooms[2], foundation="basement")) == [("low", "3")]


def test_a_lot_has_its_sewer_service_entry_and_tests_without_being_told():
    found = listed(room_of(Fixture("closet1", "closet")), facts={"prv": "yes"})

    assert {
        key.split("/")[1] for key in found if key.startswith(("yard", "house"))
    } == {
        "building_sewer",
        "water_service",
        "water_entry",
        "pressure_regulator",
        "cleanout",
        "slab_sleeves",
        "gas_service",
        "systems",
    }
    assert [
        (demand.phase, demand.least, demand.unit, demand.minutes)
        for key, demand in found.items()
        if key.startswith("house/systems/") and demand.proof == "test"
    ] == [
        ("underground", 10, "ft", 15),
        ("topout", 10, "ft", 15),
        ("topout", 50, "psi", 15),
        ("topout", 3, "psi", 10),
    ]


def test_a_water_entry_that_the_plan_places_is_not_asked_for_twice():
    entry = room_of(Fixture("main", "water_entry"), key="garage", kind="garage")

    found = listed(entry)

    assert "garage/main/valve.topout" in found
    assert keys_of(found, start="house/water_entry") == []


def test_the_book_of_the_lot_picks_its_figures():
    room = room_of(Fixture("closet1", "closet"), Fixture("wash1", "washer_box"))

    figures = {
        book: (
            listed(room, book=book)["bath1/closet1/front.trim"].least,
            listed(room, book=book)["bath1/wash1/drain.rough"].most,
        )
        for book in ("IRC", "IPC", "UPC")
    }

    assert figures == {"IRC": (21, 42), "IPC": (21, 42), "UPC": (24, 30)}
