"""The table side of the outline form: rows as one field of JSON, and as a page."""

import json
from collections.abc import Iterable
from dataclasses import dataclass

from phases.sizing.outline import Outline, OutlineError, Problem, parse
from phases.sizing.outline.kinds import KINDS
from phases.sizing.outline.model import VENTS
from phases.sizing.outline.sheet import COLUMNS, KINDS_OF, MOST_LINES, Line, lines_of
from phases.sizing.said import say
from phases.sizing.shields import DEPTHS

HEADINGS = {
    "size": "Size",
    "length": "Length, ft",
    "slope": "Slope, in./ft",
    "rise": "Rise, ft",
    "floor": "Floor",
    "fixture": "Fixture",
    "room": "Room",
    "vent": "Vent",
    "vent_size": "Vent size",
    "vent_length": "Vent length, ft",
    "vent_rise": "Vent rises, in.",
    "terminal": "Roof end",
    "turns": "Turns, degrees",
    "cleanouts": "Cleanouts",
    "depth": "Depth, in.",
    "stud": "Wall",
    "material": "Material",
    "btu_h": "Btu/h",
}
CHOICES = {
    "vent": tuple(word for word in VENTS if word),
    "fixture": tuple(KINDS),
    "stud": tuple(name for name in DEPTHS if len(name) == 3),
}
TITLES = {
    "drain": "Drains and vents",
    "water": "Water",
    "gas": "Gas",
    "vents": "Vents through the roof",
}
# Kinds of pipe and point, as people say them.
PIPE_KINDS = {
    "sewer": "sewer",
    "building_drain": "building drain",
    "stack": "stack",
    "branch": "branch",
    "arm": "trap arm",
    "meter": "meter",
    "service": "service",
    "main": "main",
    "heater": "heater",
    "manifold": "manifold",
    "run": "run to a fixture",
    "section": "section",
    "regulator": "regulator",
    "outlet": "outlet",
    "roof": "through the roof",
}
MOST_LETTERS = 120


@dataclass(frozen=True)
class Cell:
    """One field of a row: column, value, and the words it may hold."""

    name: str
    value: str
    choices: tuple[str, ...] = ()

    @property
    def heading(self) -> str:
        return HEADINGS[self.name]


@dataclass(frozen=True)
class TableRow:
    """A row as the page shows it, with what is wrong in it."""

    line: Line
    cells: tuple[Cell, ...]
    told: tuple[str, ...] = ()


@dataclass(frozen=True)
class Table:
    """A system's rows under its headings, with a blank row to copy."""

    system: str
    kinds: tuple[str, ...]
    headings: tuple[str, ...]
    rows: tuple[TableRow, ...]
    blank: TableRow

    @property
    def title(self) -> str:
        return TITLES[self.system]


def tables(lines: Iterable[Line], problems: Iterable[Problem] = ()) -> list[Table]:
    """Every system's table, the empty ones too, so that they can be begun."""
    told: dict[str, list[str]] = {}
    for problem in problems:
        told.setdefault(problem.place, []).append(problem.message)
    listed = list(lines)
    return [
        Table(
            system,
            KINDS_OF[system],
            tuple(HEADINGS[name] for name in columns),
            tuple(_row(w, told.get(w.place, ())) for w in listed if w.system == system),
            _row(Line(system, "", ""), ()),
        )
        for system, columns in COLUMNS.items()
    ]


def _row(line: Line, told: Iterable[str]) -> TableRow:
    cells = tuple(
        Cell(name, line.cells.get(name, ""), CHOICES.get(name, ()))
        for name in COLUMNS[line.system]
    )
    return TableRow(line, cells, tuple(told))


def lines_in(text: str) -> tuple[Line, ...]:
    """The rows of a text that can be read; none of one that cannot."""
    try:
        return lines_of(parse(text))
    except OutlineError:
        return ()


def read_json(text: str) -> tuple[Line, ...]:
    """Rows from the page. Raises OutlineError where they are no rows of ours."""
    wrong = OutlineError([Problem("table", "", say("rows_not_whole"))])
    try:
        listed = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise wrong from error
    if not isinstance(listed, list) or len(listed) > MOST_LINES:
        raise wrong
    found: list[Line] = []
    counts: dict[str, int] = {}
    for entry in listed:
        if not isinstance(entry, dict) or entry.get("system") not in COLUMNS:
            raise wrong
        system = str(entry["system"])
        counts[system] = counts.get(system, 0) + 1
        words = [_word(entry.get(name)) for name in ("kind", "node", "under")]
        cells = {name: _word(entry.get(name)) for name in COLUMNS[system]}
        found.append(Line(system, *words, cells, counts[system], 0))
    return tuple(found)


def _word(value: object) -> str:
    return value.strip()[:MOST_LETTERS] if isinstance(value, str) else ""


def as_json(lines: Iterable[Line]) -> str:
    """Rows as the page sends them back."""
    return json.dumps(
        [
            {
                "system": line.system,
                "kind": line.kind,
                "node": line.node,
                "under": line.under,
                **line.cells,
            }
            for line in lines
        ]
    )


def outline_lines(outline: Outline | None) -> tuple[Line, ...]:
    return lines_of(outline) if outline is not None else ()
