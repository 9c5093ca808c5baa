"""Water checks of the `size` command."""

from typing import Any

from .. import water
from ..nominal import nominal, tidy
from ..tables import Cell
from .answer import PRESSURE, Answer
from .inputs import BadInput, Inputs, check_number, stem
from .water_table import unit_row, water_size_table

_OTHER_PRESSURES = (
    "_kpa", "_mpa", "_pa", "_bar", "_mbar", "_psf", "_in_hg", "_in_wc", "_loss_ft",
)  # fmt: skip


def _losses(given: Inputs, *skip: str) -> dict[str, float]:
    """Every other input in psi: each is a loss between the main and the fixture.

    A loss in another unit of pressure is told, never left out of the sum.
    """
    for key in given.values:
        if str(key).lower().endswith(_OTHER_PRESSURES):
            raise BadInput(key, f"{key}: give it in psi, as {stem(key)}_psi.")
    return {
        key: check_number(value, key)
        for key, value in given.values.items()
        if key.endswith("_psi") and key not in skip and given.has(key)
        and not isinstance(value, list)
    }  # fmt: skip


def water_segmented_loss(given: Inputs) -> Answer:
    """Main pressure less every loss is what the pipes may use (IPC E103.3)."""
    main = given.length("main_psi", "static_main_psi", "minimum_main_psi")
    need = given.number("highest_fixture_psi", "residual_psi")
    height = given.number("height_ft", least=-1000.0)
    per_ft = given.length("psi_per_ft", default=0.433)
    static = height * per_ft
    named = ("main_psi", "static_main_psi", "minimum_main_psi",
             "highest_fixture_psi", "residual_psi", "static_psi")  # fmt: skip
    losses = _losses(given, *named)
    total = need + static + sum(losses.values())
    available = main - total
    result: dict[str, Any] = {
        "static_psi": tidy(static),
        "total_losses_psi": tidy(total),
        "available_for_pipe_psi": tidy(available),
    }
    passes = available >= 0
    for side in ("cold", "hot"):
        key = f"pipe_losses_{side}_psi"
        if not given.has(key):
            continue
        _, listed = given.items(key)
        used = sum(check_number(v, f"{key}[{at}]") for at, v in enumerate(listed))
        result[f"sum_pipe_{side}_psi"] = tidy(used)
        name = "difference_psi" if side == "cold" else "difference_hot_psi"
        result[name] = tidy(available - used)
        passes = passes and used <= available + 1e-9
    result["passes"] = passes
    return Answer(
        result, {"available_for_pipe_psi": tidy(available)},
        source="Method of IPC E103.3 and IRC AP103.3", caution=PRESSURE,
    )  # fmt: skip


def available_pressure(given: Inputs) -> Answer:
    """Static less meter, residual and height (UPC A 104), with the units summed."""
    static = given.length("static_psi", "main_psi")
    if given.has("regulator_setting_psi"):
        factor = given.length("regulator_factor", default=1.0)
        static = min(static, given.length("regulator_setting_psi") * factor)
    height = given.number("height_ft", least=-1000.0, default=0.0)
    per_ft = given.length("psi_per_ft", default=0.433)
    losses = _losses(given, "static_psi", "main_psi", "regulator_setting_psi")
    rise = height * per_ft
    available = static - rise - sum(losses.values())
    result: dict[str, Any] = {
        "elevation_psi": tidy(rise),
        "available_psi": tidy(available),
        "passes": available >= 0,
    }
    cells: list[Cell] = []
    if given.has("wsfu"):
        total = 0.0
        key, values = given.mapping("wsfu")
        for name, entry in values.items():
            total += _sheet_units(name, entry, f"{key}.{name}", cells)
        result["wsfu_total"] = tidy(total)
    if given.has("developed_length_ft", "length_ft"):
        length = given.length("developed_length_ft", "length_ft")
        result["available_psi_per_100ft"] = tidy(100 * available / length)
    return Answer(
        result, None, tuple(cells),
        "Method of UPC A 104: static less meter, residual and height", PRESSURE,
    )  # fmt: skip


def _sheet_units(name: str, entry: object, where: str, cells: list[Cell]) -> float:
    """Count times units of `[count, each]`; a lone count reads its units in 610.3."""
    if isinstance(entry, list):
        if len(entry) != 2:
            raise BadInput(where, f"{where}: give [count, units each].")
        return check_number(entry[0], f"{where}[0]") * check_number(
            entry[1], f"{where}[1]"
        )
    _, cell = unit_row(name, where)
    cells.append(cell)
    return check_number(entry, where) * cell.number


def static_head(given: Inputs) -> Answer:
    """psi that height costs (0.433 a foot; 0.5 with UPC Table 610.4)."""
    height = given.number(
        "height_ft", "head_ft", "rise_ft", "elevation_ft", "elevation_gain_ft",
        least=-1000.0,
    )  # fmt: skip
    book = given.book(default="IPC")
    cell = water.head_per_ft(book.code)
    cells: tuple[Cell, ...] = (cell,)
    per_ft = cell.number
    if given.has("psi_per_ft"):
        per_ft, cells = given.length("psi_per_ft"), ()
    loss = tidy(height * per_ft)
    result: dict[str, Any] = {
        "psi": loss, "static_psi": loss, "static_head_psi": loss, "loss_psi": loss,
        "elevation_psi": loss,
    }  # fmt: skip
    names = ("main_psi", "street_psi", "supply_psi", "pressure_psi")
    if given.has(*names):
        result["available_psi"] = tidy(given.length(*names) - height * per_ft)
    source = "" if cells else "psi_per_ft as given"
    return Answer(result, None, cells, source, PRESSURE)


def demand(given: Inputs) -> Answer:
    """Probable demand in gpm of a book's own curve."""
    book = given.book()
    units = given.number("wsfu", "wsfu_total", "total_wsfu")
    flow, cells = water.demand_gpm(book.code, units)
    return Answer({"gpm": tidy(flow), "demand_gpm": tidy(flow)}, None, cells)


def friction_loss(given: Inputs) -> Answer:
    """Hazen-Williams loss and speed in a pipe of a material or of a bore."""
    flow = given.length("flow_gpm", "gpm")
    cells: tuple[Cell, ...] = ()
    if given.has("bore_in", "inner_diameter_in"):
        bore, c = given.length("bore_in", "inner_diameter_in"), 150.0
    else:
        size = nominal(given.size("size_in", "pipe_in"))
        bore, c, cell = water.pipe(given.text("material"), size)
        cells = (cell,)
    c = given.length("c", "hazen_williams_C", default=c)
    loss = water.friction_psi_per_100ft(flow, bore, c)
    result: dict[str, Any] = {
        "psi_per_100ft": tidy(loss, 3),
        "velocity_fps": tidy(water.velocity_fps(flow, bore), 2),
    }
    if given.has("length_ft"):
        result["loss_psi"] = tidy(loss * given.length("length_ft") / 100, 3)
    return Answer(result, None, cells, "Hazen-Williams", PRESSURE)


CHECKS = {
    "water_segmented_loss": water_segmented_loss,
    "water_size_table": water_size_table,
    "available_pressure": available_pressure,
    "static_head": static_head,
    "water_demand": demand,
    "friction_loss": friction_loss,
}
