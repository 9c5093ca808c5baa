"""All checks of a plan in one code book, several books side by side, two options."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from ..outline.model import Node, Outline
from ..outline.site import Site
from ..tables import Book
from .drains import drain_findings
from .extras import Extras
from .finding import Finding, worst_first
from .gases import gas_findings
from .house import condensate_findings, framing_findings, heater_findings
from .rooms import room_findings, support_findings
from .vent_checks import vent_findings
from .waters import water_findings


@dataclass(frozen=True, slots=True)
class PlanReport:
    """The findings of one outline in one book, worst first."""

    book: Book
    outline: Outline
    findings: tuple[Finding, ...]

    @property
    def verdict(self) -> str:
        """fail where one fails, else confirm where one must be confirmed, else pass."""
        verdicts = {finding.verdict for finding in self.findings}
        for word in ("fail", "confirm"):
            if word in verdicts:
                return word
        return "pass"

    @property
    def counts(self) -> Counter[str]:
        """How many findings of each verdict."""
        return Counter(finding.verdict for finding in self.findings)

    @property
    def checked(self) -> bool:
        """Whether sizes may go to phone, sheet and material list as checked."""
        return not self.outline.guess and bool(self.outline.accepted_by)

    def of(self, key: str) -> tuple[Finding, ...]:
        """The findings of one pipe."""
        return tuple(finding for finding in self.findings if finding.where == key)


def check_plan(
    outline: Outline, *, book: Book, site: Site, extras: Extras | None = None
) -> PlanReport:
    """Every check of an outline in a book and edition, with local amendments."""
    extras = extras or Extras()
    found: list[Finding] = []
    if outline.drain is not None:
        found += drain_findings(outline.drain, book=book)
        found += vent_findings(outline, book=book, frost=site.frost)
    if outline.water is not None:
        found += water_findings(outline.water, book=book, site=site)
    if outline.gas is not None:
        found += gas_findings(outline.gas, site=site)
    found += heater_findings(outline, book=book, extras=extras)
    for line in extras.condensate:
        found += condensate_findings(line, book=book)
    found += framing_findings(outline, book=book, extras=extras)
    found += room_findings(outline, book=book, extras=extras)
    found += support_findings(outline, book=book, site=site)
    return PlanReport(book, outline, worst_first(found))


def compare_books(
    outline: Outline, books: Iterable[Book], *, site: Site, extras: Extras | None = None
) -> tuple[PlanReport, ...]:
    """The same outline in several books, side by side."""
    return tuple(
        check_plan(outline, book=book, site=site, extras=extras) for book in books
    )


@dataclass(frozen=True, slots=True)
class SizeChange:
    """A pipe that two outlines have differently; blank where one has it not."""

    key: str
    before: str
    after: str


def compare_outlines(before: Outline, after: Outline) -> tuple[SizeChange, ...]:
    """Pipes that come, go or change size between two options of a plan."""

    def sizes(outline: Outline) -> dict[str, str]:
        nodes: list[Node] = [
            node for _, root in outline.systems() for node in root.walk()
        ]
        return {node.key: node.size or node.role for node in nodes}

    old, new = sizes(before), sizes(after)
    return tuple(
        SizeChange(key, old.get(key, ""), new.get(key, ""))
        for key in dict.fromkeys([*old, *new])
        if old.get(key) != new.get(key)
    )
