"""Clearances, standpipes, vent heights, plates and hangers of a plan.

Figures are those of shared/reference/dwv: 10_rough_in, 05_vents, 04_trap_arm,
02_drain_capacity, 08_protection_framing and 09_supports, by the row named.
"""

import pytest

from phases.sizing.outline.model import Outline, changed
from phases.sizing.outline.site import Site
from phases.sizing.plan.check import check_plan
from phases.sizing.plan.extras import Clearance, Extras, FramingCut
from phases.sizing.plan.extras_text import parse_extras, show_extras
from phases.sizing.plan.sizes import fixture_sizes
from phases.sizing.tables import Book, Override
from tests.sizing.houses import SITE, guessed


def found(code, check, where, *, outline=None, extras=None, overrides=(), site=SITE):
    report = check_plan(
        outline or guessed(code),
        book=Book(code, 2021, overrides),
        site=site,
        extras=extras or Extras(),
    )
    return [f for f in report.findings if (f.check, f.where) == (check, where)]


def cleared(code, **figures):
    clear = Clearance("c", figures.pop("kind", "closet"), **figures)
    check = "standpipe" if clear.kind == "washer_box" else "clearance"
    return [
        (f.verdict, f.limit)
        for f in found(code, check, "c", extras=Extras(clear=(clear,)))
        if not f.note
    ]


@pytest.mark.parametrize(
    ("code", "side", "verdict"),
    [("IPC", 15, "pass"), ("IPC", 14.9, "fail"), ("IRC", 15, "pass"),
     ("IRC", 12, "fail"), ("UPC", 15, "pass"), ("UPC", 14, "fail")],
)  # fmt: skip
def test_a_closet_stands_15_in_from_the_side_wall(code, side, verdict):
    # RGH-005, RGH-008, RGH-010
    assert cleared(code, side_in=side)[0] == (verdict, 15)


@pytest.mark.parametrize(("code", "least"), [("IPC", 21), ("IRC", 21), ("UPC", 24)])
def test_each_book_asks_its_own_room_in_front_of_a_closet(code, least):
    # RGH-007, RGH-009, RGH-012; the amended row of Oregon (RGH-013) is not the UPC's.
    assert cleared(code, front_in=least)[-1] == ("pass", least)
    assert cleared(code, front_in=least - 0.5)[-1] == ("fail", least)


def test_a_local_front_clearance_of_21_in_is_an_amendment_of_the_upc():
    # local_amendments.csv: Oregon 2011, 21 in. residential
    local = (Override("RGH-012", "21", "Oregon 2011"),)
    clear = Extras(clear=(Clearance("c", "closet", front_in=21),))

    model = found("UPC", "clearance", "c", extras=clear)
    amended = found("UPC", "clearance", "c", extras=clear, overrides=local)

    assert [f.verdict for f in model if f.limit == 24] == ["fail"]
    assert [f.verdict for f in amended if f.limit == 21] == ["pass"]


@pytest.mark.parametrize(("code", "least"), [("IRC", 900), ("UPC", 1024)])
def test_a_shower_has_the_floor_of_its_book(code, least):
    # RGH-032, RGH-033
    assert cleared(code, kind="shower", area_sq_in=least) == [("pass", least)]
    assert cleared(code, kind="shower", area_sq_in=least - 1) == [("fail", least)]


@pytest.mark.parametrize(
    ("code", "height", "verdicts"),
    [("IPC", 42, ["pass", "pass"]), ("IRC", 43, ["fail", "pass"]),
     ("UPC", 30, ["pass", "pass"]), ("UPC", 42, ["fail", "pass"]),
     ("IPC", 17, ["fail", "pass"])],
)  # fmt: skip
def test_a_standpipe_ends_between_the_heights_of_its_book(code, height, verdicts):
    # RGH-036, RGH-037
    got = cleared(code, kind="washer_box", standpipe_in=height)

    assert sorted(verdict for verdict, _ in got) == verdicts


def test_the_upc_keeps_a_washers_trap_6_to_18_in_above_the_floor():
    # RGH-038; the other books state none
    low = cleared("UPC", kind="washer_box", standpipe_in=24, trap_in=4)

    assert ("fail", 6) in low
    assert len(cleared("IRC", kind="washer_box", standpipe_in=24, trap_in=4)) == 2


def test_without_a_figure_the_plan_says_what_to_keep():
    (note,) = [
        f
        for f in found("UPC", "clearance", "hall-bath-closet")
        if f.cells[0].id == "RGH-010"
    ]

    assert (note.verdict, note.value) == ("note", 15)
    assert "15 in." in note.sentence


def with_node(code, key, **values):
    outline = guessed(code)
    return Outline(
        changed(outline.drain, key, **values), outline.water, outline.gas,
        outline.terminals, outline.guess,
    )  # fmt: skip


