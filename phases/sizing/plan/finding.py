"""What a plan check says of one pipe: value, limit, margin, cells, verdict, fixes."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from ..said import say
from ..tables import Absent, Cell

VERDICTS = ("fail", "confirm", "pass", "note")


@dataclass(frozen=True, slots=True)
class Finding:
    """One check of one pipe or of the house.

    margin  share of the limit that is left, negative where it is passed
    ok      the plain arithmetic
    note    nothing to pass or fail; a figure to know
    """

    check: str
    where: str
    sentence: str
    ok: bool
    cells: tuple[Cell, ...]
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    margin: float | None = None
    caution: str = ""
    fixes: tuple[str, ...] = ()
    note: bool = False

    @property
    def verdict(self) -> str:
        """pass, fail, confirm (a deciding cell is from memory) or note.

        A figure from memory never alone fails a house, nor passes one.
        """
        if self.note:
            return "note"
        if any(cell.origin == "memory" for cell in self.cells):
            return "confirm"
        return "pass" if self.ok else "fail"

    @property
    def source(self) -> str:
        """Books, editions and sections of the cells."""
        return "; ".join(dict.fromkeys(cell.label for cell in self.cells))


def at_most(
    check: str, where: str, value: float, limit: float, unit: str, *,
    cells: Iterable[Cell], sentence: str, caution: str = "",
    fixes: Iterable[str] = (),
) -> Finding:  # fmt: skip
    """A value that may not pass a limit."""
    ok = value <= limit + 1e-9
    margin = (limit - value) / limit if limit else (0.0 if ok else -1.0)
    return Finding(
        check, where, sentence, ok, tuple(dict.fromkeys(cells)), value, limit, unit,
        margin, caution, () if ok else tuple(fixes),
    )  # fmt: skip


def at_least(
    check: str, where: str, value: float, limit: float, unit: str, *,
    cells: Iterable[Cell], sentence: str, caution: str = "",
    fixes: Iterable[str] = (),
) -> Finding:  # fmt: skip
    """A value that must reach a limit."""
    ok = value >= limit - 1e-9
    margin = (value - limit) / limit if limit else (0.0 if ok else -1.0)
    return Finding(
        check, where, sentence, ok, tuple(dict.fromkeys(cells)), value, limit, unit,
        margin, caution, () if ok else tuple(fixes),
    )  # fmt: skip


def note(
    check: str, where: str, sentence: str, *,
    cells: Iterable[Cell] = (), value: float | None = None, unit: str = "",
    caution: str = "",
) -> Finding:  # fmt: skip
    """A figure to know that no book limits."""
    return Finding(
        check, where, sentence, True, tuple(cells), value, None, unit, None, caution,
        note=True,
    )  # fmt: skip


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Failures first, then what must be confirmed and looks wrong, by margin."""

    def rank(finding: Finding) -> tuple[int, int, float]:
        margin = 9.0 if finding.margin is None else finding.margin
        return (VERDICTS.index(finding.verdict), int(finding.ok), margin)

    return tuple(sorted(findings, key=rank))


def held(check: str, where: str, findings: Iterator[Finding]) -> Iterator[Finding]:
    """The findings of a pipe; a cell the tables lack ends them with one that says so.

    The reference not holding a size fails nothing and passes nothing.
    """
    try:
        yield from findings
    except Absent as error:
        cell = Cell(
            "absent", "reference", "", "not held", check, "", "", "memory: not held"
        )
        yield Finding(
            check, where, say("held", where=where, why=error.args[0]), False, (cell,),
            margin=-1.0, fixes=(say("look_up"),),
        )  # fmt: skip
