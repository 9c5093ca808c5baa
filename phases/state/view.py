"""What the answers of a lot phase are computed from, and how facts are read.

Facts come in server order. A mistake is put right by a later fact, so for each thing
(a part, a kind of inspection, a date) the latest word counts.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from typing import Any

NOT_READY, READY, PLANNED = "not_ready", "ready", "planned"
WORKING, DONE, PROVEN = "working", "done", "proven"
NONE_NEEDED, NOT_CALLED, CALLED_IN = "none_needed", "not_called", "called_in"
PARTLY, FAILED, PASSED = "partly_passed", "failed", "passed"
COVER_OPEN, COVER_DUE = "open", "due"
COVERED_PROVEN, COVERED_UNPROVEN = "covered_proven", "covered_unproven"

# Results after which the inspector has to come again.
NO_PASS = ("failed", "not_ready", "no_access", "not_on_test")

Reason = dict[str, Any]


@dataclass(frozen=True)
class PhaseFact:
    no: int
    kind: str
    on: date
    payload: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class ItemView:
    key: str
    concealed: bool
    state: str
    proven_on: date | None = None


@dataclass(frozen=True)
class PhaseView:
    """All that the answers of one lot phase depend on.

    `kinds` are the codes of the inspections that must pass; None: nobody has said.
    `has_list` is False where no stub-out list could be made (no plan, no fixtures).
    """

    today: date
    facts: tuple[PhaseFact, ...] = ()
    items: tuple[ItemView, ...] = ()
    has_list: bool = False
    parts: tuple[str, ...] = ()
    kinds: tuple[str, ...] | None = None
    previous_passed: bool = True
    own_corrections: int = 0
    conceals: bool = True
    warn_days: int = 3


@dataclass(frozen=True)
class Answer:
    state: str
    on: date | None
    reason: Reason


@dataclass(frozen=True)
class Gate:
    open: bool
    missing: tuple[Reason, ...]
    overridden: bool = False


def last_fact(facts: Iterable[PhaseFact], kind: str, **match: str) -> PhaseFact | None:
    found = None
    for fact in facts:
        if fact.kind == kind and all(
            fact.payload.get(key) == value for key, value in match.items()
        ):
            found = fact
    return found


def standing_fact(
    facts: Iterable[PhaseFact], kind: str, *, undone_by: str
) -> PhaseFact | None:
    """The latest fact of a kind that no later one took back."""
    standing = None
    for fact in facts:
        if fact.kind == kind:
            standing = fact
        elif fact.kind == undone_by:
            standing = None
    return standing