@pytest.mark.parametrize("code", ["IPC", "IRC", "UPC"])
def test_a_vent_goes_level_6_in_above_the_flood_rim(code):
    # VNT-034, VNT-035
    low = with_node(code, "hall-bath-lavatory", vent_rise_in=4.0)
    high = with_node(code, "hall-bath-lavatory", vent_rise_in=6.0)

    (wrong,) = found(code, "vent rise", "hall-bath-lavatory", outline=low)
    (right,) = found(code, "vent rise", "hall-bath-lavatory", outline=high)

    assert (wrong.verdict, right.verdict, wrong.limit) == ("fail", "pass", 6)
    assert "flood rim" in wrong.fixes[0]


def test_only_sinks_and_lavatories_are_vented_as_an_island():
    # VNT-038; the other books from memory
    closet = with_node("IPC", "hall-bath-closet", vent="island")
    sink = with_node("IPC", "kitchen-kitchen_sink", vent="island")
    upc = with_node("UPC", "hall-bath-closet", vent="island")

    (wrong,) = found("IPC", "island vent", "hall-bath-closet", outline=closet)
    (right,) = found("IPC", "island vent", "kitchen-kitchen_sink", outline=sink)
    (asked,) = found("UPC", "island vent", "hall-bath-closet", outline=upc)

    assert [f.verdict for f in (wrong, right, asked)] == ["fail", "pass", "confirm"]


def test_a_washers_standpipe_asks_a_3_in_branch_but_never_fails_alone():
    narrow = with_node("IRC", "laundry-drain", size="2")

    (asked,) = found("IRC", "standpipe drain", "laundry-drain", outline=narrow)

    assert (asked.verdict, asked.ok, asked.limit) == ("confirm", False, 3)
    assert found("UPC", "standpipe drain", "laundry-drain") == []
    assert found("IRC", "standpipe drain", "laundry-drain")[0].ok


def test_the_upc_holds_a_vertical_drain_to_its_length():
    # CAP-UPC-091: 3 in., 212 ft
    tall = with_node("UPC", "stack-1", length_ft=213.0)

    (wrong,) = found("UPC", "drain length", "stack-1", outline=tall)

    assert (wrong.verdict, wrong.limit) == ("fail", 212)
    assert found("IPC", "drain length", "stack-1") == []


@pytest.mark.parametrize(
    ("turns", "cleanouts", "verdict"),
    [((90,), 0, "pass"), ((90, 45), 0, "fail"), ((90, 45), 1, "pass")],
)
def test_the_upc_asks_a_cleanout_in_an_arm_that_turns_too_far(
    turns, cleanouts, verdict
):
    # TRA-UPC-022: 90 degrees below 3 in.
    arm = with_node("UPC", "hall-bath-lavatory", turns=turns, cleanouts=cleanouts)

    (finding,) = found("UPC", "trap arm turns", "hall-bath-lavatory", outline=arm)

    assert finding.verdict == verdict


@pytest.mark.parametrize(
    ("lumber", "inches", "verdict"),
    [("2x4", 1.75, "pass"), ("2x4", 1.9, "fail"), ("2x6", 2.75, "pass")],
)
def test_half_a_plate_may_go_before_it_wants_a_tie(lumber, inches, verdict):
    # PRO-021: 50 percent of the width
    cut = FramingCut("p", "hole", "plate", lumber, inches)

    (finding,) = found("IRC", "framing cut", "p", extras=Extras(cuts=(cut,)))

    assert finding.verdict == verdict


def test_hangers_are_counted_by_the_spacing_of_the_book_for_pipes_not_buried():
    # SUP-IRC PVC: 4 ft; the slab's ground floor lies buried.
    slab = found("IRC", "supports", "PVC 3")
    crawl = found("IRC", "supports", "PVC 3", site=Site(storeys=2, foundation="crawl"))

    assert [f.verdict for f in (*slab, *crawl)] == ["note", "note"]
    assert crawl[0].value > slab[0].value > 0
    assert "every 4 ft" in crawl[0].sentence


def test_clearances_are_text_that_reads_back():
    text = "clear bath-closet closet side=15 front=21.5\nclear w washer_box trap=8\n"

    extras = parse_extras(text)

    assert extras.clear[0] == Clearance("bath-closet", "closet", 15, None, 21.5)
    assert show_extras(extras) == text


def test_a_fixture_too_near_a_wall_fails_but_its_pipe_keeps_its_checked_size():
    outline = guessed("UPC").accepted(by="Dana Reyes")
    near = Extras(clear=(Clearance("hall-bath-closet", "closet", side_in=12),))

    report = check_plan(outline, book=Book("UPC"), site=SITE, extras=near)

    sizes = {(s.room, s.kind): s for s in fixture_sizes(report)}
    assert report.verdict == "fail"
    assert sizes["hall-bath", "closet"].checked
