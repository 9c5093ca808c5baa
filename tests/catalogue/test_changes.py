from dataclasses import replace

from phases.catalogue import (
    Catalogue,
    Fixture,
    Option,
    apply_options,
    diff,
    load_catalogue,
    read_tables,
    stub_out_list,
)
from tests.catalogue.houses import house_of, room_of

PLAN = house_of(
    room_of(Fixture("closet1", "closet"), Fixture("tub1", "tub")),
    room_of(Fixture("sink1", "kitchen_sink"), key="kitchen", kind="kitchen"),
)


def listed(house, catalogue=None):
    return stub_out_list(house, catalogue or load_catalogue())


def test_the_same_house_has_no_difference():
    assert not diff(listed(PLAN), listed(PLAN))


def test_an_option_adds_loses_and_changes_by_key():
    dish = Option("DW", adds=(("kitchen", Fixture("dish1", "dishwasher")),))
    no_tub = Option("NT", removes=(("bath1", "tub1"),))

    found = diff(listed(PLAN), listed(apply_options(PLAN, [dish, no_tub])))

    assert sorted(d.key for d in found.added if d.phase == "topout") == [
        "kitchen/dish1/hole.topout",
        "kitchen/dish1/power.topout",
        "kitchen/sink1/hot2.topout",
    ]
    assert {d.fixture for d in found.lost} == {"tub1"}
    assert found.changed == ()


def test_a_moved_figure_is_a_change_that_names_its_field():
    tables = read_tables()
    for row in tables["demands"]:
        if row["fixture"] == "closet" and row["key"] == "drain":
            row["wall"] = "10"

    found = diff(listed(PLAN), listed(PLAN, Catalogue.from_rows(tables)))

    assert [(change.new.key, change.fields) for change in found.changed] == [
        ("bath1/closet1/drain.underground", ("targets",))
    ]
    assert found.changed[0].new.target("wall").finished == 160
    assert (found.added, found.lost) == ((), ())


def test_a_mirrored_lot_changes_what_a_crew_would_do_and_nothing_else():
    found = diff(listed(PLAN), listed(replace(PLAN, mirrored=True)))

    assert [change.new.key for change in found.changed] == ["bath1/closet1/cold.topout"]


def test_another_order_or_source_is_no_change():
    tables = read_tables()
    tables["demands"] = [
        {**row, "source": "common practice"} for row in tables["demands"]
    ]
    before = [replace(d, advisory=False) for d in listed(PLAN)]

    assert not diff(reversed(before), listed(PLAN, Catalogue.from_rows(tables)))
