"""One planted mistake of each kind comes out fail or confirm, never pass.

Sources: the cell that each finding names (IPC 710, UPC 708.1 and 703.2, IFGC 402.4(2),
IRC R502.8.1, IRC P3101.3, UPC 814.5), all in shared/reference.
"""

from dataclasses import replace

import pytest

from phases.sizing.outline import changed
from phases.sizing.outline.model import Node
from phases.sizing.plan.check import check_plan
from phases.sizing.plan.extras import Condensate, Extras, FramingCut
from phases.sizing.tables import CODES, Book
from tests.sizing.houses import SITE, guessed


def findings(outline, code, *, where, check, extras=None):
    report = check_plan(outline, book=Book(code), site=SITE, extras=extras)
    return report, [f for f in report.findings if (f.where, f.check) == (where, check)]


def assert_refused(report, found, verdicts=("fail", "confirm")):
    assert len(found) == 1
    (finding,) = found
    assert not finding.ok
    assert finding.verdict in verdicts
    assert finding.margin < 0
    assert finding.sentence
    assert finding.fixes
    assert finding.cells
    assert finding.caution
    assert report.verdict in verdicts


@pytest.mark.parametrize("code", CODES)
def test_a_closet_on_a_2_in_arm_fails(code):
    outline = guessed(code)
    drain = changed(outline.drain, "hall-bath-closet", size="2")

    report, found = findings(
        replace(outline, drain=drain), code, where="hall-bath-closet", check="arm size"
    )

    assert_refused(report, found, verdicts=("fail",))


def test_a_3_in_drain_at_an_eighth_fails_in_upc_and_passes_its_slope_in_irc():
    for code, verdicts in (("UPC", ("fail",)), ("IRC", ())):
        outline = guessed(code)
        drain = changed(outline.drain, "building-drain", slope=0.125)

        report, found = findings(
            replace(outline, drain=drain),
            code, where="building-drain", check="least slope",
        )  # fmt: skip

        if verdicts:
            assert_refused(report, found, verdicts=verdicts)
        else:
            assert [f.verdict for f in found] == ["pass"]


def test_a_range_on_half_inch_at_80_ft_fails():
    outlet = Node(
        "range", "outlet", 5, "1/2", fixture="gas_range", room="kitchen",
        material="Schedule 40 metallic pipe",
    )  # fmt: skip
    trunk = Node(
        "trunk", "section", 75, "1/2", material="Schedule 40 metallic pipe",
        children=(outlet,),
    )  # fmt: skip
    outline = replace(guessed(), gas=Node("meter", "meter", children=(trunk,)))

    report, found = findings(outline, "IRC", where="range", check="gas size")

    assert found[0].value == 65
    assert found[0].limit < 65
    assert_refused(report, found)


def test_a_tankless_heater_on_the_line_of_a_tank_fails():
    outline = guessed()
    gas = changed(outline.gas, "gas-garage-tank_gas", fixture="tankless_gas")

    report, found = findings(
        replace(outline, gas=gas), "IRC", where="gas-garage-tank_gas", check="gas size"
    )

    assert found[0].value == 199
    assert_refused(report, found)


@pytest.mark.parametrize("code", CODES)
def test_a_joist_notched_in_the_middle_third_fails(code):
    cut = FramingCut(
        "tub-joist", "notch", "joist", "2x10", 1.0, span_ft=12, from_end_ft=6
    )
    extras = Extras(cuts=(cut,))

    report, found = findings(
        guessed(code), code, where="tub-joist", check="framing cut", extras=extras
    )

    assert_refused(report, found, verdicts=("fail",))
    assert "middle third" in found[0].sentence


def test_the_same_notch_near_the_end_passes():
    cut = FramingCut(
        "tub-joist", "notch", "joist", "2x10", 1.0, span_ft=12, from_end_ft=1
    )

    _, found = findings(
        guessed(), "IRC", where="tub-joist", check="framing cut",
        extras=Extras(cuts=(cut,)),
    )  # fmt: skip

    assert [f.verdict for f in found] == ["pass"]


@pytest.mark.parametrize(
    ("code", "verdict"), [("IRC", "fail"), ("UPC", "fail"), ("IPC", "confirm")]
)
def test_a_condensate_into_a_vent_never_passes(code, verdict):
    line = Condensate("ac", 3, "3/4", 0.125, "vent")

    report, found = findings(
        guessed(code), code, where="ac", check="condensate end",
        extras=Extras(condensate=(line,)),
    )  # fmt: skip

    assert_refused(report, found, verdicts=(verdict,))


def test_a_condensate_into_a_lavatory_tailpiece_is_allowed():
    line = Condensate("ac", 3, "3/4", 0.125, "lavatory_tailpiece")

    report = check_plan(
        guessed("UPC"), book=Book("UPC"), site=SITE, extras=Extras(condensate=(line,))
    )

    assert [f.ok for f in report.of("ac")] == [True, True, True]
    assert all(f.verdict in ("pass", "confirm") for f in report.of("ac"))


@pytest.mark.parametrize(
    ("key", "values", "check"),
    [
        ("hall-bath-lavatory", {"length_ft": 4.5}, "trap arm length"),
        ("hall-bath-lavatory", {"slope": 0.75}, "trap arm fall"),
        ("hall-bath-lavatory", {"length_ft": 0.2}, "crown vent"),
        ("hall-bath-lavatory", {"vent": "none"}, "vented trap"),
        ("hall-bath-closet", {"vent_size": "1-1/2"}, "vent size"),
        ("kitchen-kitchen_sink", {"vent_ft": 61.0}, "vent length"),
        ("kitchen-drain", {"size": "1-1/2"}, "sink branch"),
        ("building-drain", {"size": "2"}, "closets on a drain"),
        ("building-drain", {"cleanouts": 0}, "cleanouts"),
        ("building-drain", {"depth_in": 6.0}, "fall in the depth"),
    ],
)
def test_each_mistake_in_a_upc_house_is_found_and_explained(key, values, check):
    outline = guessed("UPC")
    right = check_plan(outline, book=Book("UPC"), site=SITE)
    assert all(f.ok for f in right.findings if f.check == check)

    wrong = replace(outline, drain=changed(outline.drain, key, **values))

    report = check_plan(wrong, book=Book("UPC"), site=SITE)
    found = [f for f in report.findings if f.check == check and not f.ok]
    assert [f.where for f in found] == [key]
    assert found[0].verdict in ("fail", "confirm")
    assert found[0].fixes
