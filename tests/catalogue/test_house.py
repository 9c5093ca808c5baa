import pytest

from phases.catalogue import (
    Finish,
    Fixture,
    House,
    Option,
    PlanError,
    Room,
    apply_options,
)
from tests.catalogue.houses import room_of

PLAN = House(
    rooms=(
        room_of(Fixture("closet1", "closet"), Fixture("tub1", "tub")),
        room_of(Fixture("sink1", "kitchen_sink"), key="kitchen", kind="kitchen"),
    )
)


def fixtures_of(house):
    return {
        room.key: [f"{f.key}:{f.kind}" for f in room.fixtures] for room in house.rooms
    }


def test_an_option_exchanges_adds_and_removes():
    shower = Option(
        "SH1",
        removes=(("bath1", "tub1"),),
        adds=(("bath1", Fixture("tub1", "shower")),),
        finishes=(("bath1", Finish(backer=8, tile=6, tiled="all")),),
    )
    bonus = Option(
        "UP2",
        removes_rooms=("kitchen",),
        adds_rooms=(room_of(Fixture("lav1", "lavatory"), key="loft", floor=2),),
        facts={"fuel": "propane"},
    )

    house = apply_options(PLAN, [shower, bonus])

    assert fixtures_of(house) == {
        "bath1": ["closet1:closet", "tub1:shower"],
        "loft": ["lav1:lavatory"],
    }
    assert (house.storeys, house.facts) == (2, {"fuel": "propane"})
    assert house.rooms[0].finish.tiled == "all"
    assert fixtures_of(PLAN)["bath1"] == ["closet1:closet", "tub1:tub"]


@pytest.mark.parametrize(
    ("option", "reason"),
    [
        (
            Option("X", removes=(("bath1", "tub9"),)),
            "Option X: there is no fixture bath1/tub9 to take away.",
        ),
        (Option("X", removes=(("attic", "a"),)), "Option X: there is no room attic."),
        (
            Option("X", removes_rooms=("attic",)),
            "Option X: there is no room attic to take away.",
        ),
        (
            Option("X", adds=(("attic", Fixture("a", "closet")),)),
            "Option X: there is no room attic.",
        ),
        (
            Option("X", adds=(("bath1", Fixture("tub1", "tub")),)),
            "Option X: Two of the same fixture in bath1: tub1. Give each its own key.",
        ),
        (
            Option("X", adds_rooms=(room_of(key="bath1"),)),
            "Option X: room bath1 is there already.",
        ),
    ],
)
def test_an_option_that_contradicts_the_plan_is_refused_by_name(option, reason):
    with pytest.raises(PlanError) as refused:
        apply_options(PLAN, [option])

    assert str(refused.value) == reason


@pytest.mark.parametrize(
    ("make", "reason"),
    [
        (lambda: Fixture("Bath 1", "closet"), "small letters"),
        (lambda: Fixture("a", "closet", quantity=0), "quantity must be 1 to 50"),
        (lambda: Fixture("a", "closet", wall="north"), "Choose one of: left, back"),
        (lambda: Fixture("a", "closet", position="roof"), "Position 'roof'"),
        (lambda: Room("a", "bath", floor=9), "floor must be 0"),
        (lambda: Finish(board=-1), "between 0 and 12 in"),
        (lambda: Finish(tiled="some"), "Tiled walls 'some'"),
        (lambda: House(foundation="pier"), "slab, crawl, basement"),
        (lambda: House(book="NPC"), "IRC, IPC, UPC"),
        (lambda: House(storeys=0), "1 to 5 storeys"),
        (lambda: House(rooms=(room_of(), room_of())), "Two of the same room: bath1"),
        (lambda: House(rooms=(room_of(floor=2),)), "floor 2 of a house with 1"),
    ],
)
def test_a_plan_that_contradicts_itself_is_refused_with_what_to_do(make, reason):
    with pytest.raises(PlanError, match=reason):
        make()
