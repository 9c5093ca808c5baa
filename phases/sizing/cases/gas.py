"""Gas checks of the `size` command: longest and branch length, hybrid, additions."""

from collections.abc import Mapping
from typing import Any

from .. import gas
from ..nominal import tidy
from ..tables import Absent, Cell
from .answer import GAS, Answer
from .gas_inputs import (
    available,
    flows_of,
    material_of,
    multiplier,
    sections_of,
    shown_size,
    size_key,
    table_of,
)
from .gas_parts import LONE, Part, load_of, parts_of, shown_loads
from .inputs import BadInput, Inputs, check_number, each


def _sized(
    given: Inputs, table: gas.Table, loads: Mapping[str, float],
    lengths: Mapping[str, float],
) -> tuple[dict[str, Any], tuple[Cell, ...]]:  # fmt: skip
    """Size of every part by its load and length, with the cells."""
    factor, cells = multiplier(given, table)
    on_hand = available(given, table)
    sizes: dict[str, str | int] = {}
    capacities: dict[str, float | int] = {}
    used: list[Cell] = list(cells)
    for name, load in loads.items():
        entry = gas.least_size(
            table, load, lengths[name], multiplier=factor, available=on_hand
        )
        sizes[name] = shown_size(entry.size)
        capacities[name] = tidy(entry.capacity * factor, 1)
        used.append(entry.cell)
    unit = "cfh" if table.unit == "cfh" else "thousand_btu_h"
    result = {
        unit: {name: tidy(load, 2) for name, load in loads.items()},
        size_key(table): sizes,
        f"capacity_{unit}": capacities,
    }
    return result, tuple(used)


def gas_longest_length(given: Inputs) -> Answer:
    """Longest-length method: one length for every section (IFGC 402.4.1)."""
    table = table_of(given)
    if parts := _parts(given, table):
        loads, own = shown_loads(parts)
        given_length = given.has("longest_length_ft")
        length = (
            given.length("longest_length_ft") if given_length else max(own.values())
        )
    else:
        flows = flows_of(given, table)
        sections = sections_of(given, flows)
        length = given.length("longest_length_ft", "length_ft")
        loads = flows | {
            name: sum(flows[outlet] for outlet in beyond)
            for name, beyond in sections.items()
        }
    result, cells = _sized(given, table, loads, dict.fromkeys(loads, length))
    row = gas.row_length(table, length)
    limit = {"table": table.name, "row_ft": tidy(row)}
    return Answer(result, limit, cells, caution=GAS)


def gas_branch_length(given: Inputs) -> Answer:
    """Branch-length method (IFGC 402.4.2).

    A section is sized by the distance from the point of delivery to the most remote
    outlet beyond it: the longest run by the longest length, a branch by its own.
    """
    table = table_of(given)
    if parts := _parts(given, table):
        return _branches(given, table, *shown_loads(parts))
    flows = flows_of(given, table)
    sections = sections_of(given, flows)
    key, values = given.mapping(
        "outlet_length_ft", "outlet_lengths_ft", "outlets_length_ft",
        "outlets_ft", "lengths_ft", "length_ft", "branch_length_ft",
        "branch_lengths_ft", "distances_ft", "distance_ft",
    )  # fmt: skip
    lengths = each(values, key, lambda v, k: check_number(v, k, over=0))
    longest = max(lengths.values())
    if given.has("longest_length_ft"):
        longest = max(longest, given.length("longest_length_ft"))
    for outlet in flows:
        # An outlet on the longest run needs no length of its own.
        if outlet not in lengths and not given.has("longest_length_ft"):
            raise BadInput(f"{key}.{outlet}", f"{key}.{outlet} is missing.")
        lengths.setdefault(outlet, longest)
    loads, runs = dict(flows), {outlet: lengths[outlet] for outlet in flows}
    for name, beyond in sections.items():
        loads[name] = sum(flows[outlet] for outlet in beyond)
        remotest = max(lengths[outlet] for outlet in beyond)
        runs[name] = lengths.get(name, remotest)
        if len(beyond) == len(flows):
            runs[name] = longest
    return _branches(given, table, loads, runs)


def _parts(given: Inputs, table: gas.Table) -> tuple[Part, ...]:
    """Parts that bring their own length; none where outlets and lists do."""
    outlets = given.has("outlets_btu_h", "appliances_btu_h", "outlets_cfh", "loads_cfh")
    return parts_of(given, table, flows_of(given, table) if outlets else {})


