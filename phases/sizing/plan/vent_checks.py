"""Vent checks over an outline: size, length, wet vents, ends above the roof."""

from collections import Counter
from collections.abc import Iterator

from .. import fixtures, vents
from ..cases.answer import SEWER_GAS
from ..loads import drain_key, drain_load
from ..nominal import inches, plain
from ..outline.model import Node, Outline
from ..tables import Absent, Book, Cell
from .finding import Finding, at_least, at_most, note

_VENTED = Cell(
    "rule/trap_vented", "IPC/IRC/UPC", "", "901.2.1 / P3101.2.1 / 901.2",
    "every trap has a vent", "1", "vent", "memory",
)  # fmt: skip


def vent_findings(outline: Outline, *, book: Book, frost: bool) -> Iterator[Finding]:
    """Every vent check of the drains and of the vents through the roof."""
    if outline.drain is None:
        return
    parents = {
        child.key: node for node in outline.drain.walk() for child in node.children
    }
    for arm in outline.drain.leaves():
        if arm.vent == "none" or not arm.vent:
            yield Finding(
                "vented trap", arm.key, f"The trap of {arm.key} has no vent.", False,
                (_VENTED,), 0, 1, "vents", -1.0, SEWER_GAS,
                ("Give it a vent of its own, or wet vent it where the book allows.",),
            )  # fmt: skip
        elif arm.vent == "wet":
            yield from _wet(arm, parents[arm.key], book)
        else:
            yield from _dry(arm, book)
    yield from _ends(outline, outline.drain, book=book, frost=frost)


def _dry(arm: Node, book: Book) -> Iterator[Finding]:
    key = drain_key(arm.fixture)
    closet = bool(fixtures.closets_in(key))
    drain = fixtures.fixture_drain_in(book, key)
    load = drain_load(book, [arm])
    size = inches(arm.vent_size) if arm.vent_size else 0.0
    try:
        least, cells = vents.least_vent(
            book, drain, closet=closet, developed_length_ft=arm.vent_ft,
            units=load.units,
        )  # fmt: skip
    except Absent as error:
        yield Finding(
            "vent size", arm.key, str(error), False, (), arm.vent_ft, 0, "ft", -1.0,
            SEWER_GAS, ("Shorten the vent.",),
        )  # fmt: skip
        return
    yield at_least(
        "vent size", arm.key, size, least, "in.", cells=cells,
        sentence=f"The {arm.vent_ft:g} ft vent of {arm.key} is {plain(size)} in.; "
        f"{plain(least)} in. is the least.",
        caution=SEWER_GAS, fixes=[f"Make the vent {plain(least)} in. all the way."],
    )  # fmt: skip
    if book.code == "UPC" and size in vents.UPC_TABLE_SIZES:
        _, longest = vents.upc_row(book, size)
        yield at_most(
            "vent length", arm.key, arm.vent_ft, longest.number, "ft", cells=[longest],
            sentence=f"The {plain(size)} in. vent of {arm.key} is {arm.vent_ft:g} ft; "
            f"{longest.number:g} ft is the most, a third of it horizontal.",
            caution=SEWER_GAS, fixes=["Use the next larger vent all the way."],
        )  # fmt: skip


def _wet(arm: Node, parent: Node, book: Book) -> Iterator[Finding]:
    """The pipe that drains others and vents this arm."""
    others = [leaf for leaf in parent.leaves() if leaf.key != arm.key]
    load = drain_load(book, others)
    size = inches(parent.size) if parent.size else 0.0
    cell = vents.wet_vent_limit(book, size)
    most = vents.wet_vent_units(book, size)
    words = f"{parent.key}, {plain(size)} in., vents {arm.key} wet and drains "
    if cell is None or most is None:
        yield Finding(
            "wet vent", arm.key,
            f"{words}{load.units:g} units; {book.code} allows no such wet vent.",
            False, (_VENTED,), load.units, 0, "dfu", -1.0, SEWER_GAS,
            ("Give the arm a dry vent.",),
        )  # fmt: skip
        return
    if not arm.room or any(leaf.room != arm.room for leaf in others):
        yield note(
            "wet vent", arm.key,
            "A wet vent serves bathroom fixtures of one floor and group only.",
            cells=[cell], caution=SEWER_GAS,
        )  # fmt: skip
    yield at_most(
        "wet vent", arm.key, load.units, min(most, 1e6), "dfu",
        cells=[cell, *load.cells],
        sentence=f"{words}{load.units:g} units of other fixtures.",
        caution=SEWER_GAS,
        fixes=[f"Make {parent.key} larger or give {arm.key} a dry vent."],
    )  # fmt: skip


def _ends(
    outline: Outline, root: Node, *, book: Book, frost: bool
) -> Iterator[Finding]:
    sizes = [inches(end.size) for end in outline.terminals]
    main = next((n for n in root.walk() if n.role == "building_drain"), root)
    required = inches(main.size) if main.size else 3.0
    own, cells = vents.least_vent(book, required)
    yield at_least(
        "vent to outdoors", main.key, max(sizes, default=0.0), own, "in.", cells=cells,
        sentence=f"The largest vent through the roof is "
        f"{plain(max(sizes, default=0.0))} in.; a {plain(required)} in. building "
        f"drain needs one of {plain(own)} in.",
        caution=SEWER_GAS, fixes=[f"Carry one vent {plain(own)} in. through the roof."],
    )  # fmt: skip
    counted = Counter(end.size for end in outline.terminals)
    words = ", ".join(f"{number} of {size} in." for size, number in counted.items())
    yield note(
        "roof vents", main.key, f"Vents and flashings through the roof: {words}.",
        value=len(sizes), unit="vents",
    )  # fmt: skip
    if rule := vents.area_rule(book):
        sewer = inches(root.size) if root.size else 4.0
        area = sum(size**2 for size in sizes)
        yield at_least(
            "vent area", root.key, area, sewer**2, "in.2 nominal", cells=[rule],
            sentence=f"The vents through the roof add up to {area:g}; the "
            f"{plain(sewer)} in. sewer asks {sewer**2:g} (nominal sizes squared).",
            caution=SEWER_GAS, fixes=["Make one vent larger or add one."],
        )  # fmt: skip
    if frost:
        cell = vents.terminal(book, "vent_min_size_where_frost_applies")
        if cell is None:
            # The IPC row is not in the reference; its twin of the IRC stands in.
            cell = vents.terminal(Book("IRC"), "vent_min_size_where_frost_applies")
        assert cell is not None
        for end, size in zip(outline.terminals, sizes, strict=True):
            yield at_least(
                "frost", end.key, size, cell.number, "in.", cells=[cell],
                sentence=f"{end.key} ends at {plain(size)} in.; frost asks "
                f"{cell.number:g} in. from 1 ft below the roof.",
                fixes=[f"Enlarge it to {cell.number:g} in. a foot below the roof."],
            )  # fmt: skip
