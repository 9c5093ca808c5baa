"""The three answers, rule by rule."""

from datetime import date

import pytest

from phases.state import (
    ItemView,
    PhaseFact,
    PhaseView,
    answers,
    has_passed,
    may_follow,
)

D = date(2026, 3, 2)


def day(n):
    return date(2026, 3, n)


def facts(*rows):
    """(kind, day, payload) in server order."""
    return tuple(
        PhaseFact(no, kind, day(on), payload)
        for no, (kind, on, payload) in enumerate(rows, start=1)
    )


def view(*rows, today=D, **fields):
    fields.setdefault("has_list", True)
    fields.setdefault("parts", ("framing",))
    fields.setdefault("kinds", ("topout",))
    return PhaseView(today=today, facts=facts(*rows), **fields)


PROVEN_ITEM = ItemView("a", concealed=True, state="proven", proven_on=day(3))
OPEN_ITEM = ItemView("b", concealed=True, state="open")
SAID = ("part_said", 2, {"part": "framing", "ready": True})
DONE = ("work_done", 4, {})
PASS = ("result", 5, {"inspection": "topout", "result": "passed", "on": "2026-03-05"})
FAIL = ("result", 5, {"inspection": "topout", "result": "failed", "on": "2026-03-05"})


def call(on, for_date):
    payload = {"inspection": "topout", "for_date": for_date.isoformat()}
    return ("called_in", on, payload)


def cover(on, status="predicted"):
    payload = {"what": "cover", "status": status, "date": on.isoformat()}
    return ("date_said", 2, payload)


PLANNED = ("planned", 2, {"crew": 1, "start": "2026-03-03", "end": "2026-03-04"})


@pytest.mark.parametrize(
    ("rows", "fields", "state", "on", "code"),
    [
        ([], {}, "not_ready", None, "parts_unsaid"),
        ([], {"parts": ()}, "not_ready", None, "no_parts"),
        ([SAID], {}, "ready", day(2), "ready"),
        ([SAID], {"previous_passed": False}, "not_ready", None, "previous_open"),
        (
            [SAID, ("part_said", 3, {"part": "framing", "ready": False})],
            {},
            "not_ready",
            None,
            "parts_unsaid",
        ),
        ([PLANNED], {}, "planned", day(3), "parts_unsaid"),
        ([SAID, PLANNED], {}, "planned", day(3), "planned"),
        ([SAID, PLANNED, ("unplanned", 3, {})], {}, "ready", day(2), "ready"),
        ([SAID, ("started", 3, {})], {}, "working", day(3), "started"),
        ([SAID, ("entry", 3, {"answer": "tick"})], {}, "working", day(3), "started"),
        ([SAID, ("entry", 3, {"answer": "note"})], {}, "ready", day(2), "ready"),
        (
            [SAID, ("started", 3, {}), ("broken_off", 4, {})],
            {},
            "ready",
            day(2),
            "ready",
        ),
        ([DONE], {"items": (OPEN_ITEM,)}, "done", day(4), "items_unproven"),
        ([DONE], {"has_list": False}, "done", day(4), "no_list"),
        (
            [DONE],
            {"items": (PROVEN_ITEM,), "own_corrections": 1},
            "done",
            day(4),
            "corrections_open",
        ),
        ([DONE], {"items": (PROVEN_ITEM,)}, "proven", day(4), "all_proven"),
        ([DONE, ("reopened", 6, {})], {}, "working", day(6), "started"),
    ],
)
def test_work(rows, fields, state, on, code):
    found = answers(view(*rows, **fields)).work

    assert (found.state, found.on, found.reason["code"]) == (state, on, code)


