"""The outline as an SVG diagram: thick lines for large pipes, sizes and loads on them.

Drawn like a street of pipes: the root left, every pipe a level run to its name, its
branches dropping from its end. It needs no colour: systems differ in line, findings in
shape.
"""

from collections.abc import Callable, Mapping
from fractions import Fraction
from html import escape
from textwrap import wrap

from ..nominal import inches, plain
from .diagram_narrow import NarrowDrawing, width_of
from .model import LEAVES, Node, Outline

LEFT, TOP = 28, 78
# Width of a pipe with its words; Spanish words are longer, and so are those of drains.
COLUMNS = {"drain": 206, "water": 172, "gas": 172}
LONGER, PAST = 24, 52
# Drains have a third line of words, for slope and vent.
ROWS = {"drain": 58, "water": 44, "gas": 44}
_LOOK = {
    "drain": ("Drains and vents", "#6b4e2e", ""),
    "water": ("Water", "#1f5f99", ""),
    "gas": ("Gas", "#9a6a00", "9 4"),
}
_GUESS = "Guess: no size here is checked until a named person accepts it."
_SPANISH = {
    "Drains and vents": "Drenajes y ventilaciones",
    "Water": "Agua",
    "Gas": "Gas",
    "Roof": "Techo",
    _GUESS: "Propuesta: ninguna medida está revisada hasta que una persona con nombre "
    "la acepte.",
    "in.": "pulg.",
    "ft": "pies",
    "in./ft": "pulg./pie",
    "vent": "ventilación",
    "fail": "no cumple",
    "confirm": "por confirmar",
    "individual": "propia",
    "common": "común",
    "wet": "húmeda",
    "stack": "de bajante",
    "island": "de isla",
    "none": "ninguna",
}
_MARKS = {"fail": "M-6,-6 L6,6 M-6,6 L6,-6", "confirm": "M0,-7 L7,6 L-7,6 Z"}
_STYLE = (
    "text{font:12px system-ui,sans-serif;fill:#111}.t{font-weight:700;font-size:15px}"
    ".s{fill:#444;font-size:11px}.g{font-weight:700;fill:#7a1f1f}"
)


def diagram(
    outline: Outline, *,
    load_text: Callable[[str, Node], str] | None = None,
    verdicts: Mapping[str, str] | None = None, title: str = "",
    only: str = "", language: str = "en", narrow: bool = False,
) -> str:  # fmt: skip
    """SVG text of an outline.

    load_text(system, node) words the load on a pipe; verdicts maps keys of pipes to
    fail or confirm, which get a cross or a triangle; only draws one system, so that
    each fits a printed page; language is en or es; narrow
    draws downwards, for a phone.
    """
    words = _SPANISH if language.startswith("es") else {}
    parts: list[str] = []
    y = TOP + (16 if narrow else 0)
    widest = 0
    for system, root in outline.systems():
        if only and system != only:
            continue
        heading, colour, dash = _LOOK[system]
        parts.append(
            f'<text class="t" x="{LEFT}" y="{y}">{words.get(heading, heading)}</text>'
        )
        y += 30
        depth = _depth(root)
        more = LONGER if words else 0
        column = COLUMNS[system] + more
        wide = LEFT + depth * column + PAST + 2 * more
        widest = max(widest, width_of(depth) if narrow else wide)
        drawn = _Drawing(
            system, colour, dash, load_text, verdicts or {}, parts, words, column
        )
        layout = NarrowDrawing(drawn) if narrow else drawn
        y = layout.node(root, 0, y) + 34
    if outline.terminals and only in ("", "drain"):
        y = _roof(outline, parts, y, words, apart=narrow)
    banner = words.get(_GUESS, _GUESS) if outline.guess else ""
    least, letters = (0, 44) if narrow else (480, 200)
    lines = wrap(banner, letters)
    return _page(parts, max(widest, least), y, title=title, banner=lines)


def _roof(
    outline: Outline, parts: list[str], y: int, words: Mapping[str, str], *, apart: bool
) -> int:
    """The vents through the roof in one line, or apart; returns the next free row."""
    inch = words.get("in.", "in.")
    ends = [f"{end.key} {end.size} {inch}" for end in outline.terminals]
    listed = ends if apart else [", ".join(ends)]
    for at, text in enumerate(listed):
        head = f"{words.get('Roof', 'Roof')}: " if at == 0 else ""
        parts.append(f'<text x="{LEFT}" y="{y - 10}">{head}{escape(text)}</text>')
        y += 16
    return y


def _depth(node: Node) -> int:
    return 1 + max((_depth(child) for child in node.children), default=0)


def _page(
    parts: list[str], width: int, height: int, *, title: str, banner: list[str]
) -> str:
    shown = "".join(
        f'<text class="g" x="{LEFT}" y="{40 + 15 * at}">{escape(line)}</text>'
        for at, line in enumerate(banner)
    )
    name = escape(title or "Piping outline")
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" '
        f'width="{width}" height="{height}" role="img" aria-label="{name}">'
        f"<style>{_STYLE}</style>"
        f'<rect width="{width}" height="{height}" fill="#fff"/>'
        f'<text class="t" x="{LEFT}" y="22">{name}</text>{shown}'
        + "".join(parts)
        + "</svg>"
    )


