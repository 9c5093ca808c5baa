"""Random histories of a lot, answered by the rules and by the walk."""

import random
from datetime import UTC, date, datetime, timedelta

from phases import state
from phases.state import inspection
from tests.phases.walk import phase_words

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
