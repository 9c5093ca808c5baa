"""First guess of the gas: one trunk, an outlet for each appliance along it."""

from collections.abc import Iterable
from dataclasses import replace

from .. import gas
from ..loads import gas_load
from .kinds import KINDS
from .model import Node, paths
from .site import Placed, Site

# How far along the trunk each appliance usually stands, in feet (common practice).
ALONG_FT = {
    "tank_gas": 15.0, "tankless_gas": 15.0, "gas_furnace": 25.0, "gas_dryer": 35.0,
    "gas_fireplace": 45.0, "gas_cooktop": 50.0, "gas_range": 50.0, "gas_grill": 60.0,
}  # fmt: skip
DROP_FT = 10.0


def gas_tree(placed: Iterable[Placed], *, site: Site) -> Node | None:
    """Meter with a trunk and outlets, sized by the longest length of one table."""
    found = [
        (ALONG_FT[item.kind], item, number)
        for item in placed
        if KINDS[item.kind].appliance
        for number in range(1, item.quantity + 1)
    ]
    if not found:
        return None
    found.sort(key=lambda entry: (entry[0], entry[1].room, entry[2]))
    trunk: Node | None = None
    for at in range(len(found) - 1, -1, -1):
        along, item, number = found[at]
        before = found[at - 1][0] if at else 0.0
        suffix = "" if number == 1 else f"-{number}"
        outlet = Node(
            f"gas-{item.room}-{item.kind}{suffix}", "outlet", DROP_FT,
            material=site.gas_material, floor=item.floor, fixture=item.kind,
            room=item.room,
        )  # fmt: skip
        parts = (outlet,) if trunk is None else (outlet, trunk)
        # Two appliances at one place still have a foot of trunk between them.
        trunk = Node(
            f"gas-trunk-{at + 1}", "section", max(along - before, 1.0),
            material=site.gas_material, children=parts,
        )  # fmt: skip
    assert trunk is not None
    return sized(Node("gas-meter", "meter", children=(trunk,)), site=site)


def longest_length(root: Node) -> float:
    """Feet from the meter to the most remote outlet."""
    return max(sum(node.length_ft for node in way) for way in paths(root))


def sized(root: Node, *, site: Site) -> Node:
    """The tree with every pipe's size by the longest-length method."""
    table = gas.table(site.gas_table)
    length = longest_length(root)

    def grow(node: Node) -> Node:
        children = tuple(grow(child) for child in node.children)
        if node.role not in ("section", "outlet"):
            return replace(node, children=children)
        cfh = gas_load(node.leaves()).units / site.heating_value
        size = gas.least_size(table, cfh, length).size
        return replace(node, size=size, children=children)

    return grow(root)
