"""The outline as a table: the same outline as the text, mistakes at their rows."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from phases.sizing.outline import OutlineError, parse
from phases.sizing.outline.sheet import COLUMNS, Line, lines_of, read_lines
from phases.sizing.outline.text import FIELDS
from phases.sizing.tables import CODES
from tests.sizing.houses import guessed
from tests.sizing.test_outline import TEXT


def problems(lines):
    with pytest.raises(OutlineError) as caught:
        read_lines(lines)
    return [(p.place, p.message) for p in caught.value.problems]


@pytest.mark.parametrize("code", CODES)
def test_a_table_makes_the_outline_that_it_was_made_from(code):
    outline = guessed(code)

    assert read_lines(lines_of(outline), guess=True) == outline
    assert read_lines(lines_of(parse(TEXT))) == parse(TEXT)


def test_a_table_has_a_column_for_every_value_of_its_system():
    asked = {name for columns in COLUMNS.values() for name in columns}

    assert asked == set(FIELDS)
    for line in lines_of(guessed("UPC")):
        assert set(line.cells) <= set(COLUMNS[line.system])


def test_rows_stand_below_what_they_hang_on_and_are_numbered_in_their_system():
    lines = lines_of(parse(TEXT))

    assert [(w.system, w.number, w.depth, w.node, w.under) for w in lines][:5] == [
        ("drain", 1, 0, "sewer", ""),
        ("drain", 2, 1, "main", "sewer"),
        ("drain", 3, 2, "bath", "main"),
        ("drain", 4, 3, "bath-closet", "bath"),
        ("gas", 1, 0, "gas-meter", ""),
    ]
    assert (lines[-1].system, lines[-1].kind, lines[-1].cells) == (
        "vents",
        "roof",
        {"size": "3"},
    )


def test_every_mistake_is_told_at_its_row():
    lines = list(lines_of(parse(TEXT)))
    lines[1] = replace(lines[1], under="nothing")
    lines[2] = replace(lines[2], cells={**lines[2].cells, "length": "long"})
    lines[3] = replace(lines[3], under="bath-closet")
    lines[4] = replace(lines[4], node="gas meter")
    lines[5] = replace(lines[5], kind="")

    assert problems(lines) == [
        ("drain, row 3", "length: 'long' is no number."),
        ("gas, row 1", "'gas meter': a name is one word, such as bath-drain."),
        ("gas, row 2", "trunk: choose the kind of pipe."),
        ("drain, row 1", "sewer serves nothing. Add what it serves or take out."),
        ("drain, row 2", "main hangs on nothing, which is not there."),
        (
            "drain, row 4",
            "This is a trap arm: it hangs on a building drain / a stack / a branch.",
        ),
        ("drain, row 4", "bath-closet is a trap arm; nothing can hang on it."),
        ("drain, row 4", "A loop: bath-closet under bath-closet."),
    ]


def test_a_blank_row_is_left_out_and_one_without_a_name_is_told():
    lines = lines_of(parse(TEXT))
    blank = Line("drain", "arm", "", "", {"size": ""}, 5)
    nameless = Line("drain", "arm", "", "bath", {"size": "2"}, 5)

    assert read_lines([*lines, blank]) == parse(TEXT)
    assert problems([*lines, nameless]) == [
        ("drain, row 5", "Give the pipe a name of its own.")
    ]


def test_an_outline_without_end_is_refused():
    lines = [Line("drain", "arm", f"a{n}", "b", {}, n) for n in range(2000)]

    assert problems(lines)[-1] == ("drain, row 700", "An outline has at most 700 rows.")


WORDS = st.text(max_size=8)


@given(
    st.lists(
        st.builds(
            Line, st.sampled_from([*COLUMNS, "air"]), WORDS, WORDS, WORDS,
            st.dictionaries(st.sampled_from(sorted(FIELDS)), WORDS, max_size=3),
        ),
        max_size=6,
    )
)  # fmt: skip
@settings(max_examples=100, deadline=None)
def test_any_rows_are_an_outline_or_an_error_with_a_place(lines):
    found = []
    try:
        read_lines(lines)
    except OutlineError as error:
        found = [problem.place for problem in error.problems]

    assert all(found)
