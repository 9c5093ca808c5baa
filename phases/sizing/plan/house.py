"""Heater, condensate and framing checks."""

from collections.abc import Iterator

from .. import heat, odds, shields
from ..cases.answer import GAS, SCALD, SEWER_GAS, STRUCTURE
from ..nominal import inches, nominal
from ..outline.model import Node, Outline
from ..said import say
from ..tables import Book, Cell, need, rows
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
    asked = heat.first_hour_needed(extras.baths, extras.bedrooms, book.edition)
    if facts.first_hour_gal is None:
        yield note(
            "first hour", heater.key,
            say("first_hour_note", baths=extras.baths, bedrooms=extras.bedrooms,
                gallons=asked.number),
            cells=[asked], value=asked.number, unit="gal", caution=SCALD,
        )  # fmt: skip
        return
    yield at_least(
        "first hour", heater.key, facts.first_hour_gal, asked.number, "gal",
        cells=[asked],
        sentence=say("first_hour", there=facts.first_hour_gal, gallons=asked.number),
        caution=SCALD, fixes=[say("first_hour_fix")],
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
        what = say(f"what_{name}")
        yield Finding(
            f"tankless {name}", heater.key,
            say("tankless_has" if there else "tankless_lacks", what=what), there,
            (cell,) if name == "condensate" else (), float(there), 1.0, "", 0.0,
            GAS, () if there else (say("tankless_draw", what=what),),
        )  # fmt: skip
    if facts.input_btu_h:
        flow = heat.flow_gpm(
            facts.input_btu_h, efficiency=facts.efficiency, rise_f=facts.rise_f
        )
        yield note(
            "tankless flow", heater.key,
            say("tankless_flow", gpm=flow, rise=facts.rise_f),
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
        sentence=say("condensate_size", key=line.key, tons=line.tons, size=line.size,
                     least=nominal(size)),
        fixes=[say("condensate_size_fix", least=nominal(size))],
    )  # fmt: skip
    slope = odds.condensate_slope()
    yield at_least(
        "condensate slope", line.key, line.slope, slope.number, "in./ft",
        cells=[slope],
        sentence=say("condensate_slope", key=line.key, slope=line.slope,
                     least=slope.number),
        fixes=[say("condensate_slope_fix")],
    )  # fmt: skip
    allowed = line.into not in _PROHIBITED
    code = "condensate_ok" if allowed else "condensate_wrong"
    yield Finding(
        "condensate end", line.key,
        say(code, key=line.key, into=say(f"into_{line.into}")),
        allowed, (_end_cell(line.into, book),), caution=SEWER_GAS,
        margin=0.0 if allowed else -1.0,
        fixes=() if allowed else (say("condensate_end_fix"),),
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
                sentence=say("wall_depth", key=node.key, od=od, stud=node.stud,
                             depth=depth),
                caution=STRUCTURE, fixes=[say("wall_depth_fix")],
            )  # fmt: skip
        elif node.role == "arm" and node.fixture in IN_WALL:
            yield _arm_bore(node, od, od_cell, book)


def _arm_bore(node: Node, od: float, od_cell: Cell, book: Book) -> Finding:
    limit = shields.stud_bore(book, node.stud, bearing=False)
    stud = shields.thinnest_stud(book, od, bearing=False)
    plate = shields.plate_needed(book, inches(node.size), node.material, node.stud)
    chase = stud == "chase"
    return at_most(
        "stud bore", node.key, od, limit.most_in, "in.", cells=[*limit.cells, od_cell],
        sentence=say("stud_bore", key=node.key, od=od, stud=node.stud,
                     most=limit.most_in,
                     plate=say("plate_covers") if plate.needed else ""),
        caution=STRUCTURE,
        fixes=[say("needs_chase") if chase else say("needs_wall", stud=stud)],
    )  # fmt: skip


def _plate(cut: FramingCut, book: Book) -> Finding:
    """A cut of more than half a plate's width wants a tie (R602.6.1)."""
    irc = Book("IRC", book.edition, book.overrides)
    share = need(shields.FRAMING, irc, item="cut_over_needs_tie")
    width = need(shields.FRAMING, irc, item="tie_width_min")
    most = shields.DEPTHS[cut.lumber] * share.number / 100
    code = "plate_cut_ok" if cut.inches <= most else "plate_cut"
    return at_most(
        "framing cut", cut.key, cut.inches, most, "in.", cells=[share, width],
        sentence=say(code, key=cut.key, kind=say(cut.kind), inches=cut.inches,
                     lumber=cut.lumber, most=most),
        caution=STRUCTURE, fixes=[say("plate_cut_fix", width=width.number)],
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
            say("engineered", key=cut.key), False, (cell,), margin=-1.0,
            caution=STRUCTURE, fixes=(say("engineered_fix"),),
        )  # fmt: skip
        return
    if cut.member == "plate":
        yield _plate(cut, book)
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
    most = limit.most_in
    fix = say("cut_keep", most=most) if most else say("cut_move")
    yield at_most(
        "framing cut", cut.key, cut.inches, limit.most_in, "in.", cells=limit.cells,
        sentence=say("cut", key=cut.key, kind=say(cut.kind), inches=cut.inches,
                     most=most, what=limit.what),
        caution=STRUCTURE, fixes=[fix],
    )  # fmt: skip
    if cut.kind == "hole" and cut.edge_in is not None:
        yield at_least(
            "hole edge", cut.key, cut.edge_in, edge.number, "in.", cells=[edge],
            sentence=say("hole_edge", key=cut.key, there=cut.edge_in,
                         least=edge.number),
            caution=STRUCTURE, fixes=[say("hole_edge_fix")],
        )  # fmt: skip
