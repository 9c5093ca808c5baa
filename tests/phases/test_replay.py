"""Two implementations of the three answers must agree, bugs planted must show."""

import random
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from phases import item_state as items_module
from phases import state
from phases.item_state import Entry, Need, item_state
from phases.state import cover, inspection, view, work
from tests.phases.walk import item_word, phase_words

START = datetime(2026, 3, 2, 15, tzinfo=UTC)
ZONE = "UTC"
KINDS = ("topout", "gas")
PARTS = ("framing", "dry_in")
RESULTS = (
    "passed",
    "passed",
    "failed",
    "partly_passed",
    "no_access",
    "not_ready",
    "cancelled",
)


def random_facts(rng):
    """Facts in server order whose claimed times jump about, as late phones' do."""
    rows = []
    for no in range(1, rng.randrange(1, 22)):
        claimed = START + timedelta(days=rng.randrange(-3, 12), hours=rng.randrange(24))
        kind, payload = rng.choice(FACTS)(rng, claimed.date())
        rows.append(
            {
                "no": no,
                "op": None,
                "kind": kind,
                "payload": payload,
                "happened_at": claimed,
                "by_id": 1,
            }
        )
    return rows


def _day(rng, day):
    return (day + timedelta(days=rng.randrange(-2, 4))).isoformat()


FACTS = [
    lambda r, d: ("part_said", {"part": r.choice(PARTS), "ready": r.random() < 0.8}),
    lambda r, d: ("part_said", {"part": r.choice(PARTS), "ready": True}),
    lambda r, d: ("planned", {"crew": 1, "start": _day(r, d), "end": _day(r, d)}),
    lambda r, d: ("unplanned", {}),
    lambda r, d: ("started", {}),
    lambda r, d: ("broken_off", {"quarters_left": 2}),
    lambda r, d: ("work_done", {}),
    lambda r, d: ("work_done", {}),
    lambda r, d: ("reopened", {"reason": "x"}),
    lambda r, d: ("entry", {"answer": r.choice(["tick", "note", "photo", "undo"])}),
    lambda r, d: ("called_in", {"inspection": r.choice(KINDS), "for_date": _day(r, d)}),
    lambda r, d: ("call_cancelled", {"inspection": r.choice(KINDS)}),
    lambda r, d: (
        "result",
        {"inspection": r.choice(KINDS), "result": r.choice(RESULTS), "on": _day(r, d)},
    ),
    lambda r, d: (
        "result",
        {"inspection": r.choice(KINDS), "result": "passed", "on": _day(r, d)},
    ),
    lambda r, d: (
        "date_said",
        {
            "what": r.choice(["cover", "ready"]),
            "status": r.choice(["predicted", "actual"]),
            "date": r.choice([None, _day(r, d), _day(r, d)]),
        },
    ),
    lambda r, d: ("gate_overridden", {"gate": r.choice(["cover", "call_in"])}),
]


def random_case(rng):
    """A phase before, a phase, their facts, items and today."""
    phases = []
    for _ in range(2):
        phase = {
            "parts": rng.choice([(), ("framing",), PARTS]),
            "kinds": rng.choice([None, (), ("topout",), ("topout",), KINDS]),
            "conceals": rng.random() < 0.9,
            "own_corrections": rng.choice([0, 0, 0, 2]),
            "warn_days": 3,
        }
        items = [
            (
                rng.random() < 0.7,
                rng.choice(["proven", "proven", "proven", "proven", "open"]),
                date(2026, 3, 1) + timedelta(days=rng.randrange(12)),
            )
            for _ in range(rng.choice([0, 1, 1, 2]))
        ]
        items = [(c, s, d if s == "proven" else None) for c, s, d in items]
        phases.append((phase, random_facts(rng), items))
    return phases, date(2026, 3, 1) + timedelta(days=rng.randrange(14))


def by_rules(phases, today):
    found, previous = [], None
    for phase, facts, items in phases:
        kinds = phase["kinds"]
        seen = state.PhaseView(
            today=today,
            facts=tuple(
                state.PhaseFact(
                    f["no"], f["kind"], f["happened_at"].date(), f["payload"]
                )
                for f in facts
            ),
            items=tuple(
                state.ItemView(str(n), c, s, d) for n, (c, s, d) in enumerate(items)
            ),
            has_list=bool(items),
            parts=phase["parts"],
            kinds=kinds,
            previous_passed=previous is None or inspection.may_follow(previous, kinds),
            own_corrections=phase["own_corrections"],
            conceals=phase["conceals"],
            warn_days=phase["warn_days"],
        )
        result = state.answers(seen)
        found.append(
            {
                "work": (result.work.state, result.work.on),
                "inspection": (result.inspection.state, result.inspection.on),
                "cover": (result.cover.state, result.cover.on),
                "gate": result.gate.open,
                "passed": state.has_passed(seen),
            }
        )
        previous = seen
    return found


