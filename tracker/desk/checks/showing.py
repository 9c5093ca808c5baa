"""A report as rows of a page: numbered cells, margins in words, books side by side."""

import re
from base64 import b64encode
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from phases.plan_check import Piping
from phases.sizing.cases.answer import AID
from phases.sizing.outline.diagram import diagram
from phases.sizing.plan.check import PlanReport
from phases.sizing.plan.finding import VERDICTS, Finding
from phases.sizing.plan.show import load_words, worst_verdicts
from phases.sizing.tables import Cell

SIZE = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')
BADGES = {"fail": "bad", "confirm": "warn", "pass": "good", "note": ""}
ORIGINS = {
    "published": "published",
    "memory": "from memory",
    "computed": "computed or common practice",
    "local": "local amendment",
}


@dataclass(frozen=True)
class Row:
    """One finding as it is shown; cells by their numbers in the list below."""

    finding: Finding
    cells: tuple[int, ...]

    @property
    def badge(self) -> str:
        return BADGES[self.finding.verdict]

    @property
    def looks_wrong(self) -> bool:
        """To be confirmed, and by its plain arithmetic it does not hold."""
        return self.finding.verdict == "confirm" and not self.finding.ok

    @property
    def margin(self) -> str:
        return margin_words(self.finding.margin)

    @property
    def value(self) -> str:
        return figure(self.finding.value)

    @property
    def limit(self) -> str:
        return figure(self.finding.limit)

    @property
    def sources(self) -> tuple[tuple[str, str], ...]:
        """Book, edition and section of each cell, once, with how we know it."""
        pairs = ((c.label, ORIGINS[c.origin]) for c in self.finding.cells)
        return tuple(dict.fromkeys(pairs))


@dataclass(frozen=True)
class Shown:
    """Rows worst first, the cells they name, and the cautions that stand with them."""

    rows: tuple[Row, ...]
    cells: tuple[tuple[int, Cell, str], ...]
    cautions: tuple[str, ...]

    @property
    def groups(self) -> list[tuple[str, bool, list[Row]]]:
        """Title, whether it stands open, rows: worst first, passes folded away."""
        wrong = [row for row in self.rows if not row.finding.ok]
        holds = [row for row in self.rows if row.finding.ok]
        confirm = [row for row in holds if row.finding.verdict == "confirm"]
        passed = [row for row in holds if row.finding.verdict != "confirm"]
        return [
            ("Fails or looks wrong", True, wrong),
            ("Holds, to be confirmed in the adopted book", True, confirm),
            ("Passes, and notes", False, passed),
        ]


def figure(value: float | None) -> str:
    """1,234 · 7.62 · 0.125: never more figures than a person reads."""
    if value is None:
        return ""
    if value == int(value):
        return f"{int(value):,}"
    return (
        f"{value:,.3f}".rstrip("0").rstrip(".") if abs(value) < 100 else f"{value:,.0f}"
    )


def margin_words(margin: float | None) -> str:
    if margin is None:
        return ""
    per_cent = round(100 * margin)
    sign = "+" if per_cent > 0 else "−" if per_cent < 0 else ""
    return f"{sign}{abs(per_cent)} %"


def shown(report: PlanReport) -> Shown:
    """Every finding, worst first, with its cells numbered in order of use."""
    numbers: dict[Cell, int] = {}
    rows = []
    for finding in report.findings:
        for cell in finding.cells:
            numbers.setdefault(cell, len(numbers) + 1)
        rows.append(Row(finding, tuple(numbers[cell] for cell in finding.cells)))
    said = dict.fromkeys(f.caution for f in report.findings if f.caution)
    # What stands in each of them is said once.
    cautions = [text.removesuffix(AID).strip() for text in said if text != AID]
    if said:
        cautions.append(AID)
    cells = tuple((n, cell, ORIGINS[cell.origin]) for cell, n in numbers.items())
    return Shown(tuple(rows), cells, tuple(cautions))


@dataclass(frozen=True)
class Side:
    """One kind of check in one book: worst verdict, how many, least margin."""

    verdict: str = ""
    count: int = 0
    margin: str = ""

    @property
    def badge(self) -> str:
        return BADGES.get(self.verdict, "")


def side_by_side(reports: Sequence[PlanReport]) -> list[tuple[str, list[Side]]]:
    """Each kind of check with its worst result in every book, worst first."""
    checks = dict.fromkeys(f.check for report in reports for f in report.findings)
    listed = [
        (
            check,
            [
                _side(f for f in report.findings if f.check == check)
                for report in reports
            ],
        )
        for check in sorted(checks)
    ]
    return sorted(listed, key=lambda entry: _worst(entry[1]))


def _worst(sides: Iterable[Side]) -> tuple[int, ...]:
    """How soon a kind of check wants a look: failures first, then what is open."""
    return tuple(sorted(VERDICTS.index(side.verdict) for side in sides if side.verdict))


def _side(findings: Iterable[Finding]) -> Side:
    found = list(findings)
    if not found:
        return Side()
    worst = min(found, key=lambda f: VERDICTS.index(f.verdict))
    margins = [f.margin for f in found if f.margin is not None]
    least = margin_words(min(margins)) if margins else ""
    return Side(worst.verdict, len(found), least)


@dataclass(frozen=True)
class Difference:
    """A check of one pipe on which the books disagree."""

    check: str
    where: str
    sides: tuple[tuple[str, str, str], ...]


def differences(reports: Sequence[PlanReport]) -> list[Difference]:
    """Checks whose plain arithmetic holds in one book and not in another."""
    by_book = [{(f.check, f.where): f for f in r.findings} for r in reports]
    keys = dict.fromkeys(key for found in by_book for key in found)
    made = []
    for check, where in keys:
        found = [book.get((check, where)) for book in by_book]
        if len({f.ok for f in found if f}) < 2:
            continue
        sides = tuple(
            (f.verdict, BADGES[f.verdict], _short(f)) if f else ("", "", "")
            for f in found
        )
        made.append(Difference(check, where, sides))
    return made


def _short(finding: Finding) -> str:
    if finding.limit is None:
        return finding.sentence
    return f"{figure(finding.value)} / {figure(finding.limit)} {finding.unit}".strip()


@dataclass(frozen=True)
class Picture:
    """A system's drawing as an address that holds the picture itself.

    narrow is the same drawing downwards, for a phone.
    """

    system: str
    source: str
    narrow: str
    is_wide: bool


def diagrams(
    piping: Piping, report: PlanReport, *, title: str, language: str = "en"
) -> list[Picture]:
    """The drawing of each system that is there."""
    assert piping.outline is not None
    found = []
    for system, _ in piping.outline.systems():
        wide, narrow = (
            diagram(
                piping.outline,
                load_text=load_words(report.book, piping.site),
                verdicts=worst_verdicts(report),
                title=title,
                only=system,
                language=language,
                narrow=is_narrow,
            )
            for is_narrow in (False, True)
        )
        width, height = (float(size) for size in SIZE.findall(wide)[0])
        is_wide = width > 1.25 * height
        found.append(Picture(system, _address(wide), _address(narrow), is_wide))
    return found


def _address(svg: str) -> str:
    return f"data:image/svg+xml;base64,{b64encode(svg.encode()).decode()}"
