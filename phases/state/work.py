"""Work: not ready, ready, planned, working, done or proven."""

from collections.abc import Iterable
from datetime import date

from .view import (
    DONE,
    NOT_READY,
    PLANNED,
    PROVEN,
    READY,
    WORKING,
    Answer,
    PhaseFact,
    PhaseView,
    Reason,
    last_fact,
    standing_fact,
)


def work_answer(view: PhaseView) -> Answer:
    done = standing_fact(view.facts, "work_done", undone_by="reopened")
    if done:
        return _done_answer(view, done)
    started = _first_work(view.facts)
    if started:
        return Answer(WORKING, started.on, {"code": "started"})
    planned = standing_fact(view.facts, "planned", undone_by="unplanned")
    waits = _waits(view)
    if planned:
        start = date.fromisoformat(planned.payload["start"])
        return Answer(PLANNED, start, waits or {"code": "planned"})
    if waits:
        return Answer(NOT_READY, None, waits)
    last = [_part_said(view.facts, part) for part in view.parts]
    since = max(fact.on for fact in last if fact is not None)
    return Answer(READY, since, {"code": "ready"})


def _done_answer(view: PhaseView, done: PhaseFact) -> Answer:
    if not view.has_list:
        return Answer(DONE, done.on, {"code": "no_list"})
    open_items = [item for item in view.items if item.state != "proven"]
    if open_items:
        return Answer(
            DONE, done.on, {"code": "items_unproven", "count": len(open_items)}
        )
    if view.own_corrections:
        reason = {"code": "corrections_open", "count": view.own_corrections}
        return Answer(DONE, done.on, reason)
    on = max([done.on, *(i.proven_on for i in view.items if i.proven_on)])
    return Answer(PROVEN, on, {"code": "all_proven"})


def _first_work(facts: Iterable[PhaseFact]) -> PhaseFact | None:
    """When work began: the first start or answer since it was last broken off."""
    first = None
    for fact in facts:
        if fact.kind == "broken_off":
            first = None
        elif first is None and (
            fact.kind in ("started", "reopened")
            or (fact.kind == "entry" and fact.payload.get("answer") in _WORKING_ANSWERS)
        ):
            first = fact
    return first


_WORKING_ANSWERS = ("tick", "measure", "photo", "test")


def _waits(view: PhaseView) -> Reason | None:
    """Why the phase is not ready, as said by people; None when it is."""
    if not view.previous_passed:
        return {"code": "previous_open"}
    if not view.parts:
        return {"code": "no_parts"}
    unsaid = []
    for part in view.parts:
        said = _part_said(view.facts, part)
        if said is None or not said.payload.get("ready"):
            unsaid.append(part)
    return {"code": "parts_unsaid", "parts": unsaid} if unsaid else None


def _part_said(facts: Iterable[PhaseFact], part: str) -> PhaseFact | None:
    return last_fact(facts, "part_said", part=part)


def on_test(view: PhaseView) -> bool:
    """Somebody put the lines on test and nobody took them down since."""
    return bool(standing_fact(view.facts, "on_test", undone_by="off_test"))
