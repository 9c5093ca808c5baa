"""Hot water checks of the `size` command."""

from typing import Any

from .. import heat
from ..nominal import nominal, tidy
from ..tables import Cell
from .answer import SCALD, Answer
from .inputs import BadInput, Inputs, check_number


def tankless_flow(given: Inputs) -> Answer:
    """Flow of a tankless heater at a rise, or the input a flow needs."""
    output = given.length("output_btu_h") if given.has("output_btu_h") else None
    # What leaves the heater has its losses behind it.
    efficiency = 1.0 if output else _efficiency(given)
    rises = ("rise_f", "temperature_rise_f", "temp_rise_f", "delta_t_f")
    if given.has(*rises):
        rise = given.length(*rises)
    else:
        given.require_one_of(rises, ("inlet_f", "cold_f", "incoming_f"))
        inlet = given.number("inlet_f", "cold_f", "incoming_f", least=-50.0)
        outlet = given.number("outlet_f", "hot_f", "setpoint_f")
        rise = outlet - inlet
        if rise <= 0:
            key = given.key_of("outlet_f", "hot_f", "setpoint_f")
            raise BadInput(key, f"{key}: give more than the inlet, {inlet:g} F.")
    cell = heat.heat_constant()
    result: dict[str, Any] = {}
    wanted = (
        given.length("flow_gpm", "gpm", "needed_gpm", "demand_gpm")
        if given.has("flow_gpm", "gpm", "needed_gpm", "demand_gpm") else None
    )  # fmt: skip
    if wanted is None or output or given.has("input_btu_h"):
        power = output or given.length("input_btu_h")
        flow = heat.flow_gpm(power, efficiency=efficiency, rise_f=rise)
        result |= {"flow_gpm": tidy(flow), "gpm": tidy(flow)}
        if wanted is not None:
            result["passes"] = flow >= wanted - 1e-9
    if wanted is not None:
        needed = heat.input_needed_btu_h(wanted, efficiency=efficiency, rise_f=rise)
        result["input_needed_btu_h"] = round(needed, -2)
        if "flow_gpm" not in result:
            result["input_btu_h"] = round(needed, -2)
    return Answer(result, None, (cell,), caution=SCALD)


def _efficiency(given: Inputs) -> float:
    """A share of one; a per cent figure from 2 to 100 is taken as such."""
    if given.has("efficiency_pct"):
        return given.number("efficiency_pct", over=0.0, most=100.0) / 100
    efficiency = given.length("efficiency", "thermal_efficiency")
    if 2 <= efficiency <= 100:
        return efficiency / 100
    if efficiency > 1:
        key = given.key_of("efficiency", "thermal_efficiency")
        raise BadInput(key, f"{key}: give a share such as 0.82.")
    return efficiency


def peak_hour_demand(given: Inputs) -> Answer:
    """Gallons of the busiest hour: uses times gallons, and the rating to look for."""
    key, values = given.mapping("uses")
    edition = given.text("edition", "worksheet", default="older")
    table = heat.gallons_per_use("recent" if edition == "recent" else "older")
    total = 0.0
    cells: list[Cell] = []
    for name, entry in values.items():
        where = f"{key}.{name}"
        if isinstance(entry, list):
            if len(entry) != 2:
                raise BadInput(where, f"{where}: give [uses, gallons each].")
            total += check_number(entry[0], f"{where}[0]") * check_number(
                entry[1], f"{where}[1]"
            )
            continue
        cell = table.get(name) or table.get(f"hair {name}")
        if cell is None:
            known = ", ".join(table)
            raise BadInput(where, f"{where}: give [uses, gallons], or one of {known}.")
        cells.append(cell)
        total += check_number(entry, where) * cell.number
    result = {
        "peak_hour_gal": tidy(total),
        "first_hour_rating_gal_range": [tidy(max(total - 2, 0)), tidy(total + 2)],
    }
    limit = {"first_hour_rating_gal": tidy(total)}
    return Answer(
        result, limit, tuple(cells),
        "DOE peak-hour worksheet: a first-hour rating within 1 to 2 gal", SCALD,
    )  # fmt: skip


def pipe_volume(given: Inputs) -> Answer:
    """Longest pipe that holds no more than a limit; volume and wait of a length."""
    cells: tuple[Cell, ...] = ()
    if given.has("volume_oz_per_ft"):
        per_ft = given.length("volume_oz_per_ft")
        given.has("material", "size_in")
    else:
        cell = heat.volume_oz_per_ft(
            given.text("material"), nominal(given.size("size_in"))
        )
        per_ft, cells = cell.number, (cell,)
    result: dict[str, Any] = {}
    limit = None
    length = given.length("length_ft") if given.has("length_ft") else None
    if length is None or given.has("limit_gal", "limit_oz"):
        ounces = (
            given.length("limit_oz") if given.has("limit_oz")
            else given.length("limit_gal") * heat.OZ_PER_GAL
        )  # fmt: skip
        result["longest_ft"] = tidy(ounces / per_ft)
        limit = {"volume_oz": tidy(ounces)}
        if length is not None:
            result["passes"] = length * per_ft <= ounces + 1e-9
    if length is not None:
        gallons = length * per_ft / heat.OZ_PER_GAL
        result |= {
            "volume_oz": tidy(length * per_ft),
            "volume_gal": tidy(gallons, 4),
        }
        if given.has("flow_gpm"):
            flow = given.length("flow_gpm")
            result["wait_s"] = tidy(heat.wait_s(gallons, flow), 1)
    return Answer(result, limit, cells, "Volume is length times fill.", SCALD)


CHECKS = {
    "tankless_flow": tankless_flow,
    "peak_hour_demand": peak_hour_demand,
    "pipe_volume": pipe_volume,
}
