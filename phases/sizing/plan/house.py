"""Heater, condensate and framing checks."""

from collections.abc import Iterator

from .. import heat, odds, shields
from ..cases.answer import GAS, SCALD, SEWER_GAS, STRUCTURE
from ..nominal import inches, nominal
from ..outline.model import Node, Outline
from ..tables import Book, Cell, rows
from .extras import Condensate, Extras, FramingCut
from .finding import Finding, at_least, at_most, note

_PROHIBITED = {"vent", "drain"}
# Fixtures whose arm runs in the wall, so that studs are bored for it.
IN_WALL = frozenset(
    {"lavatory", "lavatory_double", "kitchen_sink", "bar_sink", "washer_box",
     "laundry_sink"}
)  # fmt: skip


def heater_findings(
    outline: Outline, *, book: Book, extras: Extras
) -> Iterator[Finding]:
    """Tank: first-hour rating. Tankless: flow, gas, vent and condensate."""
    heater = next(
        (n for n in outline.water.walk() if n.role == "heater"), None
    ) if outline.water else None  # fmt: skip
    if heater is None:
        return
    facts = extras.heater
    if heater.fixture == "tankless_gas":
        yield from _tankless(heater, outline, extras)
        return
    if not extras.baths:
        return
    need = heat.first_hour_needed(extras.baths, extras.bedrooms, book.edition)
    if facts.first_hour_gal is None:
        yield note(
            "first hour", heater.key,
            f"{extras.baths:g} baths and {extras.bedrooms} bedrooms ask a first-hour "
            f"rating of {need.number:g} gal.",
            cells=[need], value=need.number, unit="gal", caution=SCALD,
        )  # fmt: skip
        return
    yield at_least(
        "first hour", heater.key, facts.first_hour_gal, need.number, "gal",
        cells=[need],
        sentence=f"The heater's first-hour rating is {facts.first_hour_gal:g} gal; "
        f"{need.number:g} is asked.",
        caution=SCALD, fixes=["Choose a heater of a higher first-hour rating."],
    )  # fmt: skip


def _tankless(heater: Node, outline: Outline, extras: Extras) -> Iterator[Finding]:
    facts = extras.heater
    outlets = outline.gas.leaves() if outline.gas else ()
    present = {
        "gas": any(leaf.fixture == "tankless_gas" for leaf in outlets),
        "vent": facts.has_vent,
        "condensate": facts.has_condensate,
    }
    cell = _row_cell("supply/water_heater", "condensate")
    for name, there in present.items():
        yield Finding(
            f"tankless {name}", heater.key,
            f"The tankless heater {'has its' if there else 'has no'} {name}.", there,
            (cell,) if name == "condensate" else (), float(there), 1.0, "", 0.0,
            GAS, () if there else (f"Draw its {name} into the plan.",),
        )  # fmt: skip
    if facts.input_btu_h:
        flow = heat.flow_gpm(
            facts.input_btu_h, efficiency=facts.efficiency, rise_f=facts.rise_f
        )
        yield note(
            "tankless flow", heater.key,
            f"{flow:.1f} gpm at a rise of {facts.rise_f:g} F.",
            cells=[heat.heat_constant()], value=flow, unit="gpm", caution=SCALD,
        )  # fmt: skip


def _row_cell(file: str, topic: str) -> Cell:
    row = next(row for row in rows(file) if row["topic"] == topic)
    return Cell(
        f"{file.split('/')[1]}/{topic}", row["code"], row["edition"],
        row["table_section"], row["item"], row["value"], row["unit"],
        row["provenance"], row["note"],
    )  # fmt: skip


def condensate_findings(line: Condensate, *, book: Book) -> Iterator[Finding]:
    """Size, slope and end of a condensate line."""
    size, cells = odds.condensate_size(book.code, line.tons)
    yield at_least(
        "condensate size", line.key, inches(line.size), size, "in.", cells=cells,
        sentence=f"{line.key} drains {line.tons:g} tons through {line.size} in.; "
        f"{nominal(size)} in. is the least.",
        fixes=[f"Make it {nominal(size)} in., never smaller than the pan outlet."],
    )  # fmt: skip
    slope = odds.condensate_slope()
    yield at_least(
        "condensate slope", line.key, line.slope, slope.number, "in./ft",
        cells=[slope],
        sentence=f"{line.key} falls {line.slope:g} in. a foot; {slope.number:g} is "
        "the least.",
        fixes=["Lay it at 1/8 in. a foot or more."],
    )  # fmt: skip
    allowed = line.into not in _PROHIBITED
    words = line.into.replace("_", " ")
    yield Finding(
        "condensate end", line.key,
        f"{line.key} ends in a {words}: "
        + ("an allowed place, above the trap or by an air gap." if allowed
           else "never joined to a vent, waste or drain pipe directly."),
        allowed, (_end_cell(line.into, book),), caution=SEWER_GAS,
        margin=0.0 if allowed else -1.0,
        fixes=() if allowed else (
            "End it above a fixture's trap (lavatory tailpiece) or by an air gap.",
        ),
    )  # fmt: skip


