"""The piping outline of a plan: one tree a system, without drawing.

drain  sewer > building_drain > stack > branch > arm (a fixture)
water  meter > service > main > branch or manifold or heater > run (a fixture)
gas    meter > section > regulator or section > outlet (an appliance)

Lengths are feet, sizes nominal inches as text (`1-1/2`, or `EHD 18` for CSST),
slopes inches per foot, loads of gas outlets Btu/h.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

SYSTEMS = ("drain", "water", "gas")
# Which role may stand under which; an empty parent is the root of the system.
PARENTS: dict[str, dict[str, tuple[str, ...]]] = {
    "drain": {
        "sewer": ("",),
        "building_drain": ("sewer", "building_drain"),
        "stack": ("building_drain", "branch"),
        "branch": ("building_drain", "stack", "branch"),
        "arm": ("building_drain", "stack", "branch"),
    },
    "water": {
        "meter": ("",),
        "service": ("meter",),
        "main": ("service", "main"),
        "heater": ("main", "branch"),
        "manifold": ("main", "branch", "heater"),
        "branch": ("main", "branch", "heater"),
        "run": ("main", "branch", "manifold", "heater"),
    },
    "gas": {
        "meter": ("",),
        "section": ("meter", "section", "regulator"),
        "regulator": ("section",),
        "outlet": ("section", "regulator"),
    },
}
LEAVES = frozenset({"arm", "run", "outlet"})
# Points without a pipe of their own: a length is not asked of them.
POINTS = frozenset({"meter", "regulator", "heater", "manifold"})
VENTS = ("", "individual", "common", "wet", "stack", "island", "none")


@dataclass(frozen=True, slots=True)
class Node:
    """One pipe (or point) of an outline and all that hangs on it.

    floor     0 basement, 1 ground, 2 and up
    fixture   kind code of the fixture or appliance at a leaf
    room      room key of a leaf, so that bath groups are known
    vent      how an arm is vented; vent_size and vent_ft its pipe; vent_rise_in how
              far above the flood rim it goes level, 0 where nobody said
    turns     horizontal turns in degrees along the pipe
    depth_in  depth there is for the fall, or 0 where it is not limited
    rise_ft   height gained along a water pipe
    stud      wall a pipe stands in, such as 2x4
    """

    key: str
    role: str
    length_ft: float = 0.0
    size: str = ""
    material: str = ""
    slope: float | None = None
    floor: int = 1
    fixture: str = ""
    room: str = ""
    load_btu_h: float | None = None
    vent: str = ""
    vent_size: str = ""
    vent_ft: float = 0.0
    vent_rise_in: float = 0.0
    terminal: str = ""
    turns: tuple[int, ...] = ()
    cleanouts: int = 0
    depth_in: float = 0.0
    rise_ft: float = 0.0
    stud: str = ""
    children: tuple["Node", ...] = ()

    def walk(self) -> Iterator["Node"]:
        """This node, then everything on it, top down."""
        yield self
        for child in self.children:
            yield from child.walk()

    def leaves(self) -> tuple["Node", ...]:
        """Fixtures, outlets or appliances that this pipe serves."""
        return tuple(node for node in self.walk() if node.role in LEAVES)


@dataclass(frozen=True, slots=True)
class Terminal:
    """A vent end above the roof: key, size, and the flashing that fits it."""

    key: str
    size: str


@dataclass(frozen=True, slots=True)
class Outline:
    """A plan's piping: a root a system (or none), and the vents through the roof.

    guess is True until a named person has accepted it: no size of a guess counts as
    checked.
    """

    drain: Node | None = None
    water: Node | None = None
    gas: Node | None = None
    terminals: tuple[Terminal, ...] = ()
    guess: bool = False
    accepted_by: str = ""

    def systems(self) -> Iterator[tuple[str, Node]]:
        """Name and root of every system that is there."""
        for name in SYSTEMS:
            root: Node | None = getattr(self, name)
            if root is not None:
                yield name, root

    def node(self, key: str) -> Node:
        """The node of a key; raises KeyError."""
        for _, root in self.systems():
            for node in root.walk():
                if node.key == key:
                    return node
        raise KeyError(key)

    def accepted(self, *, by: str) -> "Outline":
        """The same outline, accepted by a named person."""
        if not by.strip():
            raise ValueError("Say who accepts the outline.")
        return replace(self, guess=False, accepted_by=by.strip())


def paths(root: Node) -> Iterator[tuple[Node, ...]]:
    """Every way from the root to a leaf, root first."""

    def down(node: Node, above: tuple[Node, ...]) -> Iterator[tuple[Node, ...]]:
        way = (*above, node)
        if node.role in LEAVES:
            yield way
        for child in node.children:
            yield from down(child, way)

    yield from down(root, ())


def changed(root: Node, key: str, **values: object) -> Node:
    """The tree with some values of one node replaced (for edits and what-ifs)."""
    node = replace(root, **values) if root.key == key else root  # type: ignore[arg-type]
    return replace(
        node, children=tuple(changed(child, key, **values) for child in node.children)
    )
