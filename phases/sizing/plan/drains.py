"""Drain checks over an outline: capacity, closets, slope, fall, arms, cleanouts."""

from collections.abc import Iterator

from .. import drainage, fixtures, odds, traps
from ..cases.answer import SEWER_GAS
from ..drainage import BRANCH, BUILDING, STACK
from ..loads import Load, drain_key, drain_load
from ..nominal import inches, plain
from ..outline.model import Node
from ..said import Said, say
from ..tables import Absent, Book, Cell
from .finding import Finding, at_least, at_most, held

_PARTS = {
    "branch": BRANCH, "stack": STACK, "building_drain": BUILDING, "sewer": BUILDING,
}  # fmt: skip
_KEEPS_SIZE = Cell(
    "rule/no_reduction", "IPC/IRC/UPC", "", "704.2 / P3005.1.6 / 316.4.1",
    "no reduction in the direction of flow", "1", "ratio", "memory",
)  # fmt: skip
# Not in the reference: a figure from memory asks, it never alone fails a house.
_WASHER = Cell(
    "rule/standpipe_drain", "IPC/IRC", "", "406.2 / P2718.1",
    "branch or stack that takes a washer's standpipe", "3", "in", "memory",
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
    yield from _washer_branch(node, size, book)
    yield from _underground(node, size, book)
    if node.role == "stack":
        yield from _stack_length(node, size, book)
    sizes = [inches(child.size) for child in node.children if child.size]
    widest = max(sizes, default=0.0)
    if size < widest:
        yield at_least(
            "no reduction", node.key, size, widest, "in.", cells=[_KEEPS_SIZE],
            sentence=say("no_reduction", key=node.key, size=plain(size),
                         widest=plain(widest)),
            caution=SEWER_GAS,
            fixes=[say("make_it", key=node.key, size=plain(widest))],
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
        words = {"key": node.key, "units": units, "of": what, "size": plain(size)}
        if found is None:
            yield Finding(
                "drain capacity", node.key,
                say("capacity_none", book=book.code, **words),
                False, load.cells, units, 0.0, "dfu", -1.0, SEWER_GAS, least,
            )  # fmt: skip
            continue
        yield at_most(
            "drain capacity", node.key, units, found.units, "dfu",
            cells=(*found.cells, *load.cells),
            sentence=say("capacity", most=found.units, **words),
            caution=SEWER_GAS, fixes=least,
        )  # fmt: skip


def _columns(
    node: Node, load: Load, book: Book
) -> Iterator[tuple[str | None, float, Said | str]]:
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
    yield column, load.units, say("in_all")
    yield drainage.INTERVAL, heaviest, say("from_one_floor")


def _least(
    book: Book, part: str, units: float, load: Load, node: Node, item: str | None
) -> tuple[Said, ...]:
    try:
        found = drainage.least_size(
            book, part, units, slope_in_per_ft=node.slope, closets=load.closets,
            item=item,
        )  # fmt: skip
    except Absent:
        return (say("split_load"),)
    return (say("make_or_split", key=node.key, size=plain(found.size_in)),)


def _closets(node: Node, size: float, load: Load, book: Book) -> Iterator[Finding]:
    """Closets need 3 in., and some books and cities count them on it."""
    if not load.closets:
        return
    part = _PARTS[node.role]
    item = drainage.INTERVAL if (book.code, part) == ("IPC", STACK) else None
    found = drainage.capacity(book, part, size, item=item)
    if found is None or found.closets is None:
        return
    fix = say("make_3") if size < 3 else say("make_4")
    yield at_most(
        "closets on a drain", node.key, load.closets, found.closets, "closets",
        cells=found.closet_cells,
        sentence=say("closets", key=node.key, count=load.closets, size=plain(size),
                     most=found.closets),
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
                sentence=say("sink_branch", key=leaf.key, size=plain(size)),
                caution=SEWER_GAS, fixes=[say("make_it", key=node.key, size="2")],
            )  # fmt: skip


def _washer_branch(node: Node, size: float, book: Book) -> Iterator[Finding]:
    """IPC 406.2 and IRC P2718.1: a standpipe's arm joins a 3 in. branch or stack."""
    if book.code == "UPC" or not any(c.fixture == "washer_box" for c in node.children):
        return
    yield at_least(
        "standpipe drain", node.key, size, _WASHER.number, "in.", cells=[_WASHER],
        sentence=say("standpipe_drain", key=node.key, size=plain(size),
                     least=_WASHER.number),
        caution=SEWER_GAS,
        fixes=[say("standpipe_drain_fix", key=node.key, least=_WASHER.number)],
    )  # fmt: skip


def _stack_length(node: Node, size: float, book: Book) -> Iterator[Finding]:
    """UPC Table 703.2: the longest vertical drain of a size."""
    cell = drainage.longest_vertical(book, size)
    if cell is None:
        return
    yield at_most(
        "drain length", node.key, node.length_ft, cell.number, "ft", cells=[cell],
        sentence=say("drain_length", key=node.key, size=plain(size),
                     length=node.length_ft, most=cell.number),
        caution=SEWER_GAS, fixes=[say("larger_stack")],
    )  # fmt: skip


def _arm_turns(node: Node, size: float, book: Book) -> Iterator[Finding]:
    """UPC 1002.3: an arm that turns further than its limit has a cleanout."""
    cell = traps.most_turn(book, size)
    if cell is None or not node.turns:
        return
    turns = float(sum(node.turns)) if not node.cleanouts else 0.0
    yield at_most(
        "trap arm turns", node.key, turns, cell.number, "degrees", cells=[cell],
        sentence=say("arm_turns", key=node.key, turns=float(sum(node.turns)),
                     most=cell.number),
        caution=SEWER_GAS, fixes=[say("arm_turns_fix")],
    )  # fmt: skip


def _underground(node: Node, size: float, book: Book) -> Iterator[Finding]:
    """A city's least size of a branch below the lowest floor, where it sets one."""
    setting = book.setting("underground_branch")
    if setting is None or node.role != "branch" or node.floor > 1:
        return
    cell = book.local(setting, "in")
    yield at_least(
        "underground branch", node.key, size, cell.number, "in.", cells=[cell],
        sentence=say("underground_branch", key=node.key, size=plain(size),
                     least=cell.number),
        fixes=[say("make_it", key=node.key, size=plain(cell.number))],
    )  # fmt: skip


def _slope(node: Node, size: float, book: Book, *, use: str) -> Finding:
    cell = drainage.least_slope(book, size, use=use)
    local = book.setting(f"sewer_slope_{plain(size)}_in")
    if node.role == "sewer" and local is not None:
        cell = book.local(local, "in/ft")
    slope = node.slope or 0.0
    return at_least(
        "least slope", node.key, slope, cell.number, "in./ft", cells=[cell],
        sentence=say("slope", key=node.key, size=plain(size), slope=slope,
                     least=cell.number),
        caution=SEWER_GAS, fixes=[say("lay_at", key=node.key, least=cell.number)],
    )  # fmt: skip


def _depth(node: Node) -> Iterator[Finding]:
    """The fall over the run against the depth there is, where the plan says one."""
    if not node.depth_in or node.slope is None:
        return
    fall = drainage.fall_in(node.length_ft, node.slope)
    yield at_most(
        "fall in the depth", node.key, fall, node.depth_in, "in.", cells=[],
        sentence=say("depth", key=node.key, fall=fall, length=node.length_ft,
                     depth=node.depth_in),
        caution=SEWER_GAS, fixes=[say("depth_fix")],
    )  # fmt: skip


def _cleanouts(node: Node, book: Book) -> Finding:
    wanted, cells = odds.cleanouts_wanted(book, list(node.turns), node.length_ft)
    if node.role == "building_drain":
        wanted = max(wanted, 1)
    return at_least(
        "cleanouts", node.key, node.cleanouts, wanted, "cleanouts", cells=cells,
        sentence=say("cleanouts", key=node.key, length=node.length_ft,
                     turns=len(node.turns), there=node.cleanouts, wanted=wanted),
        fixes=[say("cleanouts_fix", more=wanted - node.cleanouts, key=node.key)],
    )  # fmt: skip


def _arm(node: Node, book: Book) -> Iterator[Finding]:
    key = drain_key(node.fixture)
    size = inches(node.size) if node.size else 0.0
    closet = bool(fixtures.closets_in(key))
    yield _arm_size(node, key, size, book, closet=closet)
    yield _slope(node, size, book, use="trap arm")
    yield from _arm_turns(node, size, book)
    limit = traps.longest(book, size, closet=closet)
    if limit.longest_ft is not None:
        yield at_most(
            "trap arm length", node.key, node.length_ft, limit.longest_ft, "ft",
            cells=limit.cells,
            sentence=say("arm_length", key=node.key, size=plain(size),
                         length=node.length_ft, most=limit.longest_ft),
            caution=SEWER_GAS, fixes=[say("arm_length_fix")],
        )  # fmt: skip
    if closet:
        return
    most, fall_cell = traps.most_fall(book, size)
    fall = drainage.fall_in(node.length_ft, node.slope or 0.0)
    yield at_most(
        "trap arm fall", node.key, fall, most, "in.", cells=[fall_cell],
        sentence=say("arm_fall", key=node.key, fall=fall, most=most),
        caution=SEWER_GAS, fixes=[say("arm_fall_fix")],
    )  # fmt: skip
    least, crown = traps.shortest(book, size)
    yield at_least(
        "crown vent", node.key, node.length_ft * 12, least, "in.", cells=[crown],
        sentence=say("crown_vent", key=node.key, length=node.length_ft * 12,
                     least=least),
        caution=SEWER_GAS, fixes=[say("crown_vent_fix")],
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
        sentence=say("arm_size", key=node.key, size=plain(size), least=plain(least),
                     a_fixture=say(f"a_{node.fixture}")),
        caution=SEWER_GAS,
        fixes=[say("make_it", key=node.key, size=plain(least))],
    )  # fmt: skip
