from collections import Counter

import pytest

from phases.catalogue import (
    PHASES,
    Catalogue,
    Finish,
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


def markers(found):
    return [key for key, demand in found.items() if demand.proof == "no_list"]


def test_a_house_without_rooms_is_not_proven_in_any_phase():
    found = listed()

    assert list(found) == [f"house/no_list.{phase}" for phase in PHASES]
    assert {d.text_en for d in found.values()} == {
        "not proven: no list. This house has no rooms on its plan."
    }
    assert all(demand.concealed for demand in found.values())


def test_a_room_without_fixtures_is_not_proven_beside_rooms_that_are():
    found = listed(room_of(Fixture("closet1", "closet")), room_of(key="empty"))

    assert markers(found) == [f"empty/no_list.{phase}" for phase in PHASES]


def test_a_room_said_to_have_no_plumbing_needs_no_list():
    found = listed(
        room_of(Fixture("closet1", "closet")),
        room_of(Fixture("none", "no_plumbing"), key="den", kind="living"),
    )

    assert keys_of(found, start="den/") == []


@pytest.mark.parametrize(
    ("fixture", "facts", "reason"),
    [
        (Fixture("x", "fountain"), {}, "The catalogue does not know fountain."),
        (
            Fixture("x", "lavatory", params={"bowls": "9"}),
            {},
            "The plan says bowls=9, which the catalogue does not know.",
        ),
        (
            Fixture("x", "gas_range"),
            {"fuel": "none"},
            "gas range needs fuel gas and the lot has none.",
        ),
        (
            Fixture("x", "dishwasher", beside="sink9"),
            {},
            "dishwasher works with a fixture that is not on the plan.",
        ),
        (
            Fixture("x", "ac_condensate"),
            {},
            "air-conditioner condensate does not say which fixture it works with, "
            "and there is none to guess.",
        ),
    ],
)
def test_what_cannot_be_listed_is_marked_with_its_reason(fixture, facts, reason):
    found = listed(room_of(fixture), facts=facts)

    assert markers(found) == [f"bath1/x/no_list.{phase}" for phase in PHASES]
    assert found["bath1/x/no_list.rough"].text_en == f"not proven: no list. {reason}"


def test_a_fact_that_the_catalogue_does_not_know_is_marked_on_the_house():
    found = listed(room_of(Fixture("c", "closet")), facts={"fuel": "coal"})

    assert markers(found) == [f"house/fact/no_list.{phase}" for phase in PHASES]
    assert "fuel=coal" in found["house/fact/no_list.trim"].text_es


def test_a_kind_whose_rows_were_all_taken_away_is_marked():
    tables = read_tables()
    tables["demands"] = [r for r in tables["demands"] if "bidet" not in r["fixture"]]
    catalogue = Catalogue.from_rows(tables)

    found = stub_out_list(house_of(room_of(Fixture("b", "bidet"))), catalogue)

    assert [d.key for d in found if d.proof == "no_list"] == [
        f"bath1/b/no_list.{phase}" for phase in PHASES
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


def test_targets_follow_the_finish_of_their_own_room():
    thick = room_of(Fixture("c", "closet"), key="a", finish=Finish(board=10))
    thin = room_of(Fixture("c", "closet"), key="b", finish=Finish(board=6))

    found = listed(thick, thin)

    assert [
        found[f"{key}/c/drain.underground"].target("wall").bare for key in "ab"
    ] == [202, 198]
