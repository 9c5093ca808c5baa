"""The outline as the rows of a table: the same words as the text, a cell each.

Reading goes the way of the text, so that both sides make the same outline; a mistake
is told at its row, `drain, row 3`.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from ..said import say
from .build import OutlineError, Problem, Row, build
from .model import PARENTS, SYSTEMS, Node, Outline, Terminal
from .text import read_words, written

# Columns of each system's table, by the names of the text.
COLUMNS: dict[str, tuple[str, ...]] = {
    "drain": (
        "size", "length", "slope", "floor", "fixture", "room", "vent", "vent_size",
        "vent_length", "vent_rise", "terminal", "turns", "cleanouts", "depth", "stud",
        "material",
    ),
    "water": ("size", "length", "rise", "floor", "fixture", "room", "material"),
    "gas": ("size", "length", "floor", "fixture", "room", "btu_h", "material"),
    "vents": ("size",),
}  # fmt: skip
KINDS_OF: dict[str, tuple[str, ...]] = {
    **{system: tuple(PARENTS[system]) for system in SYSTEMS},
    "vents": ("roof",),
}
MOST_LINES = 700


@dataclass(frozen=True, slots=True)
class Line:
    """A row of the table: system, kind, node, what it hangs on, and its cells.

    number counts the rows of a system from 1; depth is how deep the node hangs.
    """

    system: str
    kind: str
    node: str
    under: str = ""
    cells: Mapping[str, str] = field(default_factory=dict)
    number: int = 0
    depth: int = 0

    @property
    def place(self) -> str:
        """Where a mistake of this row is told."""
        return f"{self.system}, row {self.number}"

    @property
    def is_blank(self) -> bool:
        """Nothing is written in it: such a row is left out."""
        return not (self.node or self.under or any(self.cells.values()))


def lines_of(outline: Outline) -> tuple[Line, ...]:
    """The outline as rows, every pipe right below what it hangs on."""
    found: list[Line] = []
    for system, root in outline.systems():
        found += _numbered(_down(system, root, "", 0))
    ends = (Line("vents", "roof", e.key, "", {"size": e.size}) for e in
            outline.terminals)  # fmt: skip
    return (*found, *_numbered(ends))


def _down(system: str, node: Node, under: str, depth: int) -> Iterator[Line]:
    yield Line(system, node.role, node.key, under, written(node), 0, depth)
    for child in node.children:
        yield from _down(system, child, node.key, depth + 1)


def _numbered(lines: Iterable[Line]) -> list[Line]:
    return [
        Line(line.system, line.kind, line.node, line.under, line.cells, at, line.depth)
        for at, line in enumerate(lines, start=1)
    ]


def read_lines(lines: Iterable[Line], *, guess: bool = False) -> Outline:
    """An outline from rows. Raises OutlineError that names every bad row."""
    rows: list[Row] = []
    terminals: list[Terminal] = []
    problems: list[Problem] = []
    unread: dict[str, str] = {}
    for at, line in enumerate(lines):
        if at >= MOST_LINES:
            message = say("too_many_rows", most=MOST_LINES)
            raise OutlineError([*problems, Problem(line.place, "", message)])
        if line.is_blank:
            continue
        try:
            row = _read(line)
        except ValueError as error:
            problems.append(Problem(line.place, line.node, error.args[0]))
            if line.node:
                unread[line.node] = line.under
            continue
        if line.system == "vents":
            terminals.append(Terminal(row.key, str(row.values.get("size", ""))))
        else:
            rows.append(row)
    try:
        outline = build(rows, terminals=terminals, guess=guess, unread=unread)
    except OutlineError as error:
        raise OutlineError([*problems, *error.problems]) from None
    if problems:
        raise OutlineError(problems)
    return outline


def _read(line: Line) -> Row:
    """One row by the reader of the text; raises ValueError with a sentence."""
    if not line.node:
        raise ValueError(say("name_needed"))
    if len(line.node.split()) > 1 or "=" in line.node or "#" in line.node:
        raise ValueError(say("name_one_word", name=line.node))
    if not line.kind:
        raise ValueError(say("kind_needed", name=line.node))
    words = [line.kind, line.node]
    if line.under:
        words.append(f"under={_one_word(line.under)}")
    words += [
        f"{name}={_one_word(value)}" for name, value in line.cells.items() if value
    ]
    return read_words(words, place=line.place, system=line.system)


def _one_word(value: str) -> str:
    return "_".join(value.split())
