"""Least flow and pressure at a fixture (IPC 604.3, IRC P2903.1, UPC 608.1)."""

from dataclasses import dataclass
from functools import cache

from . import water
from .tables import Cell

# Rows of the flow and pressure tables by fixture kind.
_FLOW_ROWS = {
    "closet": "water closet, tank, close coupled",
    "lavatory": "lavatory, private",
    "lavatory_double": "lavatory, private",
    "tub": "bathtub, balanced/thermostatic valve",
    "tub_shower": "bathtub, balanced/thermostatic valve",
    "soaking_tub": "bathtub, balanced/thermostatic valve",
    "shower": "shower, balanced/thermostatic valve",
    "bidet": "bidet, thermostatic valve",
    "kitchen_sink": "sink, residential",
    "bar_sink": "sink, residential",
    "dishwasher": "dishwasher, residential",
    "laundry_sink": "laundry tray",
    "washer_box": "laundry tray",
    "hose_bibb": "sillcock or hose bibb",
}


@dataclass(frozen=True, slots=True)
class Need:
    """Flow and pressure a fixture must get."""

    gpm: float
    psi: float
    cells: tuple[Cell, ...]


@cache
def fixture_need(code: str, kind: str) -> Need | None:
    """Least flow and pressure of a fixture kind (IPC 604.3, IRC P2903.1, UPC 608.1)."""
    row = _FLOW_ROWS.get(kind)
    if row is None:
        return None
    table = "IPC" if code == "UPC" else code
    flow = water.rule(row, "min flow", table)
    if code == "UPC":
        pressure = water.rule("residual pressure at the highest outlet", "min", "UPC")
    else:
        pressure = water.rule(row, "min flow pressure", table)
    return Need(flow.number, pressure.number, (flow, pressure))
