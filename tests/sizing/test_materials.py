from dataclasses import replace
from datetime import date

import pytest

from phases.sizing.materials import (
    PHASES,
    Line,
    by_week,
    changes,
    csv_text,
    learned_waste,
    table_rows,
)
from phases.sizing.outline import changed
from phases.sizing.supports import count, spacing
from phases.sizing.tables import Absent, Book
from phases.sizing.takeoff import material_list
from tests.sizing.houses import SITE, guessed

IRC = Book("IRC")


def listed(outline=None, site=SITE, **kwargs):
    return material_list(outline or guessed(), book=IRC, site=site, **kwargs)


def line(lines, item, size="", phase=None):
    found = [x for x in lines if x.item == item and x.size == size]
    found = [x for x in found if phase in (None, x.phase)]
    assert len(found) == 1, found
    return found[0]


def test_pipe_is_the_sum_of_the_outline_and_says_so():
    outline = guessed()
    whole = sum(n.length_ft for n in outline.drain.walk())

    lines = listed(outline)

    assert sum(x.net for x in lines if x.item == "PVC drain pipe") == whole
    pipe = line(lines, "PVC drain pipe", "4")
    assert (pipe.net, pipe.quantity, pipe.waste_pct) == (40.0, 44, 10.0)
    assert (pipe.rule, pipe.counted) == ("length of every drain", "pipes: 1")


def test_pieces_are_counted_from_the_plan():
    lines = listed()

    assert line(lines, "closet flange and ring", "3").quantity == 3
    assert line(lines, "washer box", "1/2").quantity == 1
    assert line(lines, "hose bibb", "3/4").quantity == 2
    assert line(lines, "tub or shower valve body", "1/2").quantity == 2
    # Both bowls of the double lavatory have a trap of their own.
    assert sum(x.quantity for x in lines if x.item == "P-trap") == 8
    assert sum(x.quantity for x in lines if x.item == "roof flashing") == 5
    assert sum(x.quantity for x in lines if x.item == "gas shutoff valve") == 3
    # A range needs no sediment trap (IFGC 408.4); heater and furnace do.
    assert sum(x.quantity for x in lines if x.item == "sediment trap") == 2


def test_every_line_states_its_rule_its_inputs_and_how_sure_it_is():
    for found in listed():
        assert found.rule
        assert found.counted[-1].isdigit()
        assert found.basis in ("counted", "estimated")
        assert found.phase in PHASES
        assert found.quantity >= found.net


def test_waste_is_a_setting_for_each_item():
    lines = listed(waste={"PVC drain pipe": 25})

    assert line(lines, "PVC drain pipe", "4").quantity == 50


@pytest.mark.parametrize(
    ("net", "unit", "waste", "quantity"),
    [(1, "pc", 5, 1), (10, "pc", 5, 11), (9, "pc", 5, 9), (2.5, "ft", 0, 3),
     (40, "ft", 10, 44)],
)  # fmt: skip
def test_a_piece_of_waste_is_added_where_it_adds_up_to_one(net, unit, waste, quantity):
    found = Line("rough", "x", "", net, unit, "r", "1 c", waste_pct=waste)

    assert found.quantity == quantity


def test_a_regulator_is_listed_above_80_psi_only():
    high = listed(site=replace(SITE, static_psi=81))

    assert line(high, "pressure regulator").quantity == 1
    assert [x for x in listed() if x.item == "pressure regulator"] == []


def test_an_option_shows_what_it_adds_and_saves():
    outline = guessed()
    other = replace(outline, drain=changed(outline.drain, "building-drain", size="4"))

    found = changes(listed(outline), listed(other))

    pipe = {c.size: c.more for c in found if c.item == "PVC drain pipe"}
    assert pipe == {"3": -44, "4": 44}
    assert changes(listed(outline), listed(outline)) == ()


def test_weeks_add_up_lots():
    lines = listed()
    dated = [(date(2026, 3, 4), lines), (date(2026, 3, 6), lines),
             (date(2026, 3, 9), lines)]  # fmt: skip

    weeks = by_week(dated)

    key = ("closet flange and ring", "3", "pc")
    assert [(day, items[key]) for day, items in weeks.items()] == [
        (date(2026, 3, 2), 6),
        (date(2026, 3, 9), 3),
    ]


def test_csv_has_a_header_and_a_row_for_every_line():
    lines = listed()

    text = csv_text(lines).splitlines()

    assert text[0].startswith("phase,item,size,quantity,unit")
    assert len(text) == len(lines) + 1 == len(table_rows(lines))


def test_waste_is_learned_from_three_lots_and_never_negative():
    assert learned_waste([(100, 120), (100, 110)], default=10) == 10
    assert learned_waste([(100, 120), (100, 110), (50, 58)], default=10) == 16.0
    assert learned_waste([(100, 90), (100, 95), (100, 98)], default=10) == 0.0
    assert learned_waste([(0, 5)] * 5, default=10) == 10


@pytest.mark.parametrize(
    ("code", "material", "size", "feet"),
    [("IRC", "PVC", "3", 4), ("UPC", "PVC", "2", 4), ("IRC", "PEX SDR-9", "1/2", 2.67),
     ("IRC", "PEX SDR-9", "1-1/4", 4), ("IPC", "Schedule 40 metallic pipe", "1/2", 6),
     ("UPC", "Schedule 40 metallic pipe", "1", 8)],
)  # fmt: skip
def test_supports_stand_as_the_table_says(code, material, size, feet):
    assert spacing(Book(code), material, size).number == feet


def test_csst_is_hung_as_its_maker_says():
    with pytest.raises(Absent, match="manufacturer"):
        spacing(IRC, "CSST", "EHD 18")


def test_supports_stand_at_both_ends():
    assert [count(length, 4) for length in (1, 4, 9)] == [1, 2, 3]
