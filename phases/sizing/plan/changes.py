"""What another book, edition or local amendment changes in the check of one outline."""

from dataclasses import dataclass

from .check import PlanReport
from .finding import Finding


@dataclass(frozen=True, slots=True)
class Move:
    """A check of one pipe that comes out otherwise.

    before and after are verdicts, blank where a book has no such check; the limits
    stand beside them.
    """

    check: str
    where: str
    before: str
    after: str
    limit_before: float | None = None
    limit_after: float | None = None

    @property
    def is_worse(self) -> bool:
        """It fails now and did not: its size no longer counts as checked."""
        return self.after == "fail" != self.before

    @property
    def is_better(self) -> bool:
        """It failed and does not now."""
        return self.before == "fail" != self.after


def moves(before: PlanReport, after: PlanReport) -> tuple[Move, ...]:
    """Checks whose verdict or limit differs between two reports of one outline."""
    old, new = _by_pipe(before), _by_pipe(after)
    found = []
    for key in dict.fromkeys([*old, *new]):
        one, other = old.get(key), new.get(key)
        move = Move(
            *key, one.verdict if one else "", other.verdict if other else "",
            one.limit if one else None, other.limit if other else None,
        )  # fmt: skip
        same = (move.before, move.limit_before) == (move.after, move.limit_after)
        if not same and {move.before, move.after} - {"", "note"}:
            found.append(move)
    return tuple(sorted(found, key=_rank))


def _by_pipe(report: PlanReport) -> dict[tuple[str, str], Finding]:
    """The worst finding of each check and pipe."""
    found: dict[tuple[str, str], Finding] = {}
    for finding in report.findings:
        found.setdefault((finding.check, finding.where), finding)
    return found


def _rank(move: Move) -> tuple[bool, bool, str, str]:
    return (not move.is_worse, not move.is_better, move.check, move.where)
