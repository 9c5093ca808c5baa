"""The outline as indented text, for people: read it, print it.

    drain
      sewer sewer size=4 length=40 slope=1/4
        building_drain main size=4 length=30 slope=1/4 cleanouts=1
          branch bath size=3 length=8 slope=1/4
            arm bath-closet fixture=closet size=3 length=4 slope=1/4
    vents
      roof main size=3

A line is `role key name=value ...`; two spaces deeper means it hangs on the line above.
`under=key` says the parent where indentation cannot.
"""

from fractions import Fraction

from ..said import say
from .build import OutlineError, Problem, Row, build
from .model import SYSTEMS, Node, Outline, Terminal

# Names in the text, the node's field, and how it is read.
FIELDS: dict[str, tuple[str, str]] = {
    "size": ("size", "text"),
    "length": ("length_ft", "number"),
    "slope": ("slope", "number"),
    "material": ("material", "text"),
    "floor": ("floor", "whole"),
    "fixture": ("fixture", "text"),
    "room": ("room", "text"),
    "btu_h": ("load_btu_h", "number"),
    "vent": ("vent", "text"),
    "vent_size": ("vent_size", "text"),
    "vent_length": ("vent_ft", "number"),
    "vent_rise": ("vent_rise_in", "number"),
    "terminal": ("terminal", "text"),
    "turns": ("turns", "list"),
    "cleanouts": ("cleanouts", "whole"),
    "depth": ("depth_in", "number"),
    "rise": ("rise_ft", "number"),
    "stud": ("stud", "text"),
}
_UNITS = {
    "length": "ft", "vent_length": "ft", "rise": "ft", "depth": "in",
    "vent_rise": "in",
}  # fmt: skip


def parse(text: str, *, guess: bool = False) -> Outline:
    """An outline from text. Raises OutlineError that names every bad line."""
    rows: list[Row] = []
    terminals: list[Terminal] = []
    problems: list[Problem] = []
    system = ""
    above: list[tuple[int, str]] = []
    unread: dict[str, str] = {}
    for number, raw in enumerate(text.splitlines(), start=1):
        line = raw.split("#", 1)[0].rstrip().replace("\t", "  ")
        if not line.strip():
            continue
        place = f"line {number}"
        indent = len(line) - len(line.lstrip())
        words = line.split()
        if indent == 0:
            system, above = words[0], []
            if system not in (*SYSTEMS, "vents") or len(words) > 1:
                known = ", ".join((*SYSTEMS, "vents"))
                problems.append(Problem(place, "", say("start_system", known=known)))
            continue
        try:
            row = read_words(words, place=place, system=system)
        except ValueError as error:
            problems.append(Problem(place, words[0], error.args[0]))
            _hang_unread(words, indent, above, unread)
            continue
        if system == "vents":
            terminals.append(Terminal(row.key, str(row.values.get("size", ""))))
            continue
        while above and above[-1][0] >= indent:
            above.pop()
        parent = row.parent or (above[-1][1] if above else "")
        above.append((indent, row.key))
        rows.append(Row(place, row.system, row.key, row.role, parent, row.values))
    try:
        outline = build(rows, terminals=terminals, guess=guess, unread=unread)
    except OutlineError as error:
        raise OutlineError([*problems, *error.problems]) from None
    if problems:
        raise OutlineError(problems)
    return outline


def _hang_unread(
    words: list[str], indent: int, above: list[tuple[int, str]], unread: dict[str, str]
) -> None:
    """Keep the place of a line that cannot be read for the lines that hang on it."""
    key = words[1] if len(words) > 1 and "=" not in words[1] else ""
    while above and above[-1][0] >= indent:
        above.pop()
    if key:
        unread[key] = above[-1][1] if above else ""
    above.append((indent, key))


def read_words(words: list[str], *, place: str, system: str) -> Row:
    """One line's role, key and values; raises ValueError with a sentence."""
    if len(words) < 2 or "=" in words[1]:
        raise ValueError(say("write_role"))
    values: dict[str, object] = {}
    parent = ""
    for word in words[2:]:
        name, equals, value = word.partition("=")
        if not equals or not value:
            raise ValueError(say("write_value", word=word))
        if name == "under":
            parent = value
            continue
        if name not in FIELDS:
            raise ValueError(say("name_unknown", name=name, known=", ".join(FIELDS)))
        field, how = FIELDS[name]
        values[field] = _read(value, how, name)
    return Row(place, system, words[1], words[0], parent, values)


def _read(value: str, how: str, name: str) -> object:
    if how == "text":
        return value.replace("_", " ") if name in ("material", "size") else value
    if how == "list":
        return tuple(int(part) for part in _numbers(value.split(","), name))
    number = _numbers([value.removesuffix(_UNITS.get(name, "ft"))], name)[0]
    if how == "whole":
        if number != int(number):
            raise ValueError(say("whole_number", name=name, value=value))
        return int(number)
    return float(number)


def _numbers(parts: list[str], name: str) -> list[Fraction]:
    try:
        return [Fraction(part) for part in parts]
    except (ValueError, ZeroDivisionError):
        raise ValueError(say("no_number", name=name, value=",".join(parts))) from None


def show(outline: Outline) -> str:
    """The outline as text that `parse` reads back to the same outline."""
    lines: list[str] = []
    for system, root in outline.systems():
        lines.append(system)
        _show_node(root, 1, lines)
    if outline.terminals:
        lines.append("vents")
        lines += [f"  roof {end.key} size={end.size}" for end in outline.terminals]
    return "\n".join(lines) + "\n"


def written(node: Node) -> dict[str, str]:
    """Every value of a node that is not the usual one, as it is written."""
    empty = Node("", "")
    found = {}
    for name, (field, how) in FIELDS.items():
        value = getattr(node, field)
        if value != getattr(empty, field) and value is not None:
            found[name] = _word(value, how, name)
    return found


def _show_node(node: Node, depth: int, lines: list[str]) -> None:
    parts = [node.role, node.key]
    parts += [f"{name}={word}" for name, word in written(node).items()]
    lines.append("  " * depth + " ".join(parts))
    for child in node.children:
        _show_node(child, depth + 1, lines)


def _word(value: object, how: str, name: str) -> str:
    """A value as it is written behind `name=`."""
    if how == "list":
        assert isinstance(value, tuple)
        return ",".join(str(part) for part in value)
    if how == "number":
        assert isinstance(value, int | float)
        fraction = Fraction(value).limit_denominator(64)
        if name == "slope" and float(fraction) == value:
            return str(fraction)
        return repr(int(value) if value == int(value) else value)
    return str(value).replace(" ", "_")
