"""Targets from bare framing, with the trade's usual figures (common practice)."""

import pytest

from phases.catalogue import Finish, Fixture, load_catalogue
from tests.catalogue.houses import listed, room_of


def bare(room, key, axis, **more):
    """Bare and finished figure of one axis, as inches."""
    target = listed(room, **more)[key].target(axis)
    return target.bare / 16, target.finished / 16


@pytest.mark.parametrize(
    ("finish", "from_stud"),
    [
        (Finish(board=8), 12.5),
        (Finish(board=10), 12.625),
        # Backer board stands in place of the wall board: 1/2 + 3/8 in.
        (Finish(backer=8, tile=6, tiled="all"), 12.875),
        (Finish(board=8, tile=6, tiled="all"), 12.875),
        # Only the tub's walls are tiled, so the closet's stays as it was.
        (Finish(backer=8, tile=6, tiled="wet"), 12.5),
    ],
)
@pytest.mark.parametrize(
    ("foundation", "phase"), [("slab", "underground"), ("crawl", "rough")]
)
def test_a_closet_12_off_the_finished_wall_is_more_off_the_stud(
    finish, from_stud, foundation, phase
):
    room = room_of(Fixture("closet1", "closet"), finish=finish)

    found = bare(room, f"bath1/closet1/drain.{phase}", "wall", foundation=foundation)

    assert found == (from_stud, 12)


def test_a_closet_15_clear_of_the_finished_side_wall_is_15_and_a_half_of_the_stud():
    room = room_of(Fixture("closet1", "closet"))

    target = listed(room)["bath1/closet1/clear.underground"].target("clear")

    assert (target.bare, target.finished, target.plus) == (248, 240, None)
    assert (target.out_by(247), target.out_by(248), target.out_by(999)) == (-1, 0, 0)


@pytest.mark.parametrize(("floor", "inches"), [(0, 80), (8, 80.5), (12, 80.75)])
@pytest.mark.parametrize("kind", ["shower", "tub_shower"])
def test_a_shower_head_is_80_above_the_finished_floor(kind, floor, inches):
    room = room_of(Fixture("wash1", kind), finish=Finish(floor=floor))

    assert bare(room, "bath1/wash1/head.topout", "height") == (inches, 80)


def test_a_shower_head_roughed_at_6_ft_is_too_low_and_says_by_how_much():
    room = room_of(Fixture("wash1", "shower"), finish=Finish(floor=12))

    target = listed(room)["bath1/wash1/head.topout"].target("height")

    # 72 in. against 80 3/4 less 1 in.: 7 3/4 in. too low.
    assert target.out_by(72 * 16) == -124
    assert [target.out_by(n) for n in (1275, 1276, 1292, 1340, 1341)] == [
        -1,
        0,
        0,
        0,
        1,
    ]


def test_a_valve_guard_stands_as_far_off_the_stud_as_tile_and_backer_will_cover():
    finish = Finish(backer=8, tile=6, tiled="wet")
    room = room_of(Fixture("wash1", "shower"), finish=finish)

    assert bare(room, "bath1/wash1/valve_face.topout", "wall") == (0.875, 0)


def test_what_is_measured_from_rim_stud_or_grade_gets_no_finish_added():
    tub = room_of(Fixture("tub1", "tub_shower"))
    bibb = room_of(Fixture("bibb", "hose_bibb"), key="out", kind="outside")

    assert bare(tub, "bath1/tub1/spout.topout", "height") == (4, 4)
    assert bare(tub, "bath1/tub1/drain.underground", "wall") == (14, 14)
    assert bare(bibb, "out/bibb/cold.topout", "height") == (18, 18)


def test_the_centre_line_is_given_from_the_stud_of_the_side_wall():
    closet = Fixture("closet1", "closet", along=288, along_from="left")

    plain = listed(room_of(closet))["bath1/closet1/drain.underground"]
    mirrored = listed(room_of(closet), mirrored=True)["bath1/closet1/drain.underground"]

    assert [
        (t.bare, t.finished, t.direction)
        for t in (plain.target("along"), mirrored.target("along"))
    ] == [(296, 288, "left"), (296, 288, "right")]


def test_a_mirrored_lot_swaps_the_closet_stub_but_never_hot_and_cold():
    room = room_of(Fixture("closet1", "closet"), Fixture("lav1", "lavatory"))

    sides = {
        mirrored: [
            listed(room, mirrored=mirrored)[key].target("side").direction
            for key in (
                "bath1/closet1/cold.topout",
                "bath1/lav1/hot.topout.1",
                "bath1/lav1/cold.topout.1",
            )
        ]
        for mirrored in (False, True)
    }

    assert sides == {
        False: ["left", "left", "right"],
        True: ["right", "left", "right"],
    }


def test_a_mirrored_tub_has_its_drain_at_the_other_end():
    tub = room_of(Fixture("tub1", "tub", hand="left"))

    texts = [
        listed(tub, mirrored=mirrored)["bath1/tub1/drain.underground"].text_en
        for mirrored in (False, True)
    ]

    assert [text.split(",")[0] for text in texts] == [
        "Tub drain at the left end",
        "Tub drain at the right end",
    ]


def test_every_measured_axis_has_its_target_with_a_tolerance():
    rows = load_catalogue().demands

    lacking = [
        row.key
        for row in rows
        if row.measure in ("height", "wall", "side")
        and row.tol_minus == 0
        and row.tol_plus == 0
    ]

    assert lacking == []
