"""What single fixtures and their combinations demand."""

from collections import Counter

from phases.catalogue import (
    PHASES,
    Finish,
    Fixture,
)
from tests.catalogue.houses import keys_of, listed, room_of

SINK = Fixture("sink1", "kitchen_sink")
DISHWASHER = Fixture("dish1", "dishwasher")


def outlets(found, *, start, phase="topout"):
    """How many of each outlet stand below a key in one phase."""
    count = Counter()
    for demand in found.values():
        if demand.key.startswith(start) and demand.phase == phase:
            count[demand.outlet] += demand.quantity
    return count


def kitchen(*fixtures, **more):
    return room_of(*fixtures, key="kitchen", kind="kitchen", **more)


def test_a_kitchen_with_a_dishwasher_shows_two_hots_and_one_cold():
    found = outlets(listed(kitchen(SINK, DISHWASHER)), start="kitchen/")

    assert (found["hot"], found["cold"]) == (2, 1)


def test_the_second_hot_stands_as_high_as_the_hot_of_its_sink():
    found = listed(kitchen(SINK, DISHWASHER))
    hot = found["kitchen/sink1/hot.topout"].targets[0]
    second = found["kitchen/sink1/hot2.topout"].targets[0]

    assert (second.axis, second.bare, second.finished) == (
        hot.axis,
        hot.bare,
        hot.finished,
    )


def test_a_kitchen_without_a_dishwasher_shows_one_hot_and_one_cold():
    found = outlets(listed(kitchen(SINK)), start="kitchen/")

    assert (found["hot"], found["cold"]) == (1, 1)


def test_a_dishwasher_names_the_sink_that_gets_its_hot():
    second = Fixture("sink2", "kitchen_sink", position="island")
    dish = Fixture("dish1", "dishwasher", beside="sink2")

    found = listed(kitchen(SINK, second, dish))

    assert keys_of(found, start="kitchen/sink1/hot2") == []
    assert keys_of(found, start="kitchen/sink2/hot2") == ["kitchen/sink2/hot2.topout"]


def test_two_dishwashers_at_one_sink_need_two_more_hots():
    dishes = Fixture("dish1", "dishwasher", quantity=2)

    demand = listed(kitchen(SINK, dishes))["kitchen/sink1/hot2.topout"]

    assert (demand.quantity, demand.text_en) == (
        2,
        "Second hot stub for the dishwasher (2)",
    )


def test_a_dishwasher_without_a_sink_has_a_hot_of_its_own():
    found = outlets(listed(kitchen(DISHWASHER)), start="kitchen/")

    assert (found["hot"], found["cold"]) == (1, 0)


def test_an_island_sink_has_a_vent_that_works_without_a_wall():
    island = Fixture("sink1", "kitchen_sink", position="island")

    looped = listed(kitchen(island))
    valved = listed(kitchen(island), facts={"aav": "yes"})

    assert looped["kitchen/sink1/vent.rough"].text_en.startswith("Island vent: loop")
    assert "kitchen/sink1/vent_low.underground" in looped
    assert "kitchen/sink1/aav.trim" not in looped
    assert "air admittance" in valved["kitchen/sink1/vent.rough"].text_en
    assert "kitchen/sink1/vent_low.underground" not in valved
    assert "kitchen/sink1/aav.trim" in valved


def test_an_island_on_a_slab_gets_its_water_below_the_slab():
    island = Fixture("sink1", "kitchen_sink", position="island")

    on_slab = outlets(listed(kitchen(island)), start="kitchen/", phase="underground")
    framed = outlets(
        listed(kitchen(island), foundation="crawl"),
        start="kitchen/",
        phase="underground",
    )

    assert on_slab == {"drain": 1, "vent": 1, "hot": 1, "cold": 1}
    assert framed == {}


def test_a_tankless_heater_needs_gas_condensate_vent_sleeve_and_power_by_others():
    heater = room_of(Fixture("heat1", "tankless_gas"), key="garage", kind="garage")

    found = listed(heater)

    assert outlets(found, start="garage/heat1/") == {
        "hot": 1,
        "cold": 1,
        "gas": 1,
        "condensate": 1,
        "sleeve": 1,
        "power": 1,
    }
    power = found["garage/heat1/power.topout"]
    assert (power.proof, power.handoff) == ("handoff", "electrician")


def test_a_gas_range_has_a_three_quarter_drop_a_half_inch_stub_and_a_stop_in_reach():
    found = listed(kitchen(Fixture("range1", "gas_range")))

    assert found["kitchen/range1/gas.topout"].size == "3/4"
    assert found["kitchen/range1/stub.topout"].size == "1/2"
    assert "without moving" in found["kitchen/range1/gas_stop.trim"].text_en


def test_condensate_joins_the_lavatory_drain_above_its_trap():
    room = room_of(
        Fixture("lav1", "lavatory"), Fixture("air1", "ac_condensate"), name_en="Hall"
    )

    demand = listed(room)["bath1/air1/join.topout"]

    assert demand.text_en == (
        "Condensate joins the drain of the lavatory, Hall above its trap; "
        "stub left in the cabinet"
    )


def test_a_double_lavatory_has_its_stubs_twice():
    found = listed(room_of(Fixture("lav1", "lavatory_double")))

    assert outlets(found, start="bath1/lav1/") == {"hot": 2, "cold": 2}
    assert keys_of(found, start="bath1/lav1/drain.rough") == [
        "bath1/lav1/drain.rough.1",
        "bath1/lav1/drain.rough.2",
    ]


def test_drains_go_below_the_slab_or_through_the_floor():
    closet = Fixture("closet1", "closet")

    def phases(**more):
        floor = more.pop("floor", 1)
        found = listed(room_of(closet, floor=floor), **more)
        return [
            found[key].phase
            for key in found
            if key.endswith(tuple(f"closet1/drain.{phase}" for phase in PHASES))
        ]

    assert phases(foundation="slab") == ["underground"]
    assert phases(foundation="slab", floor=2, storeys=2) == ["rough"]
    assert phases(foundation="crawl") == ["rough"]
    assert phases(foundation="basement") == ["rough"]
    assert phases(foundation="basement", floor=0) == ["underground"]


def test_a_front_hose_bibb_across_the_garage_asks_for_its_line():
    run = Fixture("front", "hose_bibb", params={"run": "garage"})
    room = room_of(run, Fixture("rear", "hose_bibb"), key="out", kind="outside")

    found = listed(room)
    below = listed(room, facts={"water_route": "slab"})

    assert keys_of(found, start="out/", phase="topout")[:3] == [
        "out/front/run.topout",
        "out/front/cold.topout",
        "out/rear/cold.topout",
    ]
    assert keys_of(below, start="out/", phase="underground") == [
        "out/front/run.underground"
    ]


def test_targets_follow_the_finish_of_their_own_room():
    thick = room_of(Fixture("c", "closet"), key="a", finish=Finish(board=10))
    thin = room_of(Fixture("c", "closet"), key="b", finish=Finish(board=6))

    found = listed(thick, thin)

    assert [
        found[f"{key}/c/drain.underground"].target("wall").bare for key in "ab"
    ] == [202, 198]


def test_a_garage_floor_is_concrete_whatever_the_house_stands_on():
    drain = Fixture("drain1", "floor_drain", position="floor")
    garage = room_of(drain, key="garage", kind="garage")

    found = listed(garage, foundation="crawl")

    assert keys_of(found, start="garage/drain1/drain") == [
        "garage/drain1/drain.underground"
    ]
