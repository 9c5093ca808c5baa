"""Piping outlines: model, text, table rows, first guess, diagram."""

from .build import OutlineError, Problem, Row, build, rows_of
from .model import Node, Outline, Terminal, changed, paths
from .text import parse, show

__all__ = [
    "Node", "Outline", "OutlineError", "Problem", "Row", "Terminal", "build", "changed",
    "parse", "paths", "rows_of", "show",
]  # fmt: skip
