"""What a lot does next and what it waits for, read off its phases. Pure decisions."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from phases.models import Hold, LotPhase
from tracker.desk.glyph import leading

DONE = ("done", "proven")
NOT_CALLED = ("not_called", "partly_passed")


@dataclass(frozen=True)
class Step:
    """The next thing to happen on a lot.

    `text` is English for `tracker.desk.spanish`; `waits` are reasons for
    `tracker.words`; `held` names who the lot waits for, where somebody said so.
    """

    text: str
    phase: LotPhase | None = None
    on: date | None = None
    waits: tuple[dict[str, Any], ...] = ()
    held: tuple[Hold, ...] = field(default=())


def current_phase(phases: Sequence[LotPhase]) -> LotPhase | None:
    """The phase that needs looking at: an alarm first, else the first not passed."""
    word = leading(phase.word for phase in phases)
    if word in ("", "passed"):
        return None
    return next(phase for phase in phases if phase.word == word)


def next_step(phases: Sequence[LotPhase], holds: Iterable[Hold] = ()) -> Step:
    held = tuple(holds)
    if not phases:
        return Step("Give it a route", held=held)
    phase = current_phase(phases)
    if phase is None:
        return Step("Close the house", held=held)
    phase = _called_with(phase, phases)
    text, on, waits = _phase_step(phase)
    return Step(text, phase, on, tuple(w for w in waits if w), held)


def _called_with(phase: LotPhase, phases: Sequence[LotPhase]) -> LotPhase:
    """A later phase that is not done and whose inspection proves this one as well.

    Then nobody can call in for this one: the lot waits for the work of the later.
    """
    if phase.work not in DONE or phase.inspection not in (
        "not_called",
        "partly_passed",
    ):
        return phase
    if phase.call_in_missing or phase.cover == "covered_unproven":
        return phase
    mine = set(phase.inspection_reason.get("kinds") or ())
    for later in phases[list(phases).index(phase) + 1 :]:
        theirs = set(later.inspection_reason.get("kinds") or ())
        if later.work not in DONE and mine and mine <= theirs:
            return later
    return phase


def _phase_step(phase: LotPhase) -> tuple[str, date | None, list[dict[str, Any]]]:
    if phase.cover == "covered_unproven":
        return "Prove what is covered", phase.cover_on, list(phase.gate_missing)
    if phase.inspection == "failed":
        if phase.open_corrections:
            return "Put right", phase.inspection_on, [phase.inspection_reason]
        return "Call in again", phase.inspection_on, [phase.inspection_reason]
    if phase.inspection == "called_in":
        return "Inspection", phase.inspection_on, [phase.inspection_reason]
    if phase.work in DONE:
        if phase.call_in_missing:
            return "Prove it", phase.cover_date, list(phase.call_in_missing)
        return "Call in", phase.cover_date, [phase.inspection_reason]
    if phase.work == "working":
        return "Finish the work", phase.planned_end or phase.cover_date, []
    if phase.work == "planned":
        waits = (
            [] if phase.work_reason.get("code") == "planned" else [phase.work_reason]
        )
        return "Start the work", phase.planned_start, waits
    if phase.work == "ready":
        return "Send a crew", phase.need_by or phase.ready_date, []
    return "Get it ready", phase.ready_date, [phase.work_reason]
