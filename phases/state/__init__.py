"""The three answers of a lot phase, and its cover gate. Pure: facts and today in."""

from dataclasses import dataclass

from .cover import cover_answer, cover_gate, unproven
from .inspection import has_passed, inspection_answer, kind_states, may_follow
from .view import (
    COVERED_UNPROVEN,
    DONE,
    FAILED,
    PROVEN,
    Answer,
    Gate,
    ItemView,
    PhaseFact,
    PhaseView,
    Reason,
    last_fact,
)
from .work import on_test, work_answer

__all__ = [
    "Answer",
    "Answers",
    "Gate",
    "ItemView",
    "PhaseFact",
    "PhaseView",
    "Reason",
    "answers",
    "glyph_word",
    "has_passed",
    "kind_states",
    "may_follow",
    "on_test",
]


@dataclass(frozen=True)
class Answers:
    work: Answer
    inspection: Answer
    cover: Answer
    gate: Gate
    call_in_missing: tuple[Reason, ...]
    call_in_overridden: bool


def answers(view: PhaseView) -> Answers:
    """Work, inspection and cover of a lot phase, with gate and what blocks calling."""
    inspection = inspection_answer(view)
    gate = cover_gate(view, inspection)
    missing = unproven(view)
    overridden = bool(last_fact(view.facts, "gate_overridden", gate="call_in"))
    return Answers(
        work=work_answer(view),
        inspection=inspection,
        cover=cover_answer(view, gate),
        gate=gate,
        call_in_missing=missing,
        call_in_overridden=overridden,
    )


def glyph_word(result: Answers, *, passed: bool, on_test: bool, held: bool) -> str:
    """The one word of the house section for this phase."""
    if result.cover.state == COVERED_UNPROVEN:
        return "unproven"
    if result.inspection.state == FAILED:
        return "failed"
    if passed:
        return "passed"
    if held:
        return "held"
    if result.work.state in (DONE, PROVEN):
        return "on_test" if on_test else "done"
    return result.work.state
