"""Records, local rules and the data of tests on the pipe; a test's life."""

import csv
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import inspections.pipe_tests
from inspections.pipe_tests import (
    Amendment,
    TestEvent,
    TestLife,
    TestRecord,
    frost_warning,
    judge,
    life_of_test,
    needs,
    why_not_on_test,
)
from inspections.pipe_tests.books import BOOKS, TOPICS
from inspections.pipe_tests.records import MEDIA, METALS, PLASTICS, SYSTEMS

DATA = Path(inspections.pipe_tests.__file__).parent / "data" / "rules.csv"
DRAINS = {"system": "dwv", "medium": "water", "material": "pvc", "minutes": 15}


@pytest.mark.parametrize(
    "changes",
    [
        {"system": "roof"},
        {"medium": "steam"},
        {"material": "wood"},
        {"minutes": -1},
        {"head_ft": float("nan")},
        {"start_psig": float("inf")},
        {"start_f": -500},
        {"minutes": True},
        {"minutes": "15"},
    ],
)
def test_a_reading_that_cannot_be_is_refused(changes):
    with pytest.raises(ValueError, match="must be"):
        TestRecord(**(DRAINS | changes))


@pytest.mark.parametrize(
    "parts",
    [
        ("gas", "colour", "3", "x"),
        ("roof", "minutes", "3", "x"),
        ("gas", "minutes", "soon", "x"),
        ("gas", "minutes", "-3", "x"),
        ("gas", "minutes", "nan", "x"),
        ("gas", "minutes", "3", " "),
        ("dwv", "no_plastic", "maybe", "x"),
    ],
)
def test_a_local_rule_without_sense_or_source_is_refused(parts):
    with pytest.raises(ValueError):  # noqa: PT011 (each with its own words)
        Amendment(*parts)


def test_every_row_of_the_data_is_whole():
    with DATA.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))

    assert len({row["id"] for row in rows}) == len(rows) > 50
    for row in rows:
        assert row["topic"] in TOPICS
        assert row["origin"] in ("published", "memory")
        assert (row["source"] == "memory") == (row["origin"] == "memory")
        assert row["section"].strip()
        assert None not in row


def test_an_unknown_book_is_refused_with_the_known_ones():
    with pytest.raises(ValueError, match="choose IRC, IPC, UPC"):
        needs(book="XPC", edition=2018, system="gas", medium="air")


@pytest.mark.parametrize(
    ("medium", "low", "warned"),
    [
        ("water", 31.9, True),
        ("water", 32, False),
        ("water", None, False),
        ("air", 0, False),
    ],
)
def test_frost_warns_of_water_only(medium, low, warned):
    assert (frost_warning(medium=medium, forecast_low_f=low) is not None) == warned


MORNING = datetime.fromisoformat("2026-12-01T07:00+00:00")


def life(*kinds):
    events = [
        TestEvent(kind, MORNING + timedelta(hours=hour), f"person {hour}")
        for hour, kind in enumerate(kinds)
    ]
    return life_of_test(reversed(events))


@pytest.mark.parametrize(
    ("kinds", "reason"),
    [
        ([], "no test is up"),
        (["photo"], "no test is up"),
        (["put_up"], "no photo shows the test up"),
        (["put_up", "photo"], None),
        (["put_up", "photo", "inspected"], None),
        (
            ["put_up", "photo", "lost_pressure"],
            "the test must be done again: it lost pressure",
        ),
        (
            ["put_up", "photo", "disturbed"],
            "the test must be done again: it was disturbed",
        ),
        (["put_up", "photo", "disturbed", "put_up"], "no photo shows the test up"),
        (["put_up", "photo", "disturbed", "put_up", "photo"], None),
        (["put_up", "photo", "taken_down"], "the test was taken down by person 2"),
    ],
)
def test_a_lot_is_on_test_only_while_a_photographed_test_stands(kinds, reason):
    assert why_not_on_test(life(*kinds)) == reason


def test_caps_stay_an_item_until_somebody_clears_them():
    assert life("put_up", "photo", "inspected", "taken_down") == TestLife(
        up_since=None,
        up_by="person 0",
        photographed=True,
        inspected_at=MORNING + timedelta(hours=2),
        down_by="person 3",
        caps_left=True,
    )
    assert not life("put_up", "taken_down", "caps_cleared").caps_left


def test_an_event_needs_a_known_kind_and_a_name():
    with pytest.raises(ValueError, match="kind must be"):
        TestEvent("moved", MORNING, "person")
    with pytest.raises(ValueError, match="who did or saw"):
        TestEvent("put_up", MORNING, " ")


readings = st.fixed_dictionaries(
    {
        "system": st.sampled_from(SYSTEMS),
        "medium": st.sampled_from(MEDIA),
        "material": st.sampled_from([*PLASTICS, *METALS]),
    },
    optional={
        "minutes": st.floats(0, 3000),
        "start_psig": st.floats(0, 200),
        "end_psig": st.floats(0, 200),
        "start_f": st.floats(-60, 160),
        "end_f": st.floats(-60, 160),
        "head_ft": st.floats(0, 50),
        "leak_seen": st.booleans(),
        "dwelling": st.booleans(),
        "volume_cuft": st.floats(0, 5000),
        "gauge_mark_psi": st.floats(0.01, 5),
        "gauge_top_psi": st.floats(1, 300),
    },
)


@settings(max_examples=200, deadline=None)
@given(readings, st.sampled_from(BOOKS), st.integers(2000, 2024))
def test_every_test_gets_a_verdict_and_leaks_and_dangers_never_pass(
    given_readings, book, edition
):
    record = TestRecord(**given_readings)

    told = judge(record, book=book, edition=edition)

    assert told.outcome in ("pass", "confirm", "fail")
    assert told.sentence.endswith(".")
    if record.leak_seen or record.medium in ("oxygen", "fuel_gas"):
        assert told.outcome != "pass"
    if record.medium == "air" and record.plastic and record.system == "dwv":
        assert told.outcome != "pass"
