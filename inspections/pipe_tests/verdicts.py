"""What came of judging a test, one check at a time and as a whole."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce
from typing import Any

from inspections.pipe_tests.records import MEDIA, SYSTEMS
from tracker.words import say

Reason = dict[str, Any]

PASS, CONFIRM, FAIL = "pass", "confirm", "fail"
_WORST_FIRST = (FAIL, CONFIRM, PASS)


def because(code: str, **params: object) -> Reason:
    """A reason of `tracker.words_pipe`."""
    return {"code": f"pipe_{code}", **params}


def as_one(reasons: Sequence[Reason]) -> Reason:
    """Whole sentences as one reason, for a refusal that quotes them."""
    return reduce(lambda one, other: because("and", one=one, other=other), reasons)


def named(word: str) -> Reason | str:
    """A system or medium as a reason, so that it is said in the reader's language."""
    return because(word) if word in (*SYSTEMS, *MEDIA) else word


@dataclass(frozen=True, slots=True)
class Check:
    """One thing looked at; `provenance` says which rule it was held against."""

    topic: str
    outcome: str
    reason: Reason
    provenance: str = ""

    @property
    def words(self) -> str:
        return say(self.reason)


@dataclass(frozen=True, slots=True)
class Verdict:
    """The whole test under one book."""

    book: Reason
    checks: tuple[Check, ...]
    cautions: tuple[Reason, ...]

    @property
    def outcome(self) -> str:
        found = {check.outcome for check in self.checks}
        return next(outcome for outcome in _WORST_FIRST if outcome in found)

    @property
    def said(self) -> list[Reason]:
        """The outcome and everything that led to it, for `verdict_words`."""
        opening = because(self.outcome, book=self.book)
        found = [c.reason for c in self.checks if c.outcome == self.outcome]
        return [opening, *found]

    @property
    def sentence(self) -> str:
        return verdict_words(self.said)

    @property
    def caution(self) -> str:
        return " ".join(say(reason) for reason in self.cautions)

    @property
    def provenance(self) -> tuple[str, ...]:
        """Every source used, each once, in the order of the checks."""
        return tuple(
            dict.fromkeys(check.provenance for check in self.checks if check.provenance)
        )


def verdict_words(said: Sequence[Reason], language: str = "en") -> str:
    """One sentence from the reasons of `Verdict.said`."""
    opening, *found = (say(reason, language) for reason in said)
    return f"{opening.rstrip()}: {'; '.join(found)}."
