"""What the entries of an item amount to, rule by rule."""

from datetime import date
from itertools import count

import pytest

from phases.item_state import Entry, Need, item_state

D = date(2026, 3, 2)
ANA, BEN = 1, 2


def entries(*rows):
    """(answer, payload, person) in server order; op ids are op1, op2 ..."""
    numbers = count(1)
    made = []
    for answer, payload, *rest in rows:
        no = next(numbers)
        person = rest[0] if rest else ANA
        made.append(Entry(no, f"op{no}", person, answer, 1, D, payload))
    return made


def state(need, *rows, arrived=("a", "b"), **more):
    return item_state(need, entries(*rows), arrived=arrived, **more)


TICK = Need("tick")
HEIGHT = Need("measure", unit="in16", least=312, most=328)
PHOTO = Need("photo", photos=2)


def measure(value, person=ANA):
    return ("measure", {"value": value, "unit": "in16"}, person)


@pytest.mark.parametrize(
    ("need", "rows", "expected"),
    [
        (TICK, [], "open"),
        (TICK, [("tick", {})], "proven"),
        (TICK, [("note", {"text": "x"})], "open"),
        (TICK, [("tick", {}), ("undo", {"of": "op1"})], "open"),
        (TICK, [("tick", {}, ANA), ("undo", {"of": "op1"}, BEN)], "proven"),
        (TICK, [("tick", {}), ("reject", {"of": "op1", "reason": "no"})], "rejected"),
        (
            TICK,
            [("tick", {}), ("reject", {"of": "op1", "reason": "no"}), ("tick", {})],
            "proven",
        ),
        (TICK, [("tick", {}), ("not_done", {"text": "no power"})], "not_done"),
        (TICK, [("not_done", {"text": "no power"}), ("tick", {})], "proven"),
        (HEIGHT, [("tick", {})], "open"),
        (HEIGHT, [measure(320)], "proven"),
        (HEIGHT, [measure(300)], "failed"),
        (HEIGHT, [measure(300), ("tick", {})], "failed"),
        (HEIGHT, [measure(300), measure(320)], "proven"),
        (HEIGHT, [measure(300), ("settle", {"reason": "window"})], "proven"),
        (HEIGHT, [measure(320), measure(324, BEN)], "conflict"),
        (HEIGHT, [measure(320), measure(320, BEN)], "proven"),
        (
            HEIGHT,
            [
                measure(320),
                measure(324, BEN),
                ("settle", {"value": 324, "reason": "x"}),
            ],
            "proven",
        ),
        (
            HEIGHT,
            [measure(320), measure(324, BEN), ("undo", {"of": "op1"})],
            "proven",
        ),
        (PHOTO, [("photo", {"sha": "a"})], "open"),
        (PHOTO, [("photo", {"sha": "a"}), ("photo", {"sha": "a"})], "open"),
        (PHOTO, [("photo", {"sha": "a"}), ("photo", {"sha": "b"})], "proven"),
        (PHOTO, [("photo", {"sha": "a"}), ("photo", {"sha": "lost"})], "open"),
        (PHOTO, [("tick", {})], "open"),
        (Need("test"), [("test", {"passed": True})], "proven"),
        (Need("test"), [("test", {"passed": False}), ("tick", {})], "failed"),
        (Need("no_list"), [("tick", {})], "open"),
        (Need("tick", photos=1), [("tick", {})], "open"),
        (Need("tick", photos=1), [("tick", {}), ("photo", {"sha": "a"})], "proven"),
    ],
)
def test_item_state(need, rows, expected):
    assert state(need, *rows).state == expected


def test_a_tick_does_not_mend_an_open_correction():
    assert state(TICK, ("tick", {}), open_correction=True).state == "failed"


def test_limits_from_memory_alone_are_shown_but_fail_nothing():
    need = Need("measure", unit="in16", least=312, most=328, advisory=True)

    found = state(need, measure(300))

    assert (found.state, found.off) == ("proven", -12)


def test_the_loser_of_a_conflict_stays_readable_as_an_entry():
    found = state(HEIGHT, measure(320), measure(324, BEN))

    assert (found.state, found.value, found.person) == ("conflict", 324, BEN)
