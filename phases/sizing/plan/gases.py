"""Gas checks: every pipe by its table, 2 psi systems, fittings at the appliances."""

from collections.abc import Iterator
from functools import cache

from .. import gas
from ..cases.answer import GAS
from ..loads import gas_load
from ..outline.guess_gas import longest_length
from ..outline.kinds import NO_SEDIMENT_TRAP
from ..outline.model import Node, paths
from ..outline.site import Site
from ..said import say
from ..tables import Absent, Cell, rows
from .finding import Finding, at_most, held, note

_LOW = {
    "Schedule 40 metallic pipe": "402.4(2)",
    "CSST": "402.4(15)",
    "polyethylene plastic pipe": "402.4(21)",
}
_HIGH = {
    "Schedule 40 metallic pipe": "402.4(5)",
    "polyethylene plastic pipe": "402.4(22)",
}


def table_of(node: Node, *, site: Site, two_psi: bool) -> gas.Table:
    """The table of a pipe's material; raises Absent where the reference has none."""
    material = node.material or site.gas_material
    names = _HIGH if two_psi else _LOW
    if not two_psi and material == site.gas_material:
        return gas.table(site.gas_table)
    if material not in names:
        code = "no_gas_table_2_psi" if two_psi else "no_gas_table_for"
        raise Absent(say(code, material=material))
    return gas.table(names[material])


def gas_findings(root: Node, *, site: Site) -> Iterator[Finding]:
    """Every gas check of a tree: longest-length method, per pressure zone."""
    regulators = [node for node in root.walk() if node.role == "regulator"]
    if not regulators:
        yield from _low_pressure(root, site)
    else:
        yield from _two_pressures(root, regulators, site)
    yield from _fittings(root)


def _low_pressure(root: Node, site: Site) -> Iterator[Finding]:
    """Every pipe by the longest way of all, or of what it serves (branch length)."""
    longest = longest_length(root)
    remotest: dict[str, float] = {}
    for way in paths(root):
        length = sum(node.length_ft for node in way)
        for node in way:
            remotest[node.key] = max(remotest.get(node.key, 0.0), length)
    for node in _pipes(root):
        length = remotest[node.key] if site.gas_method == "branch" else longest
        yield from held("gas size", node.key, _pipe(node, length, site))
        yield from _plastic(node)


def _plastic(node: Node) -> Iterator[Finding]:
    """Polyethylene lies outdoors underground only: it never ends at an appliance."""
    if node.role != "outlet" or not node.material.startswith("polyethylene"):
        return
    yield Finding(
        "plastic gas pipe", node.key,
        say("plastic_gas", key=node.key), False, (_rule("where", "plastic"),),
        margin=-1.0, caution=GAS, fixes=(say("plastic_gas_fix"),),
    )  # fmt: skip


def _pipes(root: Node) -> list[Node]:
    return [node for node in root.walk() if node.role in ("section", "outlet")]


def _two_pressures(root: Node, regulators: list[Node], site: Site) -> Iterator[Finding]:
    """2 psi to the line regulators by their longest way, low pressure after each."""
    below = {node.key for reg in regulators for node in _pipes(reg)}
    high = [node for node in _pipes(root) if node.key not in below]
    length = _high_length(root)
    for node in high:
        yield from held("gas size", node.key, _pipe(node, length, site, two_psi=True))
    for regulator in regulators:
        yield from _low_pressure(regulator, site)


def _high_length(node: Node) -> float:
    """Longest way in feet from the meter to a regulator."""
    if node.role == "regulator":
        return 0.0
    return node.length_ft + max(
        (_high_length(child) for child in node.children), default=0.0
    )


def _pipe(
    node: Node, length: float, site: Site, *, two_psi: bool = False
) -> Iterator[Finding]:
    table = table_of(node, site=site, two_psi=two_psi)
    load = gas_load(node.leaves())
    cfh = load.units / site.heating_value
    size = next((s for s in table.sizes if s == node.size), None)
    if size is None:
        raise Absent(
            say("gas_size_not_listed", table=table.name, size=node.size or "—")
        )
    entry = gas.capacity(table, size, length)
    try:
        least = gas.least_size(table, cfh, length).size
        fix = say("gas_make", key=node.key, size=least)
    except Absent:
        fix = say("gas_second_line")
    fixes = [fix, say("gas_by_branch")]
    between = gas.between_rows(table, size, length)
    if between is not None and entry.capacity < cfh <= between:
        fixes.append(say("gas_between", cfh=between, length=length))
    yield at_most(
        "gas size", node.key, cfh, entry.capacity, "cfh",
        cells=(entry.cell, *load.cells),
        sentence=say("gas_size", key=node.key, cfh=cfh, size=size,
                     most=entry.capacity, row=entry.length_ft, table=table.name,
                     length=length),
        caution=GAS, fixes=fixes,
    )  # fmt: skip


def _fittings(root: Node) -> Iterator[Finding]:
    """A shutoff for every appliance, a sediment trap where the code asks one."""
    cells = [
        _rule("appliance valve", "shutoff"),
        _rule("not needed for", "sediment trap"),
    ]
    for outlet in root.leaves():
        trapped = outlet.fixture not in NO_SEDIMENT_TRAP
        code = "gas_shutoff_trap" if trapped else "gas_shutoff"
        yield note(
            "gas fittings", outlet.key, say(code, key=outlet.key),
            cells=cells, caution=GAS,
        )  # fmt: skip


@cache
def _rule(item: str, topic: str) -> Cell:
    row = next(
        row for row in rows(gas.RULES) if (row["item"], row["topic"]) == (item, topic)
    )
    return Cell(
        f"gas_rules/{row['topic']}/{row['item']}", row["code"], row["edition"],
        row["table_section"], row["item"], row["value"], row["unit"],
        row["provenance"], row["note"],
    )  # fmt: skip