@pytest.mark.parametrize(
    ("rows", "kinds", "state", "on", "code"),
    [
        ([], None, "not_called", None, "no_kinds"),
        ([], (), "none_needed", None, "none_needed"),
        ([], ("topout",), "not_called", None, "kinds_open"),
        ([call(4, day(5))], ("topout",), "called_in", day(5), "kinds_called"),
        (
            [call(4, day(5)), ("call_cancelled", 4, {"inspection": "topout"})],
            ("topout",),
            "not_called",
            None,
            "kinds_open",
        ),
        ([PASS], ("topout",), "passed", day(5), "passed"),
        ([FAIL], ("topout",), "failed", day(5), "kinds_failed"),
        ([FAIL, call(6, day(7))], ("topout",), "called_in", day(7), "kinds_called"),
        ([FAIL, PASS], ("topout",), "passed", day(5), "passed"),
        ([PASS, FAIL], ("topout",), "failed", day(5), "kinds_failed"),
        ([PASS], ("topout", "gas"), "partly_passed", day(5), "kinds_open"),
        (
            [("result", 5, {**PASS[2], "result": "no_access"})],
            ("topout",),
            "failed",
            day(5),
            "kinds_failed",
        ),
    ],
)
def test_inspection(rows, kinds, state, on, code):
    found = answers(view(*rows, kinds=kinds)).inspection

    assert (found.state, found.on, found.reason["code"]) == (state, on, code)


GOOD = {"items": (PROVEN_ITEM,)}


@pytest.mark.parametrize(
    ("rows", "fields", "today", "state", "code"),
    [
        ([], GOOD, D, "open", "no_cover_date"),
        ([cover(day(9))], GOOD, D, "open", "cover_later"),
        ([cover(day(9))], GOOD, day(6), "due", "gate_shut"),
        ([cover(day(9)), PASS], GOOD, day(6), "due", "gate_open"),
        ([cover(day(9))], GOOD, day(10), "due", "cover_passed_gate_shut"),
        ([PASS, cover(day(9), "actual")], GOOD, day(10), "covered_proven", "gate_open"),
        ([cover(day(9), "actual")], GOOD, day(10), "covered_unproven", "gate_shut"),
        (
            [PASS, cover(day(9), "actual")],
            {"items": (PROVEN_ITEM, OPEN_ITEM)},
            day(10),
            "covered_unproven",
            "gate_shut",
        ),
        (
            [PASS, cover(day(4), "actual")],
            GOOD,
            day(10),
            "covered_unproven",
            "proven_after_cover",
        ),
        (
            [cover(day(9), "actual"), ("gate_overridden", 8, {"gate": "cover"})],
            GOOD,
            day(10),
            "covered_unproven",
            "override",
        ),
        # A mistaken "covered" is put right by a later word.
        ([cover(day(4), "actual"), cover(day(9))], GOOD, D, "open", "cover_later"),
        ([cover(day(9))], {**GOOD, "conceals": False}, D, "open", "nothing_covers"),
    ],
)
def test_cover(rows, fields, today, state, code):
    found = answers(view(*rows, today=today, **fields)).cover

    assert (found.state, found.reason["code"]) == (state, code)


def test_the_gate_stays_shut_while_an_item_is_unproven_though_the_wall_passed():
    gate = answers(view(PASS, items=(PROVEN_ITEM, OPEN_ITEM))).gate

    assert gate.open is False
    assert [reason["code"] for reason in gate.missing] == ["concealed_unproven"]


def test_the_gate_opens_when_all_is_proven_and_passed():
    assert answers(view(PASS, items=(PROVEN_ITEM,))).gate.open is True


@pytest.mark.parametrize(
    "fields", [{"has_list": False}, {"kinds": None}, {"kinds": ("topout", "gas")}]
)
def test_absence_never_opens_a_gate(fields):
    gate = answers(view(PASS, **({"items": (PROVEN_ITEM,)} | fields))).gate

    assert gate.open is False


def test_an_override_opens_the_gate_and_keeps_what_was_missing():
    gate = answers(view(("gate_overridden", 3, {"gate": "cover"}))).gate

    assert (gate.open, gate.overridden, len(gate.missing)) == (True, True, 1)


def test_where_no_inspection_is_needed_the_phase_passes_with_its_work():
    assert has_passed(view(kinds=())) is False
    assert has_passed(view(DONE, kinds=())) is True


def test_a_phase_may_follow_one_whose_only_open_inspection_it_shares():
    rough = view(DONE, kinds=("topout",))

    assert may_follow(rough, ("topout", "gas")) is True
    assert may_follow(rough, ("gas",)) is False
    assert may_follow(view(kinds=("topout",)), ("topout",)) is False
    assert may_follow(view(PASS), None) is True
