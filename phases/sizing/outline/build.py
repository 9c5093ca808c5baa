"""From a flat table of rows to trees: every mistake is told at its place."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, fields

from ..nominal import inches, is_nominal
from ..said import Said, said, say
from .kinds import KINDS
from .model import LEAVES, PARENTS, POINTS, SYSTEMS, VENTS, Node, Outline, Terminal

MOST_NODES = 600
NUMBERS = (
    "length_ft", "slope", "load_btu_h", "vent_ft", "vent_rise_in", "depth_in",
    "rise_ft",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Row:
    """One line of an outline table: where it stands, its system, parent and values.

    place names it for people, `line 7` or `row 3`.
    """

    place: str
    system: str
    key: str
    role: str
    parent: str = ""
    values: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Problem:
    """A mistake: where, in which pipe, and what to do."""

    place: str
    key: str
    message: str

    def __str__(self) -> str:
        return f"{self.place}: {self.message}"

    def in_language(self, language: str) -> str:
        """Place and message in a language."""
        place = self.place
        if language.startswith("es"):
            for english, spanish in _PLACES:
                place = place.replace(english, spanish)
        return f"{place}: {said(self.message, language)}"


# Words of a place: `line 7`, `drain, row 3`.
_PLACES = (
    ("line ", "línea "), ("row ", "fila "), ("drain,", "drenaje,"), ("water,", "agua,"),
    ("vents,", "ventilaciones,"), ("table", "tabla"), ("text", "texto"),
)  # fmt: skip


class OutlineError(ValueError):
    """An outline that cannot be read. `problems` holds every mistake."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


def build(
    rows: Iterable[Row], *, terminals: Iterable[Terminal] = (), guess: bool = False,
    unread: Mapping[str, str] | None = None,
) -> Outline:  # fmt: skip
    """Trees from rows. Raises OutlineError with every problem found.

    unread are pipes whose row could not be read, with what they hang on: they are
    there, so that nothing else is wrong for want of them.
    """
    unread = unread or {}
    listed = list(rows)
    problems: list[Problem] = []
    if len(listed) > MOST_NODES:
        where = listed[MOST_NODES].place
        raise OutlineError([Problem(where, "", say("too_many_pipes", most=MOST_NODES))])
    by_key: dict[str, Row] = {}
    for row in listed:
        if row.key in by_key:
            problems.append(
                Problem(
                    row.place, row.key,
                    say("twice", key=row.key, place=by_key[row.key].place),
                )
            )  # fmt: skip
        else:
            by_key[row.key] = row
    for row in by_key.values():
        problems += _of_row(row, by_key, unread)
    problems += _loops(by_key)
    if problems:
        raise OutlineError(problems)
    return _trees(by_key, terminals=tuple(terminals), guess=guess)


def _of_row(
    row: Row, by_key: Mapping[str, Row], unread: Mapping[str, str]
) -> list[Problem]:
    """Problems of one row: role, parent, numbers, size, fixture."""

    def wrong(code: str, **figures: object) -> Problem:
        return Problem(row.place, row.key, say(code, **figures))

    roles = PARENTS.get(row.system)
    if roles is None:
        return [wrong("system", system=row.system, known=", ".join(SYSTEMS))]
    if row.role not in roles:
        known = ", ".join(roles)
        return [wrong("role", role=row.role, system=row.system, known=known)]
    found: list[Problem] = []
    parent = by_key.get(row.parent)
    if parent is None and row.parent in unread:
        pass
    elif row.parent and parent is None:
        found.append(wrong("parent_missing", key=row.key, parent=row.parent))
    elif parent and parent.system != row.system:
        found.append(wrong("parent_other", key=row.key))
    elif (parent.role if parent else "") not in roles[row.role]:
        under = tuple(say(f"role_{name or 'top'}") for name in roles[row.role])
        found.append(wrong("parent_wrong", a_role=say(f"role_{row.role}"), under=under))
    found += [Problem(row.place, row.key, message) for message in _values(row)]
    is_parent = row.key in unread.values() or any(
        other.parent == row.key for other in by_key.values()
    )
    if row.role in LEAVES and is_parent:
        found.append(wrong("leaf", key=row.key, a_role=say(f"role_{row.role}")))
    if row.role not in LEAVES and not is_parent:
        found.append(wrong("serves_nothing", key=row.key))
    return found


