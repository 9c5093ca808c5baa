"""Outside diameters, shield plates, bores and notches (IRC R602.6, R502.8, P2603)."""

from dataclasses import dataclass
from functools import cache

from .nominal import nominal
from .odds import fraction, shield_trigger
from .said import Said, say
from .tables import Absent, Book, Cell, find, need, rows

FRAMING = "dwv/08_protection_framing"
# Real depths of dressed lumber in inches (American Softwood Lumber Standard PS 20).
DEPTHS = {
    "2x4": 3.5, "2x6": 5.5, "2x8": 7.25, "2x10": 9.25, "2x12": 11.25,
}  # fmt: skip
_TUBE = ("pex", "copper", "cpvc", "cts")


@cache
def outside_diameter(size_in: float, material: str) -> tuple[float, Cell]:
    """Outside diameter in inches: copper tube size for tube, else iron pipe size."""
    kind = "CTS" if material.lower().startswith(_TUBE) else "PVC"
    name = nominal(size_in)
    for row in rows("pipe_od"):
        if row["material"] == kind and row["nominal"] == name:
            cell = Cell(
                f"pipe_od/{kind}/{name}", row["standard"], "", "outside diameter",
                f"{kind} {name}", row["od_in"], "in", row["provenance"], row["note"],
            )  # fmt: skip
            return cell.number, cell
    raise Absent(say("no_od", material=material, size=name))


@dataclass(frozen=True, slots=True)
class Cut:
    """A limit for a hole or notch: inches, the cells, and what it is a limit of."""

    most_in: float
    cells: tuple[Cell, ...]
    what: Said


def stud_bore(book: Book, stud: str, *, bearing: bool, doubled: bool = False) -> Cut:
    """Largest hole in a stud (R602.6): 40 percent bearing, 60 non-bearing or doubled.

    The IRC frames houses under all three plumbing books.
    """
    irc = Book("IRC", book.edition, book.overrides)
    item = "bore_max_nonbearing"
    if bearing:
        item = "bore_max_bearing_doubled" if doubled else "bore_max_bearing"
    cell = need(FRAMING, irc, item=item)
    return Cut(DEPTHS[stud] * cell.number / 100, (cell,), say("hole_stud", lumber=stud))


def stud_notch(book: Book, stud: str, *, bearing: bool) -> Cut:
    """Deepest notch in a stud: 25 percent bearing, 40 otherwise (R602.6)."""
    irc = Book("IRC", book.edition, book.overrides)
    item = "notch_max_bearing" if bearing else "notch_max_nonbearing"
    cell = need(FRAMING, irc, item=item)
    return Cut(
        DEPTHS[stud] * cell.number / 100, (cell,), say("notch_stud", lumber=stud)
    )


def joist_hole(book: Book, joist: str) -> Cut:
    """Largest hole in a joist: a third of its depth (R502.8.1)."""
    irc = Book("IRC", book.edition, book.overrides)
    cell = need(FRAMING, irc, item="hole_diameter_max", topic="joist")
    return Cut(
        DEPTHS[joist] * fraction(cell.value), (cell,), say("hole_joist", lumber=joist)
    )


def joist_notch(book: Book, joist: str, *, span_ft: float, from_end_ft: float) -> Cut:
    """Deepest notch in a joist: none in the middle third, else a sixth (R502.8.1)."""
    irc = Book("IRC", book.edition, book.overrides)
    zone = need(FRAMING, irc, item="notch_zone", topic="joist")
    depth = need(FRAMING, irc, item="notch_depth_max", topic="joist")
    third = span_ft / 3
    if third < from_end_ft < span_ft - third:
        return Cut(0.0, (zone,), say("notch_middle", lumber=joist))
    return Cut(
        DEPTHS[joist] * fraction(depth.value),
        (depth, zone),
        say("notch_joist", lumber=joist),
    )


def joist_edge(book: Book) -> Cell:
    """Least wood from a joist hole to an edge, another hole or a notch, in inches."""
    irc = Book("IRC", book.edition, book.overrides)
    return need(FRAMING, irc, item="hole_edge_distance_min", topic="joist")


def stud_edge(book: Book) -> Cell:
    """Least wood from a stud hole to the edge, in inches."""
    irc = Book("IRC", book.edition, book.overrides)
    return need(FRAMING, irc, item="hole_edge_distance_min", topic="stud")


@dataclass(frozen=True, slots=True)
class Plate:
    """Whether a pipe in a stud needs a plate: nearest edge, trigger, cells."""

    needed: bool
    edge_in: float
    trigger_in: float
    cells: tuple[Cell, ...]


def plate_needed(
    book: Book, size_in: float, material: str, stud: str, *,
    centre_from_edge_in: float | None = None, gas: bool = False,
) -> Plate:  # fmt: skip
    """Whether the pipe lies so near an edge that a shield plate must cover it.

    centre_from_edge_in is the hole's centre from the nearer edge; the middle of the
    stud when not said. Gas pipe other than steel keeps 1-1/2 in. (G2415.7).
    """
    od, od_cell = outside_diameter(size_in, material)
    depth = DEPTHS[stud]
    centre = depth / 2 if centre_from_edge_in is None else centre_from_edge_in
    edge = min(centre, depth - centre) - od / 2
    trigger = shield_trigger(book)
    if gas:
        found = find(
            FRAMING, Book("IRC", book.edition, book.overrides),
            item="distance_from_edge_trigger", topic="shield_gas",
        )  # fmt: skip
        assert found is not None
        trigger = found
    return Plate(edge < trigger.number - 1e-9, edge, trigger.number, (od_cell, trigger))


def thinnest_stud(book: Book, hole_in: float, *, bearing: bool) -> str:
    """Smallest stud that may take a hole: `2x4`, `2x6` or larger, or `chase`."""
    for stud in DEPTHS:
        if hole_in <= stud_bore(book, stud, bearing=bearing).most_in + 1e-9:
            return stud
    return "chase"
