"""First guess of the drains and vents: rooms to branches, upper rooms to stacks."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace

from .. import fixtures, vents
from ..drainage import BRANCH, BUILDING, STACK, least_size
from ..loads import drain_key, drain_load
from ..nominal import inches, nominal
from ..odds import cleanouts_wanted
from ..tables import Book
from .kinds import KINDS
from .model import Node, Terminal
from .site import Placed, Site

SLOPE = 0.25
_ROOMS_ON_A_STACK = 2
# Sizes that are made but hardly stocked (common practice).
_SKIPPED = {2.5: 3.0, 5.0: 6.0}


def stocked(size_in: float) -> str:
    """Nominal size of the next stocked pipe."""
    return nominal(_SKIPPED.get(size_in, size_in))


def drain_tree(
    placed: Iterable[Placed], *, site: Site, book: Book
) -> tuple[Node | None, tuple[Terminal, ...]]:
    """Sewer with all that drains into it, sized for the book, and the roof vents."""
    rooms: dict[tuple[int, str, str], list[Placed]] = defaultdict(list)
    for item in placed:
        if KINDS[item.kind].drain:
            rooms[item.floor, item.room, item.stack].append(item)
    if not rooms:
        return None, ()
    low: list[Node] = []
    stacks: dict[str, list[Node]] = defaultdict(list)
    counters: dict[int, int] = defaultdict(int)
    for (floor, room, stack), items in sorted(rooms.items()):
        branch = _branch(floor, room, items, site=site, book=book)
        if floor <= 1:
            low.append(branch)
            continue
        name = stack or f"stack-{counters[floor] // _ROOMS_ON_A_STACK + 1}"
        counters[floor] += 1
        stacks[name].append(branch)
    risers = [
        _stack(name, branches, site=site, book=book)
        for name, branches in sorted(stacks.items())
    ]
    children = tuple(risers + low)
    main = _main(children, site=site, book=book)
    load = drain_load(book, main.leaves())
    sewer_in = max(4.0, inches(main.size))
    sewer = least_size(
        book, BUILDING, load.units, slope_in_per_ft=SLOPE, closets=load.closets,
        at_least_in=sewer_in,
    )  # fmt: skip
    root = Node(
        "sewer", "sewer", site.street_ft, stocked(sewer.size_in),
        site.drain_material, SLOPE, children=(main,), cleanouts=1,
    )  # fmt: skip
    return root, _terminals(root, site=site, book=book)


def _branch(
    floor: int, room: str, items: list[Placed], *, site: Site, book: Book
) -> Node:
    arms = []
    for item in items:
        for number in range(1, item.quantity + 1):
            suffix = "" if number == 1 else f"-{number}"
            arms.append(_arm(item, f"{room}-{item.kind}{suffix}", site, book))
    leaves = tuple(arms)
    load = drain_load(book, leaves)
    widest = max(inches(arm.size) for arm in leaves)
    # Past the arms a branch is 2 in. or more (UPC for sinks; elsewhere practice), and
    # 3 in. where it takes a washer (IPC 406.2, IRC P2718.1, from memory).
    washer = book.code != "UPC" and any(leaf.fixture == "washer_box" for leaf in leaves)
    size = least_size(
        book, BRANCH, load.units, closets=load.closets,
        at_least_in=max(widest, 3.0 if washer else 2.0),
    )  # fmt: skip
    return Node(
        f"{room}-drain", "branch", 8.0 if floor <= 1 else 6.0, stocked(size.size_in),
        site.drain_material, SLOPE, floor, room=room, children=leaves,
    )  # fmt: skip


def _arm(item: Placed, key: str, site: Site, book: Book) -> Node:
    kind = KINDS[item.kind]
    row = drain_key(item.kind)
    size = max(inches(kind.arm_in), fixtures.fixture_drain_in(book, row))
    closet = bool(fixtures.closets_in(row))
    rise = (site.storeys - item.floor) * site.storey_ft + 14.0
    vent, _ = vents.least_vent(
        book, size, closet=closet, developed_length_ft=rise,
        units=drain_load(book, (Node(key, "arm", fixture=item.kind),)).units,
    )  # fmt: skip
    practice = 2.0 if closet else 1.5
    return Node(
        key, "arm", kind.arm_ft, stocked(size), site.drain_material, SLOPE,
        item.floor, item.kind, item.room, vent="individual",
        vent_size=stocked(max(vent, practice)), vent_ft=rise,
        terminal=f"vent-{item.vent or item.room}",
        stud=site.stud if size >= 2 else "2x4",
    )  # fmt: skip


def _stack(name: str, branches: list[Node], *, site: Site, book: Book) -> Node:
    leaves = [leaf for branch in branches for leaf in branch.leaves()]
    load = drain_load(book, leaves)
    floors = {branch.floor for branch in branches}
    widest = max(inches(branch.size) for branch in branches)
    size = least_size(book, STACK, load.units, closets=load.closets, at_least_in=widest)
    height = (max(floors) - 1) * site.storey_ft + 2.0
    return Node(
        name, "stack", height, stocked(size.size_in), site.drain_material,
        floor=1, stud=site.stud, children=tuple(branches), cleanouts=1,
    )  # fmt: skip


def _main(children: tuple[Node, ...], *, site: Site, book: Book) -> Node:
    leaves = [leaf for child in children for leaf in child.leaves()]
    load = drain_load(book, leaves)
    widest = max(inches(child.size) for child in children)
    size = least_size(
        book, BUILDING, load.units, slope_in_per_ft=SLOPE, closets=load.closets,
        at_least_in=max(widest, 3.0),
    )  # fmt: skip
    wanted, _ = cleanouts_wanted(book, [], site.depth_ft)
    return Node(
        "building-drain", "building_drain", site.depth_ft, stocked(size.size_in),
        site.drain_material, SLOPE, children=children, cleanouts=max(wanted, 1),
    )  # fmt: skip


def _terminals(root: Node, *, site: Site, book: Book) -> tuple[Terminal, ...]:
    """One vent through the roof a room, large enough for its load and the book."""
    grouped: dict[str, list[Node]] = defaultdict(list)
    for arm in root.leaves():
        grouped[arm.terminal].append(arm)
    ends = []
    for key, arms in sorted(grouped.items()):
        size = max(inches(arm.vent_size) for arm in arms)
        if book.code == "UPC":
            load = drain_load(book, arms)
            by_table, _ = vents.upc_vent(book, load.units, closet=load.closets > 0)
            size = max(size, by_table)
        ends.append(Terminal(key, stocked(size)))
    return tuple(_enough(ends, root, site=site, book=book))


def _enough(
    ends: list[Terminal], root: Node, *, site: Site, book: Book
) -> list[Terminal]:
    """Frost size where it applies, the building drain's own vent, the UPC area."""
    least = 0.0
    if site.frost:
        cell = vents.terminal(book, "vent_min_size_where_frost_applies")
        least = cell.number if cell else 3.0
    main = next(node for node in root.walk() if node.role == "building_drain")
    own, _ = vents.least_vent(book, inches(main.size))
    sizes = [max(inches(end.size), least) for end in ends]
    if max(sizes) < own:
        sizes[0] = own
    if vents.area_rule(book):
        sewer = inches(root.size)
        position = 0
        while not vents.area_enough(sewer, sizes):
            at = position % len(sizes)
            sizes[at] = inches(stocked(vents.next_size(sizes[at])))
            position += 1
    return [
        replace(end, size=stocked(size)) for end, size in zip(ends, sizes, strict=True)
    ]