def _values(row: Row) -> list[Said]:
    """Messages for values that cannot be."""
    found: list[Said] = []
    key = row.key
    values = row.values
    for name in NUMBERS:
        value = values.get(name)
        if value is None:
            continue
        if isinstance(value, bool) or not isinstance(value, int | float):
            found.append(say("number", name=name, key=key))
        elif not math.isfinite(value) or abs(value) > 1e7:
            found.append(say("no_length", name=name, key=key, value=value))
        elif name != "rise_ft" and value < 0:
            found.append(say("negative", name=name, key=key))
        elif name == "slope" and value == 0:
            found.append(say("level", key=key))
    length = values.get("length_ft", 0.0)
    if row.role not in POINTS and not length:
        found.append(say("zero_length", key=key))
    for name in ("size", "vent_size"):
        if why := _why_not_size(values.get(name)):
            found.append(say("bad_size", name=name, key=key, why=why))
    if values.get("vent", "") not in VENTS:
        known = ", ".join(word for word in VENTS if word)
        found.append(say("vent_choice", key=key, known=known))
    fixture = values.get("fixture", "")
    if row.role in LEAVES and not fixture:
        found.append(say("no_fixture_here", key=key))
    if fixture and fixture not in KINDS:
        found.append(say("fixture_unknown", fixture=fixture, key=key))
    return found


def _why_not_size(value: object) -> Said | None:
    if value in (None, ""):
        return None
    text = str(value)
    if text.startswith("EHD "):
        return None if text[4:].isdigit() else say("no_ehd", text=text)
    try:
        known = is_nominal(inches(text))
    except ValueError:
        return say("no_such_size", text=text)
    return None if known else say("no_nominal", text=text)


def _loops(by_key: Mapping[str, Row]) -> list[Problem]:
    """Pipes that come back to themselves; each loop is told once."""
    found: list[Problem] = []
    safe: set[str] = set()
    for start in by_key:
        way: list[str] = []
        key = start
        while key and key in by_key and key not in safe and key not in way:
            way.append(key)
            key = by_key[key].parent
        if key in way:
            loop = [*way[way.index(key) :], key]
            row = by_key[key]
            found.append(Problem(row.place, key, say("loop", way=" under ".join(loop))))
        safe.update(way)
    return found


def _trees(
    by_key: Mapping[str, Row], *, terminals: tuple[Terminal, ...], guess: bool
) -> Outline:
    below: dict[str, list[Row]] = {}
    for row in by_key.values():
        below.setdefault(row.parent, []).append(row)

    def grow(row: Row) -> Node:
        children = tuple(grow(child) for child in below.get(row.key, ()))
        return Node(row.key, row.role, children=children, **row.values)  # type: ignore[arg-type]

    roots: dict[str, Node] = {}
    for row in below.get("", ()):
        if row.system in roots:
            raise OutlineError(
                [Problem(row.place, row.key, say("second_start", system=row.system))]
            )
        roots[row.system] = grow(row)
    return Outline(**roots, terminals=terminals, guess=guess)  # type: ignore[arg-type]


def rows_of(outline: Outline) -> tuple[Row, ...]:
    """The outline as a flat table, for editing; `build` makes it an outline again."""
    found: list[Row] = []
    plain = [f.name for f in fields(Node) if f.name not in ("key", "role", "children")]

    def down(node: Node, system: str, parent: str) -> None:
        values = {name: getattr(node, name) for name in plain}
        place = f"row {len(found) + 1}"
        found.append(Row(place, system, node.key, node.role, parent, values))
        for child in node.children:
            down(child, system, node.key)

    for system, root in outline.systems():
        down(root, system, "")
    return tuple(found)
