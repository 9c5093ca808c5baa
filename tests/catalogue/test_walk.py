"""Keys and order of a list."""

import pytest

from phases.catalogue import (
    Catalogue,
    Fixture,
    House,
    PlanError,
    Room,
    load_catalogue,
    read_tables,
    rooms_of,
    stub_out_list,
)
from tests.catalogue.houses import house_of, keys_of, listed, room_of

ROOMS = (
    room_of(Fixture("closet1", "closet"), key="bath1", order=1),
    room_of(Fixture("closet1", "closet"), key="bath2", order=2),
    room_of(Fixture("sink1", "kitchen_sink"), key="kitchen", order=3),
)


def test_copies_have_keys_of_their_own_and_the_first_keeps_its_key():
    one = listed(room_of(Fixture("bibb", "hose_bibb", quantity=1)))
    three = listed(room_of(Fixture("bibb", "hose_bibb", quantity=3)))

    assert keys_of(one, start="bath1/bibb", phase="trim") == ["bath1/bibb/set.trim"]
    assert keys_of(three, start="bath1/bibb", phase="trim") == [
        "bath1/bibb/set.trim",
        "bath1/bibb-2/set.trim",
        "bath1/bibb-3/set.trim",
    ]


def test_each_wall_with_pipe_has_plates_and_a_photo_under_its_name_on_the_plan():
    room = room_of(
        Fixture("closet1", "closet", wall="back"),
        Fixture("lav1", "lavatory", wall="left"),
    )

    found = listed(room, mirrored=True)

    assert found["bath1/walls/plates.topout.left"].text_en.startswith("right wall:")
    assert keys_of(found, start="bath1/walls/photo") == [
        "bath1/walls/photo.topout.back",
        "bath1/walls/photo.topout.left",
    ]


def test_the_walk_goes_by_floor_room_wall_and_fixture():
    rooms = [
        room_of(Fixture("c", "closet"), key="up", floor=2),
        room_of(
            Fixture("lav", "lavatory", wall="right"),
            Fixture("c", "closet", wall="left"),
            key="down2",
            order=2,
        ),
        room_of(Fixture("c", "closet"), key="down1", order=1),
    ]
    demands = stub_out_list(house_of(*rooms, storeys=2), load_catalogue())

    walked = rooms_of(tuple(d for d in demands if d.phase == "trim"))
    mirrored = listed(*rooms, storeys=2, mirrored=True)

    assert [room for room, _ in walked] == ["down1", "down2", "up", "house"]
    assert list(dict.fromkeys(d.fixture for d in walked[1][1])) == ["c", "lav"]
    assert list(
        dict.fromkeys(
            d.fixture
            for d in mirrored.values()
            if d.room == "down2" and d.phase == "trim"
        )
    ) == ["lav", "c"]


def test_phases_come_in_the_contractors_own_order_and_number():
    tables = read_tables()
    merged = {"topout": "rough"}
    tables["demands"] = [
        {
            **r,
            "phase": merged.get(r["phase"], r["phase"]),
            "key": f"{r['key']}"[:13] + ("_t" if r["phase"] == "topout" else ""),
        }
        for r in tables["demands"]
    ]
    catalogue = Catalogue.from_rows(tables, phases=("underground", "rough", "trim"))

    found = stub_out_list(house_of(room_of(Fixture("c", "closet"))), catalogue)

    assert list(dict.fromkeys(d.phase for d in found)) == [
        "underground",
        "rough",
        "trim",
    ]


def test_the_same_house_gives_the_same_list_and_every_key_once():
    house = House(rooms=ROOMS)

    first = stub_out_list(house, load_catalogue())

    assert first == stub_out_list(house, load_catalogue())
    assert len({d.key for d in first}) == len(first)
    assert max(len(d.key) for d in first) <= 120


def test_two_fixtures_whose_copies_collide_are_refused():
    room = Room(
        "out",
        "outside",
        fixtures=(
            Fixture("bibb", "hose_bibb", quantity=2),
            Fixture("bibb-2", "hose_bibb"),
        ),
    )

    with pytest.raises(PlanError, match="bibb-2"):
        stub_out_list(House(rooms=(room,)), load_catalogue())