class _Drawing:
    """Draws one system row by row; each node returns the next free row."""

    def __init__(
        self, system: str, colour: str, dash: str,
        load_text: Callable[[str, Node], str] | None, verdicts: Mapping[str, str],
        parts: list[str], words: Mapping[str, str], column: int,
    ) -> None:  # fmt: skip
        self.system = system
        self.colour = colour
        self.dash = f' stroke-dasharray="{dash}"' if dash else ""
        self.load_text = load_text
        self.verdicts = verdicts
        self.parts = parts
        self.words = words
        self.column = column

    def node(self, node: Node, depth: int, y: int) -> int:
        """Draw a pipe at a row and everything on it; returns the next free row."""
        x = LEFT + depth * self.column
        end = x + self.column - 14
        width = _width(node)
        self.parts.append(
            f'<path d="M{x},{y} H{end}" stroke="{self.colour}" '
            f'stroke-width="{width:g}" fill="none"{self.dash}/>'
        )
        self._words(node, x, y)
        self.mark(node, end - 10, y - 14)
        if node.role in LEAVES:
            self.end(end, y)
        row = y
        for at, child in enumerate(node.children):
            if at:
                thin = min(_width(child), width)
                self.parts.append(
                    f'<path d="M{end},{y} V{row} H{end + 14}" '
                    f'stroke="{self.colour}" stroke-width="{thin:g}" '
                    f'fill="none"{self.dash}/>'
                )
            else:
                self.parts.append(
                    f'<path d="M{end},{y} H{end + 14}" stroke="{self.colour}" '
                    f'stroke-width="{_width(child):g}" fill="none"{self.dash}/>'
                )
            row = self.node(child, depth + 1, row)
        return max(row, y + ROWS[self.system])

    def width(self, node: Node) -> float:
        """Stroke of a pipe in px."""
        return _width(node)

    def line(self, path: str, width: float) -> None:
        """A stroke of the system's look."""
        self.parts.append(
            f'<path d="{path}" stroke="{self.colour}" stroke-width="{width:g}" '
            f'fill="none"{self.dash}/>'
        )

    def end(self, x: float, y: float) -> None:
        """The circle of a fixture or appliance."""
        self.parts.append(
            f'<circle cx="{x:g}" cy="{y:g}" r="5" fill="#fff" '
            f'stroke="{self.colour}" stroke-width="2"/>'
        )

    def mark(self, node: Node, x: float, y: float) -> None:
        """Cross or triangle of a pipe that does not hold."""
        verdict = self.verdicts.get(node.key, "")
        if verdict in _MARKS:
            self.parts.append(
                f'<path transform="translate({x:g},{y:g})" d="{_MARKS[verdict]}" '
                'stroke="#7a1f1f" stroke-width="2" fill="none">'
                f"<title>{escape(self._word(verdict))}</title></path>"
            )

    def _figures(self, node: Node) -> tuple[str, str]:
        """Size and load; length, slope and vent. Water and gas have one line."""
        inch, feet = self._word("in."), self._word("ft")
        plain_size = not node.size or "EHD" in node.size
        size = node.size if plain_size else f"{node.size} {inch}"
        load = self.load_text(self.system, node) if self.load_text else ""
        slope = f"{_fraction(node.slope)} {self._word('in./ft')}" if node.slope else ""
        length = f"{node.length_ft:g} {feet}" if node.length_ft else ""
        first, second = [size, load], [length, slope, self._vent(node)]
        if self.system != "drain":
            first, second = [size, load, length], []
        above, below = (" · ".join(filter(None, part)) for part in (first, second))
        return above, below

    def _words(self, node: Node, x: int, y: int) -> None:
        above, below = self._figures(node)
        lift = _width(node) / 2
        self._text(x + 2, y - lift - 4, _short(node.key), "")
        self._text(x + 2, y + lift + 12, above, "")
        self._text(x + 2, y + lift + 24, below, "s")

    def words_at(self, node: Node, x: float, y: float) -> None:
        """Name and figures of a pipe in lines below each other."""
        above, below = self._figures(node)
        self._text(x, y + 10, _short(node.key), "")
        self._text(x, y + 24, above, "")
        self._text(x, y + 37, below, "s")

    def _text(self, x: float, y: float, words: str, kind: str) -> None:
        if words:
            name = f' class="{kind}"' if kind else ""
            self.parts.append(f'<text{name} x="{x:g}" y="{y:g}">{escape(words)}</text>')

    def _word(self, english: str) -> str:
        return self.words.get(english, english)

    def _vent(self, node: Node) -> str:
        if node.role != "arm" or not node.vent:
            return ""
        vent = self._word("vent")
        size = f" {node.vent_size} {self._word('in.')}" if node.vent_size else ""
        if node.vent == "individual":
            return f"{vent}{size}"
        return f"{vent} {self._word(node.vent)}{size}"


def _short(key: str) -> str:
    key = key.replace("_", " ")
    return key if len(key) <= 26 else key[:25] + "…"


def _fraction(slope: float) -> str:
    """A slope as the trade says it: 1/4, 1/8; a decimal where it is no such part."""
    part = Fraction(slope).limit_denominator(64)
    return str(part) if float(part) == slope else plain(slope)


def _width(node: Node) -> float:
    """Stroke in px: 2 for half an inch, 9 for four; CSST as its EHD is wide."""
    if not node.size:
        return 2.0
    if node.size.startswith("EHD"):
        return 2.0 + float(node.size.split()[1]) / 16
    return 1.2 + 1.9 * inches(node.size)
