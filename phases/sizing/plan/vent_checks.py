"""Vent checks over an outline: size, length, wet vents, ends above the roof."""

from collections import Counter
from collections.abc import Iterator

from .. import fixtures, vents
from ..cases.answer import SEWER_GAS
from ..loads import drain_key, drain_load
from ..nominal import inches, plain
from ..outline.model import Node, Outline
from ..said import say
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
                "vented trap", arm.key, say("no_vent", key=arm.key), False,
                (_VENTED,), 0, 1, "vents", -1.0, SEWER_GAS, (say("no_vent_fix"),),
            )  # fmt: skip
        elif arm.vent == "wet":
            yield from _wet(arm, parents[arm.key], book)
        else:
            yield from _dry(arm, book)
            if arm.vent == "island":
                yield _island(arm, book)
    yield from _rises(outline.drain, book)
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
            "vent size", arm.key, error.args[0], False, (), arm.vent_ft, 0, "ft", -1.0,
            SEWER_GAS, (say("shorten_vent"),),
        )  # fmt: skip
        return
    yield at_least(
        "vent size", arm.key, size, least, "in.", cells=cells,
        sentence=say("vent_size", length=arm.vent_ft, key=arm.key, size=plain(size),
                     least=plain(least)),
        caution=SEWER_GAS, fixes=[say("vent_size_fix", least=plain(least))],
    )  # fmt: skip
    if book.code == "UPC" and size in vents.UPC_TABLE_SIZES:
        _, longest = vents.upc_row(book, size)
        yield at_most(
            "vent length", arm.key, arm.vent_ft, longest.number, "ft", cells=[longest],
            sentence=say("vent_length", size=plain(size), key=arm.key,
                         length=arm.vent_ft, most=longest.number),
            caution=SEWER_GAS, fixes=[say("vent_length_fix")],
        )  # fmt: skip


# Kinds of arm that may be vented as an island, and why other books are asked.
_SINKS = frozenset({"kitchen_sink", "bar_sink", "laundry_sink", "lavatory",
                    "lavatory_double"})  # fmt: skip
_ISLAND = Cell(
    "rule/island_vent", "IRC/UPC", "", "P3112 / 909.1",
    "island vents serve sinks and lavatories", "1", "rule", "memory",
)  # fmt: skip


def _rises(root: Node, book: Book) -> Iterator[Finding]:
    """Dry vents go level or join 6 in. above the flood rim; islands are excepted."""
    cell = vents.rise_above_rim(book)
    dry = [
        arm for arm in root.leaves() if arm.vent in ("individual", "common", "stack")
    ]
    if not dry:
        return
    for arm in dry:
        if arm.vent_rise_in:
            yield at_least(
                "vent rise", arm.key, arm.vent_rise_in, cell.number, "in.",
                cells=[cell],
                sentence=say("vent_rise", key=arm.key, rise=arm.vent_rise_in,
                             least=cell.number),
                caution=SEWER_GAS, fixes=[say("vent_rise_fix", least=cell.number)],
            )  # fmt: skip
    if not all(arm.vent_rise_in for arm in dry):
        yield note(
            "vent rise", root.key, say("vent_rises_note", least=cell.number),
            cells=[cell], value=cell.number, unit="in.", caution=SEWER_GAS,
        )  # fmt: skip
    takeoff = vents.takeoff(Book("IPC", book.edition, book.overrides))
    yield note(
        "vent takeoff", root.key, say("vent_takeoff_note"), cells=[takeoff],
        caution=SEWER_GAS,
    )  # fmt: skip


def _island(arm: Node, book: Book) -> Finding:
    """An island vent is for sinks and lavatories (IPC 916.1; others from memory)."""
    cell = vents.terminal(book, "allowed_fixtures") if book.code == "IPC" else None
    allowed = arm.fixture in _SINKS
    return Finding(
        "island vent", arm.key,
        say("island_vent_ok" if allowed else "island_vent", key=arm.key), allowed,
        (cell or _ISLAND,), caution=SEWER_GAS, margin=0.0 if allowed else -1.0,
        fixes=() if allowed else (say("dry_vent_fix"),),
    )  # fmt: skip


def _wet(arm: Node, parent: Node, book: Book) -> Iterator[Finding]:
    """The pipe that drains others and vents this arm."""
    others = [leaf for leaf in parent.leaves() if leaf.key != arm.key]
    load = drain_load(book, others)
    size = inches(parent.size) if parent.size else 0.0
    cell = vents.wet_vent_limit(book, size)
    most = vents.wet_vent_units(book, size)
    words = {"key": parent.key, "size": plain(size), "arm": arm.key,
             "units": load.units}  # fmt: skip
    if cell is None or most is None:
        yield Finding(
            "wet vent", arm.key,
            say("wet_vent_none", book=book.code, **words),
            False, (_VENTED,), load.units, 0, "dfu", -1.0, SEWER_GAS,
            (say("dry_vent_fix"),),
        )  # fmt: skip
        return
    if not arm.room or any(leaf.room != arm.room for leaf in others):
        yield note(
            "wet vent", arm.key, say("wet_vent_group"),
            cells=[cell], caution=SEWER_GAS,
        )  # fmt: skip
    yield at_most(
        "wet vent", arm.key, load.units, min(most, 1e6), "dfu",
        cells=[cell, *load.cells],
        sentence=say("wet_vent", **words), caution=SEWER_GAS,
        fixes=[say("wet_vent_fix", key=parent.key, arm=arm.key)],
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
        sentence=say("outdoors", size=plain(max(sizes, default=0.0)),
                     drain=plain(required), least=plain(own)),
        caution=SEWER_GAS, fixes=[say("outdoors_fix", least=plain(own))],
    )  # fmt: skip
    counted = Counter(end.size for end in outline.terminals)
    listed = ", ".join(f"{number} × {size}" for size, number in counted.items())
    yield note(
        "roof vents", main.key, say("roof_vents", list=listed),
        value=len(sizes), unit="vents",
    )  # fmt: skip
    if rule := vents.area_rule(book):
        sewer = inches(root.size) if root.size else 4.0
        area = sum(size**2 for size in sizes)
        yield at_least(
            "vent area", root.key, area, sewer**2, "in.2 nominal", cells=[rule],
            sentence=say("area", area=area, sewer=plain(sewer), least=sewer**2),
            caution=SEWER_GAS, fixes=[say("area_fix")],
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
                sentence=say("frost", key=end.key, size=plain(size),
                             least=cell.number),
                fixes=[say("frost_fix", least=cell.number)],
            )  # fmt: skip
