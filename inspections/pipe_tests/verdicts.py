"""What came of judging a test, one check at a time and as a whole."""

from dataclasses import dataclass

PASS, CONFIRM, FAIL = "pass", "confirm", "fail"
_WORST_FIRST = (FAIL, CONFIRM, PASS)


@dataclass(frozen=True, slots=True)
class Check:
    """One thing looked at; `provenance` says which rule it was held against."""

    topic: str
    outcome: str
    words: str
    provenance: str = ""


@dataclass(frozen=True, slots=True)
class Verdict:
    """The whole test under one book."""

    book: str
    checks: tuple[Check, ...]
    caution: str

    @property
    def outcome(self) -> str:
        found = {check.outcome for check in self.checks}
        return next(outcome for outcome in _WORST_FIRST if outcome in found)

    @property
    def sentence(self) -> str:
        """One sentence: the outcome and everything that led to it."""
        said = [check.words for check in self.checks if check.outcome == self.outcome]
        opening = {
            PASS: "Meets",
            CONFIRM: "To be confirmed under",
            FAIL: "Does not meet",
        }[self.outcome]
        return f"{opening} {self.book}: {'; '.join(said)}."

    @property
    def provenance(self) -> tuple[str, ...]:
        """Every source used, each once, in the order of the checks."""
        return tuple(
            dict.fromkeys(check.provenance for check in self.checks if check.provenance)
        )
