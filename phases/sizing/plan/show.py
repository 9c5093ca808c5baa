"""Words for the diagram: the load on a pipe, and the worst verdict of each."""

from collections.abc import Callable

from ..loads import drain_load, gas_load, supply_load
from ..outline.model import Node
from ..outline.site import Site
from ..tables import Book
from .check import PlanReport


def load_words(book: Book, site: Site) -> Callable[[str, Node], str]:
    """A function that words the load of a pipe: units of the book, or cfh."""

    def words(system: str, node: Node) -> str:
        leaves = node.leaves()
        if system == "drain":
            return f"{drain_load(book, leaves).units:g} dfu"
        if system == "water":
            hot, cold = node.key.endswith("-hot"), node.key.endswith("-cold")
            side = "hot" if hot else "cold" if cold else "total"
            return f"{supply_load(book, leaves, side=side).units:.3g} wsfu"
        return f"{gas_load(leaves).units / site.heating_value:g} cfh"

    return words


def worst_verdicts(report: PlanReport) -> dict[str, str]:
    """fail or confirm for every pipe whose plain arithmetic does not hold."""
    found: dict[str, str] = {}
    for finding in report.findings:
        if not finding.ok and finding.where not in found:
            found[finding.where] = finding.verdict
    return found
