import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from phases.catalogue.measures import format_inches, format_number, parse_inches


@pytest.mark.parametrize(
    ("text", "sixteenths"),
    [
        ("12", 192),
        ("12.5", 200),
        ("12 1/2", 200),
        ('12 1/2"', 200),
        ("3/4", 12),
        ("-1/4", -4),
        ("-1 1/4", -20),
        (" 0 ", 0),
        ("80.0625", 1281),
    ],
)
def test_inches_are_read_as_sixteenths(text, sixteenths):
    assert parse_inches(text) == sixteenths


@pytest.mark.parametrize(
    "text", ["", "twelve", "12 1/3", "1/0", "12.5 1/2", "12 3/2", "1 2 3", "12 -1/2"]
)
def test_what_is_no_length_on_a_tape_is_refused(text):
    with pytest.raises(ValueError, match="inch"):
        parse_inches(text)


@pytest.mark.parametrize(
    ("sixteenths", "text"),
    [
        (200, '12 1/2"'),
        (192, '12"'),
        (8, '1/2"'),
        (1, '1/16"'),
        (0, '0"'),
        (-20, '-1 1/4"'),
        (1292, '80 3/4"'),
    ],
)
def test_sixteenths_are_written_as_a_tape_shows_them(sixteenths, text):
    assert format_inches(sixteenths) == text


@given(st.integers(-5000, 5000))
@settings(max_examples=60)
def test_a_written_length_reads_back_as_itself(sixteenths):
    assert parse_inches(format_number(sixteenths)) == sixteenths
