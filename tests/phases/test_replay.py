"""Two implementations of the three answers must agree, bugs planted must show."""

from dataclasses import replace
from datetime import date

import pytest

from phases import state
from phases.state import cover, inspection, view, work
from tests.phases.histories import first_difference


def test_both_ways_agree_on_random_histories_with_late_facts():
    assert first_difference(3000) is None


def _all_said(seen):
    said = state.PhaseFact(0, "part_said", seen.today, {"part": "x", "ready": True})
    return replace(seen, parts=("x",), facts=(said, *seen.facts))


# Each plants one bug in one rule: (module, name, wrong version made from the right).
PLANTED = {
    "a part once said stays said": (
        work,
        "_part_said",
        lambda right: (
            lambda facts, part: next(
                (
                    f
                    for f in facts
                    if f.kind == "part_said" and f.payload["part"] == part
                ),
                None,
            )
        ),
    ),
    "breaking off is forgotten": (
        work,
        "_first_work",
        lambda right: lambda facts: right(f for f in facts if f.kind != "broken_off"),
    ),
    "a note counts as work": (
        work,
        "_WORKING_ANSWERS",
        lambda right: (*right, "note"),
    ),
    "open items do not matter once work is done": (
        work,
        "_done_answer",
        lambda right: (
            lambda seen, done: right(replace(seen, items=seen.items[:1]), done)
        ),
    ),
    "no readiness parts means ready": (
        work,
        "work_answer",
        lambda right: lambda seen: right(seen if seen.parts else _all_said(seen)),
    ),
    "the phase before does not matter": (
        work,
        "_waits",
        lambda right: lambda seen: right(replace(seen, previous_passed=True)),
    ),
    "one pass is enough": (
        inspection,
        "kind_states",
        lambda right: lambda seen: dict(list(right(seen).items())[:1]),
    ),
    "no access is no failure": (inspection, "NO_PASS", lambda right: ("failed",)),
    "a partial pass is a pass": (
        inspection,
        "_result_state",
        lambda right: (
            lambda fact: right(
                replace(
                    fact,
                    payload={
                        **fact.payload,
                        "result": fact.payload["result"].replace(
                            "partly_passed", "passed"
                        ),
                    },
                )
            )
        ),
    ),
    "an unknown office needs nothing": (
        state,
        "inspection_answer",
        lambda right: lambda seen: right(replace(seen, kinds=seen.kinds or ())),
    ),
    "a missing list opens the gate": (
        cover,
        "unproven",
        lambda right: lambda seen: right(replace(seen, has_list=True)),
    ),
    "an open item opens the gate": (
        cover,
        "unproven",
        lambda right: lambda seen: right(replace(seen, items=())),
    ),
    "corrections do not shut the gate": (
        cover,
        "unproven",
        lambda right: lambda seen: right(replace(seen, own_corrections=0)),
    ),
    "a proof after the cover counts": (
        cover,
        "_covered",
        lambda right: (
            lambda seen, gate, on: right(
                seen, gate, on if gate.missing else date(2030, 1, 1)
            )
        ),
    ),
    "due a day late": (
        cover,
        "cover_answer",
        lambda right: lambda seen, gate: right(replace(seen, warn_days=2), gate),
    ),
    "an override is not heard": (
        cover,
        "last_fact",
        lambda right: (
            lambda facts, kind, **match: (
                None if kind == "gate_overridden" else right(facts, kind, **match)
            )
        ),
    ),
    "unplanning is forgotten": (
        work,
        "standing_fact",
        lambda right: (
            lambda facts, kind, undone_by: right(
                facts, kind, undone_by="" if kind == "planned" else undone_by
            )
        ),
    ),
}


@pytest.mark.parametrize("bug", PLANTED)
def test_a_planted_bug_in_a_rule_shows(bug, monkeypatch):
    module, name, wrong = PLANTED[bug]
    right = getattr(module, name)
    monkeypatch.setattr(module, name, wrong(right))
    # What imported the rule by name must see the wrong one too.
    for other in (state, work, inspection, cover, view):
        if getattr(other, name, None) is right:
            monkeypatch.setattr(other, name, getattr(module, name))

    assert first_difference(3000) is not None
