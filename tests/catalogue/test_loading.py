import shutil

import pytest

from phases.catalogue import Catalogue, CatalogueError, load_catalogue, read_tables
from phases.catalogue.loading import DATA


def change(table, match, cells):
    """The tables with `cells` changed in the first row that matches."""
    tables = read_tables()
    for row in tables[table]:
        if all(row[name] == value for name, value in match.items()):
            row.update(cells)
            return tables
    raise AssertionError(f"no row {match}")


CLOSET = {"fixture": "closet", "key": "drain", "phase": "rough"}


@pytest.mark.parametrize(
    ("cells", "reason"),
    [
        ({"text_es": ""}, "text_es is empty"),
        ({"text_en": " "}, "text_en is empty"),
        ({"source": ""}, "source is empty"),
        ({"phase": "roof"}, "there is no phase 'roof'"),
        ({"outlet": "steam"}, "outlet 'steam' is not known"),
        ({"wall": "a foot"}, "not a length in inches"),
        ({"wall": "12 1/3"}, "finer than a sixteenth"),
        ({"wall_from": ""}, "wall and wall_from go together"),
        ({"side": "6"}, "side and side_dir go together"),
        ({"least": "lots"}, "least 'lots' is not a number"),
        ({"photos": "-1"}, "photos '-1' must be a whole number"),
        ({"concealed": "maybe"}, "concealed 'maybe' is not known"),
        ({"count": "several"}, "count 'several'"),
        ({"key": "A drain"}, "up to 16 small letters"),
        ({"when": "below"}, "Condition 'below' cannot be read"),
        ({"when": "below=water"}, "below is never water; it is slab, framed"),
        ({"when": "fact.moon=yes"}, "there is no fact 'moon'"),
        ({"when": "with.fountain=yes"}, "there is no fixture kind 'fountain'"),
        ({"when": "needs.steam=yes"}, "there is no outlet 'steam'"),
        ({"when": "bowls=1"}, "'bowls' is no condition, fact or parameter"),
        ({"fixture": "fountain"}, "there is no fixture kind 'fountain'"),
        ({"text_es": "{room}"}, "same places in braces"),
        ({"text_en": "{room}", "text_es": "{room}"}, "{room} needs each stack"),
        ({"measure": "height"}, "measure height needs a target"),
        ({"measure": ""}, "A measure needs the columns measure and unit"),
        ({"measure": "depth"}, "measure depth needs least or most"),
        ({"proof": "photo", "photos": "0", "measure": ""}, "photos of at least 1"),
        ({"proof": "handoff", "measure": ""}, "needs the trade"),
        ({"colour": "red"}, "no such columns: colour"),
    ],
)
def test_a_bad_cell_is_refused_with_its_row_and_what_to_do(cells, reason):
    tables = change("demands", CLOSET, cells)

    with pytest.raises(CatalogueError) as refused:
        Catalogue.from_rows(tables)

    assert reason in str(refused.value)
    assert "drain" in str(refused.value)


@pytest.mark.parametrize(
    ("table", "match", "cells", "reason"),
    [
        ("fixture_kinds", {"code": "closet"}, {"code": "tub"}, "tub stands twice"),
        ("fixture_kinds", {"code": "tub"}, {"outlets": "steam"}, "steam not known"),
        ("fixture_kinds", {"code": "tub"}, {"params": "bowls"}, "bowls=1|2"),
        ("fixture_kinds", {"code": "tub"}, {"params": "bowls=two"}, "whole numbers"),
        ("fixture_kinds", {"code": "tub"}, {"implied_room": "sky"}, "sky"),
        ("facts", {"name": "fuel"}, {"values": "gas||none"}, "gas|propane|none"),
        ("room_kinds", {"code": "bath"}, {"name_es": ""}, "name_es is empty"),
        ("strings", {"code": "stud"}, {"text_es": ""}, "text_es is empty"),
        ("strings", {"code": "stud"}, {"code": "stud2"}, "no words for 'stud'"),
        ("glossary", {"term_en": "closet"}, {"term_es": ""}, "term_es is empty"),
    ],
)
def test_every_table_is_checked(table, match, cells, reason):
    with pytest.raises(CatalogueError) as refused:
        Catalogue.from_rows(change(table, match, cells))

    assert reason in str(refused.value)


def test_a_missing_table_is_named():
    tables = read_tables()
    del tables["facts"]

    with pytest.raises(CatalogueError, match="The catalogue lacks: facts"):
        Catalogue.from_rows(tables)


def test_a_missing_file_and_a_line_with_too_many_cells_are_named(tmp_path):
    folder = tmp_path / "data"
    shutil.copytree(DATA, folder)
    bath = folder / "demands" / "01_bath.csv"
    bath.write_text(bath.read_text(encoding="utf-8") + "a," * 60, encoding="utf-8")

    with pytest.raises(CatalogueError, match=r"01_bath\.csv line \d+ has too many"):
        read_tables(folder)
    (folder / "facts.csv").unlink()
    bath.unlink()
    with pytest.raises(CatalogueError, match=r"facts\.csv is missing"):
        read_tables(folder)


def test_every_system_that_a_kind_names_is_asked_for_by_a_row():
    catalogue = load_catalogue()

    lacking = {
        kind.code: missing
        for kind in catalogue.kinds.values()
        if (
            missing := set(kind.outlets)
            - {row.outlet for row in catalogue.rows_of.get(kind.code, ())}
        )
    }

    assert lacking == {}


def test_the_catalogue_covers_what_the_trade_sets():
    assert {
        "closet",
        "lavatory",
        "lavatory_double",
        "tub",
        "tub_shower",
        "shower",
        "soaking_tub",
        "kitchen_sink",
        "disposer",
        "dishwasher",
        "ice_maker",
        "refrigerator_water",
        "washer_box",
        "laundry_sink",
        "hose_bibb",
        "water_entry",
        "pressure_regulator",
        "filtration_loop",
        "tank_gas",
        "tank_electric",
        "tankless_gas",
        "gas_range",
        "gas_cooktop",
        "gas_dryer",
        "gas_fireplace",
        "gas_furnace",
        "gas_grill",
        "dryer_box",
        "ac_condensate",
        "floor_drain",
        "cleanout",
        "stack",
        "roof_vent",
        "walls",
        "slab_sleeves",
        "building_sewer",
        "water_service",
        "gas_service",
        "systems",
    } <= set(load_catalogue().rows_of)
