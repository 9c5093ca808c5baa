"""Drain checks over an outline: capacity, closets, slope, fall, arms, cleanouts."""

from collections.abc import Iterator

from .. import drainage, fixtures, odds, traps
from ..cases.answer import SEWER_GAS
from ..drainage import BRANCH, BUILDING, STACK
from ..loads import Load, drain_key, drain_load
from ..nominal import inches, plain
from ..outline.model import Node
from ..tables import Absent, Book, Cell
from .finding import Finding, at_least, at_most, held

_PARTS = {
    "branch": BRANCH, "stack": STACK, "building_drain": BUILDING, "sewer": BUILDING,
}  # fmt: skip
_KEEPS_SIZE = Cell(
    "rule/no_reduction", "IPC/IRC/UPC", "", "704.2 / P3005.1.6 / 316.4.1",
    "no reduction in the direction of flow", "1", "ratio", "memory",
)  # fmt: skip


def drain_findings(root: Node, *, book: Book) -> Iterator[Finding]:
    """Every drain check of a tree."""
    for node in root.walk():
        part = _arm if node.role == "arm" else _pipe
        yield from held("drain size", node.key, part(node, book))


def _pipe(node: Node, book: Book) -> Iterator[Finding]:
    load = drain_load(book, node.leaves())
    size = inches(node.size) if node.size else 0.0
    slope_ok = True
    if node.role != "stack":
        finding = _slope(node, size, book, use="drain")
        slope_ok = finding.ok
        yield finding
        yield from _depth(node)
    if slope_ok:
        yield from _capacity(node, size, load, book)
    yield from _closets(node, size, load, book)
    yield from _sink_branch(node, size, book)
    sizes = [inches(child.size) for child in node.children if child.size]
    widest = max(sizes, default=0.0)
    if size < widest:
        yield at_least(
            "no reduction", node.key, size, widest, "in.", cells=[_KEEPS_SIZE],
            sentence=f"{node.key} is {plain(size)} in. and takes a pipe of "
            f"{plain(widest)} in.: a drain never gets smaller downstream.",
            caution=SEWER_GAS, fixes=[f"Make {node.key} {plain(widest)} in."],
        )  # fmt: skip
    if node.role in ("building_drain", "sewer"):
        yield _cleanouts(node, book)


def _capacity(node: Node, size: float, load: Load, book: Book) -> Iterator[Finding]:
    part = _PARTS[node.role]
    for item, units, what in _columns(node, load, book):
        found = drainage.capacity(
            book, part, size, slope_in_per_ft=node.slope, item=item
        )
        least = _least(book, part, units, load, node, item)
        words = f"{node.key} carries {units:g} drainage fixture units{what}"
        if found is None:
            yield Finding(
                "drain capacity", node.key,
                f"{words}; the {book.code} table has no {plain(size)} in. for it.",
                False, load.cells, units, 0.0, "dfu", -1.0, SEWER_GAS, least,
            )  # fmt: skip
            continue
        yield at_most(
            "drain capacity", node.key, units, found.units, "dfu",
            cells=(*found.cells, *load.cells),
            sentence=f"{words}; {plain(size)} in. takes {found.units:g}.",
            caution=SEWER_GAS, fixes=least,
        )  # fmt: skip


def _columns(
    node: Node, load: Load, book: Book
) -> Iterator[tuple[str | None, float, str]]:
    """Columns a pipe is held against: IPC stacks by interval and in total."""
    if node.role != "stack" or book.code != "IPC":
        yield None, load.units, ""
        return
    floors: dict[int, list[Node]] = {}
    for child in node.children:
        floors.setdefault(child.floor, []).extend(child.leaves())
    heaviest = max(
        (drain_load(book, leaves).units for leaves in floors.values()), default=0.0
    )
    column = drainage.column_of(book, STACK, intervals=len(floors))
    yield column, load.units, " in all"
    yield drainage.INTERVAL, heaviest, " from one floor"


def _least(
    book: Book, part: str, units: float, load: Load, node: Node, item: str | None
) -> tuple[str, ...]:
    try:
        found = drainage.least_size(
            book, part, units, slope_in_per_ft=node.slope, closets=load.closets,
            item=item,
        )  # fmt: skip
    except Absent:
        return ("Split the load over two drains.",)
    size = plain(found.size_in)
    return (f"Make {node.key} {size} in., or split the load over two drains.",)


def _closets(node: Node, size: float, load: Load, book: Book) -> Iterator[Finding]:
    """Closets need 3 in., and some books and cities count them on it."""
    if not load.closets:
        return
    part = _PARTS[node.role]
    item = drainage.INTERVAL if (book.code, part) == ("IPC", STACK) else None
    found = drainage.capacity(book, part, size, item=item)
    if found is None or found.closets is None:
        return
    fix = "Make it 3 in. or larger." if size < 3 else "Make it 4 in., or split it."
    yield at_most(
        "closets on a drain", node.key, load.closets, found.closets, "closets",
        cells=found.closet_cells,
        sentence=f"{node.key} takes {load.closets} closets; {plain(size)} in. may take "
        f"{found.closets} in this book.",
        caution=SEWER_GAS, fixes=[fix],
    )  # fmt: skip


