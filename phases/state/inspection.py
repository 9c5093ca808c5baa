"""Inspection: none needed, not called, called in, partly passed, failed or passed."""

from datetime import date

from .view import (
    CALLED_IN,
    FAILED,
    NO_PASS,
    NONE_NEEDED,
    NOT_CALLED,
    PARTLY,
    PASSED,
    Answer,
    PhaseFact,
    PhaseView,
    standing_fact,
)


def kind_states(view: PhaseView) -> dict[str, tuple[str, date | None]]:
    """Each required kind with its state and the date that goes with it."""
    states: dict[str, tuple[str, date | None]] = {}
    for kind in view.kinds or ():
        state: tuple[str, date | None] = (NOT_CALLED, None)
        for fact in view.facts:
            if fact.payload.get("inspection") != kind:
                continue
            if fact.kind == "called_in":
                state = (CALLED_IN, date.fromisoformat(fact.payload["for_date"]))
            elif fact.kind == "call_cancelled":
                state = (NOT_CALLED, None)
            elif fact.kind == "result":
                state = _result_state(fact)
        states[kind] = state
    return states


def _result_state(fact: PhaseFact) -> tuple[str, date | None]:
    result = fact.payload["result"]
    on = date.fromisoformat(fact.payload["on"])
    if result == "passed":
        return (PASSED, on)
    if result == "partly_passed":
        return (PARTLY, on)
    if result in NO_PASS:
        return (FAILED, on)
    return (NOT_CALLED, None)


def inspection_answer(view: PhaseView) -> Answer:
    if view.kinds is None:
        return Answer(NOT_CALLED, None, {"code": "no_kinds"})
    if not view.kinds:
        return Answer(NONE_NEEDED, None, {"code": "none_needed"})
    states = kind_states(view)
    by_state: dict[str, list[str]] = {}
    for kind, (state, _) in states.items():
        by_state.setdefault(state, []).append(kind)

    def dates(state: str) -> list[date]:
        return [on for s, on in states.values() if s == state and on is not None]

    if len(by_state.get(PASSED, ())) == len(states):
        return Answer(PASSED, max(dates(PASSED)), {"code": "passed"})
    if FAILED in by_state:
        reason = {"code": "kinds_failed", "kinds": by_state[FAILED]}
        return Answer(FAILED, max(dates(FAILED)), reason)
    if CALLED_IN in by_state:
        reason = {"code": "kinds_called", "kinds": by_state[CALLED_IN]}
        return Answer(CALLED_IN, min(dates(CALLED_IN)), reason)
    if PARTLY in by_state or PASSED in by_state:
        open_kinds = [kind for kind, (state, _) in states.items() if state != PASSED]
        on = max(dates(PASSED) + dates(PARTLY))
        return Answer(PARTLY, on, {"code": "kinds_open", "kinds": open_kinds})
    return Answer(NOT_CALLED, None, {"code": "kinds_open", "kinds": list(states)})


def has_passed(view: PhaseView) -> bool:
    """Every required kind passed, or work done where none is needed."""
    state = inspection_answer(view).state
    if state == NONE_NEEDED:
        return bool(standing_fact(view.facts, "work_done", undone_by="reopened"))
    return state == PASSED


def may_follow(previous: PhaseView, kinds: tuple[str, ...] | None) -> bool:
    """Whether the phase that must pass `kinds` may start after the one before.

    Where one inspection proves both, the work of the first being done is enough:
    its pass can only come with the second.
    """
    if has_passed(previous):
        return True
    if not standing_fact(previous.facts, "work_done", undone_by="reopened"):
        return False
    waiting = [k for k, (state, _) in kind_states(previous).items() if state != PASSED]
    return bool(waiting) and all(kind in (kinds or ()) for kind in waiting)
