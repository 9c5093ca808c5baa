"""The diagram for a narrow screen: a row a pipe, each hanging on the one it serves."""

from typing import Protocol

from .model import LEAVES, Node

LEFT, STEP, PIPE, WORDS = 14, 20, 34, 232
ROW = 52


def width_of(depth: int) -> int:
    """Width in px of a tree so many pipes deep."""
    return LEFT + (depth - 1) * STEP + PIPE + WORDS


class Draws(Protocol):
    """What a drawing lends: strokes, ends, marks and words in its look."""

    def width(self, node: Node) -> float: ...
    def line(self, path: str, width: float) -> None: ...
    def end(self, x: float, y: float) -> None: ...
    def mark(self, node: Node, x: float, y: float) -> None: ...
    def words_at(self, node: Node, x: float, y: float) -> None: ...


class NarrowDrawing:
    """Draws one system downwards. `draw` is the drawing that knows look and words."""

    def __init__(self, draw: Draws) -> None:
        self.draw = draw

    def node(self, node: Node, depth: int, y: int, hang: int | None = None) -> int:
        """Draw a pipe and all that hangs on it; returns the next free row.

        hang is the x of the line that this pipe leaves from.
        """
        x = LEFT + depth * STEP
        width = self.draw.width(node)
        self.draw.line(f"M{x if hang is None else hang},{y} H{x + PIPE}", width)
        self.draw.words_at(node, x + PIPE + 8, y - 14)
        self.draw.mark(node, x + 8, y - 12)
        if node.role in LEAVES:
            self.draw.end(x + PIPE, y)
        row = y + ROW
        foot = y
        for child in node.children:
            foot, row = row, self.node(child, depth + 1, row, x + 8)
        if node.children:
            thick = min(width, max(self.draw.width(c) for c in node.children))
            self.draw.line(f"M{x + 8},{y} V{foot}", thick)
        return row
