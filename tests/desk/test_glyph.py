"""The house section as SVG."""

import xml.etree.ElementTree as ET

import pytest

from phases import state
from tracker.desk.glyph import (
    PARTS,
    STATES,
    ZONES,
    describe,
    glyph,
    key_of,
    leading,
    state_word,
    symbols,
    zones_of,
)


def marks(states, **more):
    """Class and drawing of what fills the zones, outlines left out."""
    svg = ET.fromstring(glyph(states, **more))
    return [
        (path.get("class"), path.get("d"))
        for path in svg
        if (path.get("class") or "").startswith("h-")
        and path.get("class") not in ("h-line", "h-wall", "h-none")
    ]


@pytest.mark.parametrize("word", STATES)
def test_every_state_is_well_formed_and_named(word):
    svg = ET.fromstring(glyph(dict.fromkeys(PARTS, word), size=24))

    assert (svg.get("width"), svg.get("height"), svg.get("role")) == ("24", "24", "img")
    assert svg.get("aria-label").count(state_word(word)) == len(PARTS)


def test_states_differ_by_shape_and_not_only_by_colour():
    shapes = {
        word: tuple(d for _, d in marks(dict.fromkeys(PARTS, word)))
        + (glyph(dict.fromkeys(PARTS, word)).count('fill="#fff"'),)
        for word in STATES
        if word not in ("open", "not_ready")
    }

    assert len(set(shapes.values())) == len(shapes)
    assert all(shape[0] for shape in shapes.values())


def test_open_and_not_ready_zones_are_empty():
    assert marks({"below": "open", "wall": "not_ready"}) == []


def test_zones_fill_one_by_one_from_the_ground_up():
    states = dict.fromkeys(PARTS, "open")
    filled = []
    for part in PARTS:
        states[part] = "passed"
        filled.append(len(marks(states)))

    assert filled == [1, 2, 3, 4]


def test_a_zone_without_phase_is_drawn_broken():
    svg = ET.fromstring(glyph({"below": "passed", "floor": "open", "wall": "open"}))

    broken = [path for path in svg if path.get("class") == "h-none"]
    assert [path.get("d") for path in broken] == ["M12 1L22.5 8L1.5 8Z"]


@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize("word", ["done", "proven", "on_test"])
def test_stripes_stay_inside_their_zone(part, word):
    ((_, path),) = marks({part: word})
    xs = [x for x, _ in ZONES[part]]
    ys = [y for _, y in ZONES[part]]

    points = [
        tuple(float(n) for n in point.split())
        for line in path.split("M")[1:]
        for point in line.split("L")
    ]
    assert points
    assert all(min(xs) <= x <= max(xs) and min(ys) <= y <= max(ys) for x, y in points)


def test_a_name_is_escaped():
    svg = ET.fromstring(glyph({"wall": "held"}, title_en='Lot "7" <b> & co'))

    assert svg.get("aria-label") == 'Lot "7" <b> & co: Wall: held'


def test_the_drawing_speaks_spanish():
    states = {"below": "passed", "wall": "failed"}

    assert describe(states, "es") == "Bajo la losa: aprobada; Muro: reprobada"
    svg = ET.fromstring(
        glyph(states, title_en="Lot 1", title_es="Lote 1", language="es")
    )
    assert svg.get("aria-label") == "Lote 1: " + describe(states, "es")


@pytest.mark.parametrize(
    ("words", "one"),
    [
        ((), ""),
        (("passed", "working", "open", "open"), "working"),
        (("passed", "passed", "passed", "passed"), "passed"),
        (("passed", "unproven", "failed", "open"), "unproven"),
        (("held", "failed"), "failed"),
        (("passed", "planned", "held"), "held"),
    ],
)
def test_the_leading_word_is_the_alarm_or_the_first_open_phase(words, one):
    assert leading(words) == one


def test_phases_that_share_a_zone_show_one_word():
    phases = [("below", "passed"), ("wall", "passed"), ("wall", "held")]

    assert zones_of(phases) == {"below": "passed", "wall": "held"}


def test_every_word_the_state_gives_has_a_drawing():
    gate = state.Gate(open=False, missing=())
    words = {"passed", "held", "on_test", "done"}
    for work in ("not_ready", "ready", "planned", "working", "done", "proven"):
        for inspection in ("not_called", "failed"):
            for cover in ("open", "covered_unproven"):
                found = state.Answers(
                    work=state.Answer(work, None, {}),
                    inspection=state.Answer(inspection, None, {}),
                    cover=state.Answer(cover, None, {}),
                    gate=gate,
                    call_in_missing=(),
                    call_in_overridden=False,
                )
                words.add(
                    state.glyph_word(found, passed=False, on_test=False, held=False)
                )

    assert words <= set(STATES)


def test_a_street_draws_each_different_house_once():
    passed, held = {"below": "passed"}, {"below": "held"}

    drawn, ids = symbols([passed, held, passed])

    svg = ET.fromstring(drawn)
    assert [one.get("id") for one in svg] == list(ids.values()) == ["h0", "h1"]
    use = ET.fromstring(glyph(passed, symbol=ids[key_of(passed)]))
    assert [one.get("href") for one in use] == ["#h0"]
    assert use.get("aria-label") == "Below slab: passed"