def _sink_branch(node: Node, size: float, book: Book) -> Iterator[Finding]:
    """UPC: past its trap arm the drain of a sink or dishwasher is 2 in. or larger."""
    if node.role != "branch":
        return
    for leaf in node.leaves():
        key = drain_key(leaf.fixture)
        if fixtures.needs_two_inch_branch(book, key) and size < 2:
            yield at_least(
                "sink branch", node.key, size, 2.0, "in.",
                cells=[fixtures.load(book, key)],
                sentence=f"{leaf.key} drains past its arm through {plain(size)} in.",
                caution=SEWER_GAS, fixes=[f"Make {node.key} 2 in."],
            )  # fmt: skip


def _slope(node: Node, size: float, book: Book, *, use: str) -> Finding:
    cell = drainage.least_slope(book, size, use=use)
    slope = node.slope or 0.0
    return at_least(
        "least slope", node.key, slope, cell.number, "in./ft", cells=[cell],
        sentence=f"{node.key}, {plain(size)} in., falls {slope:g} in. a foot; "
        f"{cell.number:g} is the least.",
        caution=SEWER_GAS,
        fixes=[f"Lay {node.key} at {cell.number:g} in. a foot or more."],
    )  # fmt: skip


def _depth(node: Node) -> Iterator[Finding]:
    """The fall over the run against the depth there is, where the plan says one."""
    if not node.depth_in or node.slope is None:
        return
    fall = drainage.fall_in(node.length_ft, node.slope)
    yield at_most(
        "fall in the depth", node.key, fall, node.depth_in, "in.", cells=[],
        sentence=f"{node.key} falls {fall:g} in. over {node.length_ft:g} ft; "
        f"{node.depth_in:g} in. are there.",
        caution=SEWER_GAS,
        fixes=["Start higher, shorten the run, or lay it flatter where the size may."],
    )  # fmt: skip


def _cleanouts(node: Node, book: Book) -> Finding:
    wanted, cells = odds.cleanouts_wanted(book, list(node.turns), node.length_ft)
    if node.role == "building_drain":
        wanted = max(wanted, 1)
    return at_least(
        "cleanouts", node.key, node.cleanouts, wanted, "cleanouts", cells=cells,
        sentence=f"{node.key}, {node.length_ft:g} ft with {len(node.turns)} turns, has "
        f"{node.cleanouts} cleanouts; {wanted} wanted.",
        fixes=[f"Add {wanted - node.cleanouts} to {node.key}."],
    )  # fmt: skip


def _arm(node: Node, book: Book) -> Iterator[Finding]:
    key = drain_key(node.fixture)
    size = inches(node.size) if node.size else 0.0
    closet = bool(fixtures.closets_in(key))
    yield _arm_size(node, key, size, book, closet=closet)
    yield _slope(node, size, book, use="trap arm")
    limit = traps.longest(book, size, closet=closet)
    if limit.longest_ft is not None:
        yield at_most(
            "trap arm length", node.key, node.length_ft, limit.longest_ft, "ft",
            cells=limit.cells,
            sentence=f"{node.key}, {plain(size)} in., runs {node.length_ft:g} ft to "
            f"its vent; {limit.longest_ft:g} ft is the most.",
            caution=SEWER_GAS,
            fixes=["Bring the vent nearer, add a second vent, or use a larger arm."],
        )  # fmt: skip
    if closet:
        return
    most, fall_cell = traps.most_fall(book, size)
    fall = drainage.fall_in(node.length_ft, node.slope or 0.0)
    yield at_most(
        "trap arm fall", node.key, fall, most, "in.", cells=[fall_cell],
        sentence=f"{node.key} falls {fall:g} in. to its vent; one diameter, {most:g} "
        "in., is the most.",
        caution=SEWER_GAS, fixes=["Shorten the arm, or lay it no steeper than 1/4."],
    )  # fmt: skip
    least, crown = traps.shortest(book, size)
    yield at_least(
        "crown vent", node.key, node.length_ft * 12, least, "in.", cells=[crown],
        sentence=f"{node.key} is {node.length_ft * 12:g} in. long; two diameters, "
        f"{least:g} in., is the least.",
        caution=SEWER_GAS, fixes=["Move the vent away from the trap."],
    )  # fmt: skip


def _arm_size(
    node: Node, key: str, size: float, book: Book, *, closet: bool
) -> Finding:
    least = fixtures.fixture_drain_in(book, key)
    trap = fixtures.trap(book, key)
    cells: list[Cell] = [trap] if trap else []
    if closet:
        # The table marks the smaller pipes: no water closet.
        small = drainage.capacity(book, BRANCH, min(max(size, 1.5), 2.5))
        cells = list(small.cells) if small else cells
    return at_least(
        "arm size", node.key, size, least, "in.", cells=cells,
        sentence=f"{node.key} is {plain(size)} in.; a {node.fixture.replace('_', ' ')} "
        f"takes {plain(least)} in. or more.",
        caution=SEWER_GAS, fixes=[f"Make {node.key} {plain(least)} in."],
    )  # fmt: skip