def _branches(
    given: Inputs, table: gas.Table, loads: Mapping[str, float],
    runs: Mapping[str, float],
) -> Answer:  # fmt: skip
    """Every part by its own run."""
    given.has("longest_length_ft")
    result, cells = _sized(given, table, loads, runs)
    result["row_ft"] = {
        name: tidy(gas.row_length(table, run)) for name, run in runs.items()
    }
    if list(loads) == [LONE]:
        # One branch without a name: its figures stand alone.
        result = {key: value[LONE] for key, value in result.items()}
    limit = {"table": table.name, "longest_length_ft": tidy(max(runs.values()))}
    return Answer(result, limit, cells, caution=GAS)


def gas_added_branch(given: Inputs) -> Answer:
    """A branch added to a system: its size by its own length."""
    table = table_of(given)
    key, value = given.mapping("added", "branch")
    added = Inputs(value, prefix=f"{key}.")
    name = added.text("section", "name", default="added")
    load = load_of(added, given, table)
    length = added.length("length_ft", "branch_length_ft")
    added.refuse_other_units()
    result, cells = _sized(given, table, {name: load}, {name: length})
    limit = {"table": table.name, "row_ft": tidy(gas.row_length(table, length))}
    notes = ("Recheck every section upstream for the added load.",)
    return Answer(result, limit, cells, caution=GAS, notes=notes)


def gas_hybrid(given: Inputs) -> Answer:
    """2 psi to a line regulator, low pressure after it (IFGC 402.4.3)."""
    high, low = given.inside("high_side"), given.inside("low_side")
    high_table = gas.table(high.text("table"))
    low_table = gas.table(low.text("table"))
    material_of(given.text("material"))
    loads: dict[str, float] = {}
    sized: dict[str, str | int] = {}
    cells: list[Cell] = []
    capacities: dict[str, float | int] = {}
    for side, table in ((high, high_table), (low, low_table)):
        factor, extra = multiplier(given, table)
        cells.extend(extra)
        on_hand = available(given, table)
        for key in side.values:
            if not key.startswith("section_"):
                continue
            part = side.inside(key)
            name = key.removeprefix("section_")
            loads[name] = load_of(part, given, table)
            entry = gas.least_size(
                table, loads[name], part.length("length_ft"),
                multiplier=factor, available=on_hand,
            )  # fmt: skip
            part.refuse_other_units()
            sized[name] = shown_size(entry.size)
            capacities[f"capacity_of_{name}_cfh"] = tidy(entry.capacity * factor)
            cells.append(entry.cell)
    total = sum(loads[n] for n in loads if f"section_{n}" in low.values)
    loss = given.number("regulator_loss_in_wc", default=0.0)
    result = {"total_cfh": tidy(total), size_key(high_table): sized, **capacities,
              "regulator_loss_passes": loss <= 0.75 * 27.7}  # fmt: skip
    limit = {"regulator_loss_in_wc": tidy(0.75 * 27.7, 2)}
    return Answer(result, limit, tuple(cells), caution=GAS)


def gas_summation(given: Inputs) -> Answer:
    """Loss per foot of a trunk at the flows that bracket its load, every 25 cfh.

    Schedule 40 below 1.5 psi only: there the equation reproduces the code tables.
    """
    allowed = given.length("allowed_drop_in_wc")
    given.number("supply_in_wc", default=7.0, over=0.0)
    trunk = given.inside("trunk")
    if material_of(trunk.text("material")) != "Schedule 40 metallic pipe":
        raise Absent("The equation reproduces the Schedule 40 tables only.")
    size = trunk.size("size_in")
    length = trunk.length("length_ft")
    load = trunk.length("load_cfh")
    trunk.refuse_other_units()
    entries = gas.table("402.4(2)").entries
    entry = next((e for e in entries if gas.size_order(e.size) == size), None)
    if entry is None or entry.bore_in is None:
        raise Absent(f"No Schedule 40 bore of {size:g} in. in the reference.")
    below = load // 25 * 25
    flows = (below, below + 25) if load != below else (load,)
    bracket = {
        f"at_{flow:g}_cfh": round(gas.loss_in_wc_per_ft(entry.bore_in, flow), 3)
        for flow in flows
        if flow
    }
    per_ft = gas.loss_in_wc_per_ft(entry.bore_in, load)
    result = {
        "trunk_loss_in_wc_per_ft_bracket": bracket,
        "trunk_loss_in_wc_per_ft": tidy(per_ft, 4),
        "trunk_loss_in_wc": tidy(per_ft * length, 2),
        "passes": per_ft * length <= allowed,
    }
    source = "IFGC A.4 equation, the 2313 form, which reproduces 402.4(1) to (4)"
    return Answer(result, {"drop_in_wc": allowed}, (entry.cell,), source, GAS)


CHECKS = {
    "gas_longest_length": gas_longest_length,
    "gas_branch_length": gas_branch_length,
    "gas_added_branch": gas_added_branch,
    "gas_hybrid": gas_hybrid,
    "gas_summation": gas_summation,
}