def by_walk(phases, today):
    found, before = [], None
    for phase, facts, items in phases:
        before = phase_words(phase, facts, items, today=today, zone=ZONE, before=before)
        found.append({key: before[key] for key in KEYS})
    return found


KEYS = ("work", "inspection", "cover", "gate", "passed")


def first_difference(count, seed=7):
    rng = random.Random(seed)
    for n in range(count):
        phases, today = random_case(rng)
        if by_rules(phases, today) != by_walk(phases, today):
            return n
    return None


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


# items

ANSWERS = ("tick", "measure", "photo", "test", "note", "not_done", "settle")
NEEDS = [
    {"proof": "tick", "photos_needed": 0, "spec": {}},
    {"proof": "tick", "photos_needed": 1, "spec": {}},
    {"proof": "photo", "photos_needed": 0, "spec": {}},
    {"proof": "photo", "photos_needed": 2, "spec": {}},
    {"proof": "test", "photos_needed": 0, "spec": {}},
    {"proof": "no_list", "photos_needed": 0, "spec": {}},
    {"proof": "measure", "photos_needed": 0, "spec": {"least": 10, "most": 20}},
    {
        "proof": "measure",
        "photos_needed": 1,
        "spec": {"least": 10, "most": None, "advisory": True},
    },
]


def random_entries(rng):
    rows = []
    for no in range(1, rng.randrange(1, 9)):
        answer = rng.choice([*ANSWERS, *ANSWERS, "undo", "reject"])
        payload = {"answer": answer}
        if answer == "measure" or (answer == "settle" and rng.random() < 0.5):
            payload["value"] = rng.choice([5, 12, 15, 25])
        elif answer == "photo":
            payload["sha"] = rng.choice("abc")
        elif answer == "test":
            payload["passed"] = rng.random() < 0.6
        elif answer in ("undo", "reject"):
            payload["of"] = f"{rng.randrange(1, 9)}"
        rows.append(
            {
                "no": no,
                "op": None,
                "by_id": rng.choice([1, 2]),
                "payload": payload,
                "happened_at": START + timedelta(days=rng.randrange(5)),
            }
        )
    return rows


def first_item_difference(count, seed=11):
    rng = random.Random(seed)
    for n in range(count):
        item, rows = rng.choice(NEEDS), random_entries(rng)
        corrected = rng.random() < 0.1
        spec = item["spec"]
        need = Need(
            item["proof"],
            item["photos_needed"],
            "in16",
            spec.get("least"),
            spec.get("most"),
            spec.get("advisory", False),
        )
        entries = [
            Entry(
                r["no"],
                str(r["no"]),
                r["by_id"],
                r["payload"]["answer"],
                1,
                r["happened_at"].date(),
                r["payload"],
            )
            for r in rows
        ]
        found = item_state(need, entries, arrived="ab", open_correction=corrected)
        if (found.state, found.proven_on) != item_word(
            item, rows, "ab", ZONE, corrected
        ):
            return n
    return None


def test_both_ways_agree_on_random_entries():
    assert first_item_difference(6000) is None


PLANTED_IN_ITEMS = {
    "the last of two measurements wins": (
        "_measured",
        lambda right: lambda need, live: replace(right(need, live), conflict=False),
    ),
    "out of tolerance is fine": (
        "_measured",
        lambda right: lambda need, live: replace(right(need, live), failed=False),
    ),
    "a failed test is forgotten": ("_test_failed", lambda right: lambda live: False),
    "a photo counts before its bytes are here": (
        "_proof_entries",
        lambda right: lambda need, live, m, arrived: right(need, live, m, "abc"),
    ),
    "anybody may undo": (
        "live_entries",
        lambda right: lambda entries: right(replace(e, person=1) for e in entries),
    ),
}


@pytest.mark.parametrize("bug", PLANTED_IN_ITEMS)
def test_a_planted_bug_in_the_item_rules_shows(bug, monkeypatch):
    name, wrong = PLANTED_IN_ITEMS[bug]
    monkeypatch.setattr(items_module, name, wrong(getattr(items_module, name)))

    assert first_item_difference(6000) is not None
