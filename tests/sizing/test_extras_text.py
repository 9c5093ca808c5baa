"""What an outline does not draw, as text: read, shown, and wrong lines named."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from phases.sizing.outline import OutlineError
from phases.sizing.plan.extras import CONDENSATE_ENDS, Condensate, Extras, FramingCut
from phases.sizing.plan.extras_text import parse_extras, show_extras

TEXT = """\
house baths=2.5 bedrooms=4  # of the plan
heater first_hour=62 vent=yes

condensate ac tons=3 size=3/4 slope=1/8 into=lavatory_tailpiece
cut tub-joist notch joist lumber=2x10 inches=1-0 span=12 at=6
"""


def test_a_text_is_read_line_by_line():
    extras = parse_extras(TEXT.replace("1-0", "1"))

    assert (extras.baths, extras.bedrooms) == (2.5, 4)
    assert (extras.heater.first_hour_gal, extras.heater.has_vent) == (62, True)
    assert extras.condensate == (
        Condensate("ac", 3, "3/4", 0.125, "lavatory_tailpiece"),
    )
    assert extras.cuts == (
        FramingCut("tub-joist", "notch", "joist", "2x10", 1, span_ft=12, from_end_ft=6),
    )


def test_nothing_written_is_nothing_said():
    assert (parse_extras(""), show_extras(Extras())) == (Extras(), "")


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("wall x", "start a line with house, heater, condensate, cut"),
        ("house baths", "write name=value"),
        ("house rooms=2", "'rooms' is not known"),
        ("house bedrooms=2.5", "give a whole number"),
        ("house baths=1/0", "is no number"),
        ("house baths=-1", "out of range"),
        ("heater vent=maybe", "say yes or no"),
        ("condensate", "Name the line"),
        ("condensate ac tons=3", "say into="),
        ("condensate ac tons=0 into=outside", "tons over 0"),
        ("condensate ac tons=3 into=sea", "none of"),
        ("cut a hole", "Write: cut NAME"),
        ("cut a hole stud lumber=2x4", "say inches="),
        ("cut a hole beam lumber=2x4 inches=1", "in a stud, joist or plate"),
        ("cut a hole stud lumber=3x3 inches=1", "lumber is one of"),
    ],
)
def test_a_wrong_line_is_named_with_what_to_do(line, message):
    with pytest.raises(OutlineError) as caught:
        parse_extras(f"house baths=1\n{line}")

    (problem,) = caught.value.problems
    assert problem.place == "line 2"
    assert message in problem.message


def test_every_wrong_line_is_named_at_once():
    with pytest.raises(OutlineError) as caught:
        parse_extras("x\ny\nhouse baths=1\nz")

    assert [p.place for p in caught.value.problems] == ["line 1", "line 2", "line 4"]


@settings(max_examples=40, deadline=None)
@given(
    baths=st.integers(0, 16),
    tons=st.sampled_from([1.5, 2.0, 2.5, 5.0]),
    into=st.sampled_from(CONDENSATE_ENDS),
    inches=st.sampled_from([0.5, 1.0, 1.375]),
    engineered=st.booleans(),
)
def test_what_is_shown_reads_back(baths, tons, into, inches, engineered):
    extras = Extras(
        baths=baths / 2,
        condensate=(Condensate("ac", tons, "3/4", 0.25, into),),
        cuts=(FramingCut("c", "hole", "joist", "2x10", inches, engineered=engineered),),
    )

    assert parse_extras(show_extras(extras)) == extras
