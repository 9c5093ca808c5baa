"""From an outline to material lines, by stated rules."""

import math
from collections.abc import Mapping

from . import shields, supports
from .materials import Line, Tally
from .nominal import inches
from .outline.kinds import BATHING_KINDS, KINDS, NO_SEDIMENT_TRAP
from .outline.model import POINTS, Node, Outline
from .outline.site import Site, phase_of
from .plan.house import IN_WALL
from .said import say
from .tables import Absent, Book

# Studs stand 16 in. apart (common practice).
STUD_SPACING_FT = 16 / 12
_VALVE_FIXTURES = {"washer_box": "washer box", "ice_maker": "ice-maker box",
                   "refrigerator_water": "ice-maker box",
                   "hose_bibb": "hose bibb"}  # fmt: skip


def material_list(
    outline: Outline, *, book: Book, site: Site,
    waste: Mapping[str, float] | None = None,
) -> tuple[Line, ...]:  # fmt: skip
    """Every line of an outline: pipe, fittings, valves, boxes, plates, supports.

    waste gives per cent by item name where the default is not wanted.
    """
    tally = Tally(waste)
    if outline.drain is not None:
        for node in outline.drain.walk():
            _drain(node, tally, book, site)
    if outline.water is not None:
        for node in outline.water.walk():
            _water(node, tally, book, site)
        _water_house(tally, site)
    if outline.gas is not None:
        for node in outline.gas.walk():
            _gas(node, tally, book)
    for end in outline.terminals:
        tally.add("topout", "roof flashing", end.size, 1, "pc",
                  rule="one for each vent through the roof", of="ends")  # fmt: skip
    return tally.lines()


def _hang(node: Node, phase: str, tally: Tally, book: Book) -> None:
    """Supports of a pipe that is not buried."""
    if phase == "underground" or not node.size:
        return
    try:
        cell = supports.spacing(book, node.material, node.size)
    except Absent:
        return
    number = supports.count(node.length_ft, cell.number)
    tally.add(
        phase, f"support of {node.material}", node.size, number, "pc",
        rule=say("rule_hang", feet=cell.number, label=cell.label),
        of="pipes", basis="estimated",
    )  # fmt: skip


def _drain(node: Node, tally: Tally, book: Book, site: Site) -> None:
    phase = phase_of("drain", node, site)
    tally.add(phase, f"{node.material} drain pipe", node.size, node.length_ft, "ft",
              rule="length of every drain", of="pipes")  # fmt: skip
    _hang(node, phase, tally, book)
    for child in node.children:
        tally.add(phase, "drain tee or wye", node.size, 1, "pc", of="branches",
                  rule="one where a drain joins one", basis="estimated")  # fmt: skip
        if child.size and node.size and inches(child.size) != inches(node.size):
            tally.add(phase, f"drain reducer to {child.size}", node.size, 1, "pc",
                      rule="one where a smaller drain joins",
                      of="joints", basis="estimated")  # fmt: skip
    tally.add(phase, "drain bend", node.size, len(node.turns), "pc",
              rule="one for each turn in the outline", of="pipes")  # fmt: skip
    tally.add(phase, "cleanout", node.size, node.cleanouts, "pc",
              rule="as placed in the outline", of="pipes")  # fmt: skip
    if node.role == "arm":
        _arm(node, phase, tally, book)


def _arm(node: Node, phase: str, tally: Tally, book: Book) -> None:
    if node.fixture == "closet":
        tally.add("trim", "closet flange and ring", node.size, 1, "pc",
                  rule="one for each closet", of="closets")  # fmt: skip
    else:
        bowls = KINDS[node.fixture].times
        below = phase == "underground" or node.fixture in BATHING_KINDS
        tally.add(phase if below else "trim", "P-trap", node.size, bowls, "pc",
                  rule="one for each trapped fixture; with the drain under a tub or "
                  "shower, at trim under a sink", of="fixtures")  # fmt: skip
    tally.add(phase, "drain bend", node.size, 1, "pc", of="arms",
              rule="one quarter bend for each arm", basis="estimated")  # fmt: skip
    if node.vent in ("individual", "common", "stack", "island") and node.vent_size:
        tally.add("rough", f"{node.material} vent pipe", node.vent_size, node.vent_ft,
                  "ft", rule="every vent of its own to its end; vents that join above "
                  "save pipe", of="vents", basis="estimated")  # fmt: skip
        tally.add("rough", "vent bend", node.vent_size, 2, "pc",
                  rule="two for each vent", of="vents", basis="estimated")  # fmt: skip
    if node.fixture in IN_WALL and node.stud in shields.DEPTHS and node.size:
        plate = shields.plate_needed(book, inches(node.size), node.material, node.stud)
        studs = math.ceil(node.length_ft / STUD_SPACING_FT)
        tally.add("topout", "shield plate", "", 2 * studs * plate.needed, "pc",
                  rule=say("rule_plate", inches=plate.trigger_in), of="arms",
                  basis="estimated")  # fmt: skip


