"""Cover: open, due, covered proven or covered unproven; and the gate before it."""

from datetime import date, timedelta

from .inspection import kind_states
from .view import (
    COVER_DUE,
    COVER_OPEN,
    COVERED_PROVEN,
    COVERED_UNPROVEN,
    NONE_NEEDED,
    PASSED,
    Answer,
    Gate,
    PhaseView,
    Reason,
    last_fact,
)


def unproven(view: PhaseView) -> tuple[Reason, ...]:
    """What our own proofs lack: blocks calling in, and the gate."""
    missing: list[Reason] = []
    if not view.has_list:
        missing.append({"code": "no_list"})
    open_items = [i.key for i in view.items if i.concealed and i.state != "proven"]
    if open_items:
        missing.append({"code": "concealed_unproven", "count": len(open_items)})
    if view.own_corrections:
        missing.append({"code": "corrections_open", "count": view.own_corrections})
    return tuple(missing)


def cover_gate(view: PhaseView, inspection: Answer) -> Gate:
    missing = list(unproven(view))
    if inspection.state not in (PASSED, NONE_NEEDED):
        missing.append(
            {"code": "not_passed", "state": inspection.state, **_kinds_of(inspection)}
        )
    overridden = bool(last_fact(view.facts, "gate_overridden", gate="cover"))
    return Gate(not missing or overridden, tuple(missing), overridden and bool(missing))


def _kinds_of(inspection: Answer) -> Reason:
    kinds = inspection.reason.get("kinds")
    return {"kinds": kinds} if kinds else {}


def cover_answer(view: PhaseView, gate: Gate) -> Answer:
    if not view.conceals:
        return Answer(COVER_OPEN, None, {"code": "nothing_covers"})
    said = last_fact(view.facts, "date_said", what="cover")
    if said is None or said.payload.get("date") is None:
        return Answer(COVER_OPEN, None, {"code": "no_cover_date"})
    on = date.fromisoformat(said.payload["date"])
    if said.payload["status"] == "actual":
        return _covered(view, gate, on)
    if view.today >= on - timedelta(days=view.warn_days):
        code = "gate_open" if gate.open else "gate_shut"
        if view.today > on and not gate.open:
            code = "cover_passed_gate_shut"
        return Answer(COVER_DUE, on, {"code": code})
    return Answer(COVER_OPEN, on, {"code": "cover_later"})


def _covered(view: PhaseView, gate: Gate, on: date) -> Answer:
    if gate.missing:
        code = "override" if gate.overridden else "gate_shut"
        return Answer(COVERED_UNPROVEN, on, {"code": code})
    # What was measured or passed after the cover proves nothing of what is inside.
    late = [i for i in view.items if i.concealed and i.proven_on and i.proven_on > on]
    passed = [day for _, day in kind_states(view).values() if day is not None]
    if late or any(day > on for day in passed):
        return Answer(COVERED_UNPROVEN, on, {"code": "proven_after_cover"})
    return Answer(COVERED_PROVEN, on, {"code": "gate_open"})
