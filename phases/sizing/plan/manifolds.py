"""Manifolds: their flow, and the runs of their own to each fixture."""

from collections.abc import Iterator

from .. import water
from ..cases.answer import PRESSURE
from ..loads import supply_load
from ..nominal import inches
from ..outline.model import Node
from ..said import say
from ..tables import Book
from .finding import Finding, at_least, at_most


def manifolds(root: Node, book: Book) -> Iterator[Finding]:
    """A manifold of parallel runs against its gpm at 8 ft/s (604.10.1, P2903.8.1)."""
    for node in root.walk():
        if node.role != "manifold":
            continue
        ends = {leaf.key.rpartition("-")[2] for leaf in node.leaves()}
        side = ends.pop() if ends in ({"hot"}, {"cold"}) else "total"
        load = supply_load(book, node.leaves(), side=side)
        gpm, cells = water.demand_gpm(book.code, load.units)
        code = "IPC" if book.code == "UPC" else book.code
        cell = water.rule(
            f"parallel manifold, {node.size} in.", "max gpm at 8 ft/s", code
        )
        yield at_most(
            "manifold", node.key, gpm, cell.number, "gpm", cells=[cell, *cells],
            sentence=say("manifold", key=node.key, size=node.size, gpm=gpm,
                         most=cell.number),
            caution=PRESSURE, fixes=[say("manifold_fix")],
        )  # fmt: skip


def manifold_runs(root: Node, book: Book) -> Iterator[Finding]:
    """A run of its own from a manifold may be 3/8 in. (IRC P2903.8.2, from memory)."""
    for node in root.walk():
        if node.role != "manifold" or book.code == "UPC":
            continue
        cell = water.rule("parallel (home-run) individual line", "min size", "IRC")
        for run in node.children:
            if run.role != "run" or not run.size:
                continue
            yield at_least(
                "manifold run", run.key, inches(run.size), inches(cell.value), "in.",
                cells=[cell],
                sentence=say("manifold_run", key=run.key, size=run.size,
                             least=cell.value),
                fixes=[say("make_it", key=run.key, size=cell.value)],
            )  # fmt: skip


def home_runs(root: Node) -> frozenset[str]:
    """Runs that come straight from a manifold: their own least size holds."""
    return frozenset(
        run.key
        for node in root.walk()
        if node.role == "manifold"
        for run in node.children
        if run.role == "run"
    )