def _water(node: Node, tally: Tally, book: Book, site: Site) -> None:
    phase = phase_of("water", node, site)
    if node.role not in POINTS:
        tally.add(phase, f"{node.material} water pipe", node.size, node.length_ft, "ft",
                  rule="length of every water pipe", of="pipes")  # fmt: skip
        _hang(node, phase, tally, book)
    if len(node.children) > 1 and node.role != "manifold":
        tally.add(phase, "water tee", node.size or "3/4", len(node.children) - 1, "pc",
                  rule="one less than the pipes that leave", of="pipes",
                  basis="estimated")  # fmt: skip
    if node.role == "manifold":
        tally.add(phase, "manifold outlet", node.size, len(node.children), "pc",
                  of="manifolds",
                  rule="one outlet of a manifold for each run")  # fmt: skip
    if node.role == "run":
        tally.add(phase, "water elbow", node.size, 2, "pc", rule="two for each run",
                  of="runs", basis="estimated")  # fmt: skip
        _run_end(node, tally)


def _run_end(node: Node, tally: Tally) -> None:
    box = _VALVE_FIXTURES.get(node.fixture)
    if box:
        # A washer box has a hot and a cold run; the cold one counts it.
        if node.key.endswith("-cold"):
            tally.add("topout", box, node.size, 1, "pc",
                      rule="one for each in the plan", of="fixtures")  # fmt: skip
        return
    if node.fixture in BATHING_KINDS:
        if node.key.endswith("-hot"):
            tally.add("topout", "tub or shower valve body", node.size, 1, "pc",
                      rule="one for each tub or shower", of="fixtures")  # fmt: skip
        return
    bowls = KINDS[node.fixture].times
    if KINDS[node.fixture].hot or KINDS[node.fixture].cold:
        tally.add("topout", "stub-out", node.size, bowls, "pc", of="runs",
                  rule="one for each run, two for two bowls")  # fmt: skip
        tally.add("trim", "stop valve", node.size, bowls, "pc",
                  rule="one for each stub-out", of="runs")  # fmt: skip


def _water_house(tally: Tally, site: Site) -> None:
    tally.add("topout", "main shutoff valve", "", 1, "pc",
              rule="one for the house", of="houses")  # fmt: skip
    if site.static_psi > 80:
        tally.add("topout", "pressure regulator", "", 1, "pc",
                  rule="static pressure above 80 psi", of="houses")  # fmt: skip


def _gas(node: Node, tally: Tally, book: Book) -> None:
    if node.role not in POINTS:
        material = node.material.removesuffix(" pipe")
        tally.add("topout", f"{material} gas pipe", node.size, node.length_ft, "ft",
                  rule="length of every gas pipe", of="pipes")  # fmt: skip
        _hang(node, "topout", tally, book)
    if len(node.children) > 1:
        tally.add("topout", "gas tee", node.size, len(node.children) - 1, "pc",
                  rule="one less than the pipes that leave", of="pipes",
                  basis="estimated")  # fmt: skip
    if node.role != "outlet":
        return
    tally.add("topout", "gas elbow", node.size, 2, "pc", rule="two for each outlet",
              of="outlets", basis="estimated")  # fmt: skip
    tally.add("trim", "gas shutoff valve", node.size, 1, "pc",
              rule="one for each appliance", of="outlets")  # fmt: skip
    tally.add("trim", "gas connector", node.size, 1, "pc",
              rule="one for each appliance", of="outlets")  # fmt: skip
    if node.fixture not in NO_SEDIMENT_TRAP:
        tally.add("trim", "sediment trap", node.size, 1, "pc",
                  rule="heaters and furnaces (IFGC 408.4)", of="outlets")  # fmt: skip
