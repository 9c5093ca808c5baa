"""A first guess of the whole outline from rooms and fixtures; always marked so."""

from collections.abc import Iterable

from ..tables import Book
from .guess_drain import drain_tree
from .guess_gas import gas_tree
from .guess_water import water_tree
from .model import Outline
from .site import Placed, Site, together


def guess(placed: Iterable[Placed], *, site: Site, book: Book) -> Outline:
    """Outline of drain, water and gas, sized for the book. It is only a guess.

    Raises Absent where a table ends before the house does.
    """
    listed = together(placed)
    drain, terminals = drain_tree(listed, site=site, book=book)
    return Outline(
        drain=drain,
        water=water_tree(listed, site=site, book=book),
        gas=gas_tree(listed, site=site),
        terminals=terminals,
        guess=True,
    )