def _end_cell(into: str, book: Book) -> Cell:
    """The row that decides where condensate may end."""
    if into == "vent" and book.code == "IRC":
        wanted = "CND-019"
    elif book.code == "UPC":
        wanted = "CND-014"
    elif into in _PROHIBITED:
        wanted = "CND-016"
    else:
        wanted = (
            "CND-018" if into in ("lavatory_tailpiece", "tub_overflow") else ("CND-017")
        )
    row = next(r for r in rows(odds.CONDENSATE) if r["id"] == wanted)
    return Cell(
        wanted, row["code"], row["edition"], row["table_section"], row["item"],
        row["value"], row["unit"], row["provenance"], row["note"],
    )  # fmt: skip


def framing_findings(
    outline: Outline, *, book: Book, extras: Extras
) -> Iterator[Finding]:
    """Wall depth and bores for the drains in walls, and every cut that is asked."""
    for cut in extras.cuts:
        yield from _cut(cut, book)
    if outline.drain is None:
        return
    for node in outline.drain.walk():
        if not node.stud or node.stud not in shields.DEPTHS or not node.size:
            continue
        od, od_cell = shields.outside_diameter(
            inches(node.size), node.material or "PVC"
        )
        if node.role == "stack":
            depth = shields.DEPTHS[node.stud]
            yield at_most(
                "wall depth", node.key, od, depth, "in.", cells=[od_cell],
                sentence=f"{node.key} is {od:g} in. outside in a {node.stud} wall of "
                f"{depth:g} in.",
                caution=STRUCTURE, fixes=["It needs a 2x6 wall or a chase."],
            )  # fmt: skip
        elif node.role == "arm" and node.fixture in IN_WALL:
            yield _arm_bore(node, od, od_cell, book)


def _arm_bore(node: Node, od: float, od_cell: Cell, book: Book) -> Finding:
    limit = shields.stud_bore(book, node.stud, bearing=False)
    stud = shields.thinnest_stud(book, od, bearing=False)
    plate = shields.plate_needed(book, inches(node.size), node.material, node.stud)
    words = " A shield plate covers each stud." if plate.needed else ""
    return at_most(
        "stud bore", node.key, od, limit.most_in, "in.", cells=[*limit.cells, od_cell],
        sentence=f"{node.key} bores {od:g} in. through {node.stud} studs; "
        f"{limit.most_in:.2f} in. is the most in a non-bearing wall.{words}",
        caution=STRUCTURE, fixes=[f"It needs a {stud} wall."],
    )  # fmt: skip


def _cut(cut: FramingCut, book: Book) -> Iterator[Finding]:
    if cut.engineered:
        row = next(r for r in rows(shields.FRAMING) if r["topic"] == "engineered")
        cell = Cell(
            row["id"], row["code"], row["edition"], row["table_section"], row["item"],
            row["value"], row["unit"], row["provenance"],
        )  # fmt: skip
        yield Finding(
            "framing cut", cut.key,
            f"{cut.key}: engineered lumber is cut only as its maker or an engineer "
            "allows.", False, (cell,), margin=-1.0, caution=STRUCTURE,
            fixes=("Get the maker's or an engineer's written detail.",),
        )  # fmt: skip
        return
    if cut.member == "stud":
        limit = (
            shields.stud_bore(book, cut.lumber, bearing=cut.bearing,
                              doubled=cut.doubled)
            if cut.kind == "hole"
            else shields.stud_notch(book, cut.lumber, bearing=cut.bearing)
        )  # fmt: skip
        edge = shields.stud_edge(book)
    else:
        limit = (
            shields.joist_hole(book, cut.lumber)
            if cut.kind == "hole"
            else shields.joist_notch(
                book, cut.lumber, span_ft=cut.span_ft, from_end_ft=cut.from_end_ft
            )
        )
        edge = shields.joist_edge(book)
    fix = "Move it" if limit.most_in == 0 else f"Keep it to {limit.most_in:.2f} in."
    yield at_most(
        "framing cut", cut.key, cut.inches, limit.most_in, "in.", cells=limit.cells,
        sentence=f"{cut.key}: a {cut.kind} of {cut.inches:g} in.; {limit.most_in:.2f} "
        f"in. is the most for a {limit.what}.",
        caution=STRUCTURE,
        fixes=[f"{fix}, use larger lumber, or have an engineer repair it."],
    )  # fmt: skip
    if cut.kind == "hole" and cut.edge_in is not None:
        yield at_least(
            "hole edge", cut.key, cut.edge_in, edge.number, "in.", cells=[edge],
            sentence=f"{cut.key} leaves {cut.edge_in:g} in. of wood to the edge; "
            f"{edge.number:g} is the least.",
            caution=STRUCTURE, fixes=["Move the hole towards the middle."],
        )  # fmt: skip
