"""Water demand and pressure: fixture units, gpm, friction, velocity, losses.

IPC 604 and appendix E, IRC P2903 and AP, UPC 610. A unit table of one book is used
only with the curve and sizing table of the same book.
"""

from dataclasses import dataclass
from functools import cache

from .nominal import inches
from .said import say
from .tables import Absent, Book, Cell, find, rows

UNITS = "supply/wsfu"
CURVE = "supply/wsfu_to_gpm"
RULES = "supply/fixture_and_pressure_rules"
PIPES = "supply/pipe_dimensions"
METERS = "supply/meter_and_fitting_losses"
# Words of the three unit tables for our fixture keys; the first word found is used.
_NAMES: dict[str, tuple[str, ...]] = {
    "bar_sink": ("bar sink", "kitchen sink, private", "kitchen sink"),
    "bathtub": (
        "bathtub, private", "bathtub (with or without shower head)",
        "bathtub or combination",
    ),
    "bidet": ("bidet, private", "bidet"),
    "clothes_washer_standpipe": ("washing machine 8 lb, private", "clothes washer"),
    "dishwasher_independent": ("dishwashing machine, private", "dishwasher"),
    "hose_bibb": ("hose bibb (sillcock)", "hose bibb, first"),
    "hose_bibb_added": ("hose bibb (sillcock)", "hose bibb, each additional"),
    "kitchen_sink": ("kitchen sink, private", "kitchen sink"),
    "laundry_tub": ("laundry trays (1 to 3), private", "laundry tub", "laundry sink"),
    "lavatory": ("lavatory, private", "lavatory"),
    "service_sink": ("service sink, offices", "mop or service basin, private"),
    "shower_le_5_7gpm": ("shower head, private", "shower stall", "shower, each head"),
    "water_closet_private_1_6": (
        "water closet, private, flush tank", "water closet (tank type)",
        "water closet, 1.6 gpf gravity tank",
    ),
}  # fmt: skip
_SIDE_RULE = "hot or cold alone, fixture with both"
COLD_ONLY = frozenset(
    {"water_closet_private_1_6", "hose_bibb", "hose_bibb_added", "ice_maker"}
)
HOT_ONLY = frozenset({"dishwasher_independent"})


@dataclass(frozen=True, slots=True)
class Units:
    """Water supply fixture units of one fixture: cold, hot, total, and the cell."""

    cold: float
    hot: float
    total: float
    cell: Cell
    side_rule: Cell | None = None

    def cells(self, side: str) -> tuple[Cell, ...]:
        """What decides a side: the row and, for UPC, the three-quarters rule."""
        share = getattr(self, side)
        if self.side_rule is not None and 0 < share < self.total:
            return (self.cell, self.side_rule)
        return (self.cell,)


@cache
def units(book: Book, key: str) -> Units:
    """Fixture units (IPC E103.3(2), IRC P2903.6, UPC 610.3).

    The IPC lists no hose bibb, the IRC no bidet: the row of the other stands in. UPC
    gives totals: each side of a fixture with both takes three quarters.
    """
    for code in (book.code, "IRC", "IPC"):
        asked = Book(code, book.edition, book.overrides)
        for name in _NAMES.get(key, ()):
            total = find(UNITS, asked, column="total", fixture=name)
            if total is None:
                continue
            cold = find(UNITS, asked, column="cold", fixture=name)
            hot = find(UNITS, asked, column="hot", fixture=name)
            if code != "UPC":
                return Units(
                    cold.number if cold else 0.0,
                    hot.number if hot else 0.0,
                    total.number,
                    total,
                )
            side = 0.75 * total.number
            return Units(
                _side(key, HOT_ONLY, COLD_ONLY, total.number, side),
                _side(key, COLD_ONLY, HOT_ONLY, total.number, side),
                total.number,
                total,
                _side_rule(),
            )
    raise Absent(say("no_wsfu", book=book.code, key=key))


@cache
def _side_rule() -> Cell:
    """UPC 610.3: three quarters of the total on each side of a fixture with both."""
    row = next(row for row in rows(UNITS) if row["fixture"] == _SIDE_RULE)
    return Cell(
        f"wsfu/UPC/{_SIDE_RULE}", row["code"], row["edition"], row["table_section"],
        _SIDE_RULE, row["cold"], row["unit"], row["provenance"], row["note"],
    )  # fmt: skip


def _side(
    key: str, none: frozenset[str], whole: frozenset[str], total: float, part: float
) -> float:
    if key in none:
        return 0.0
    return total if key in whole else part


@cache
def curve(code: str) -> tuple[tuple[float, float, Cell], ...]:
    """Points (units, gpm, cell) of a book's flush-tank demand curve, ascending."""
    points = []
    for row in rows(CURVE):
        if row["system"] != "flush tank":
            continue
        if code not in {part.strip() for part in row["code"].split("/")}:
            continue
        cell = Cell(
            f"wsfu_to_gpm/{row['code']}/{row['wsfu']}", row["code"], row["edition"],
            row["table_section"], f"{row['wsfu']} units", row["gpm"], "gpm",
            row["provenance"], row["note"],
        )  # fmt: skip
        points.append((float(row["wsfu"]), float(row["gpm"]), cell))
    return tuple(sorted(points, key=lambda point: point[0]))


def demand_gpm(code: str, wsfu: float) -> tuple[float, tuple[Cell, ...]]:
    """Probable demand in gpm, straight lines between the points of the curve."""
    low_units, low_gpm = 0.0, 0.0
    low_cell: Cell | None = None
    for high_units, high_gpm, cell in curve(code):
        if wsfu <= high_units:
            share = (wsfu - low_units) / (high_units - low_units)
            cells = (low_cell, cell) if low_cell and share < 1 else (cell,)
            return low_gpm + share * (high_gpm - low_gpm), cells
        low_units, low_gpm, low_cell = high_units, high_gpm, cell
    raise Absent(say("curve_ends", book=code, units=low_units))


@cache
def pipe(material: str, size: str) -> tuple[float, float, Cell]:
    """Bore in inches, Hazen-Williams C and the cell of a water pipe.

    A range of C is read at its lower end. Raises Absent for an unknown pipe.
    """
    for row in rows(PIPES):
        if row["material"] == material and row["size_in"] == size:
            cell = Cell(
                f"pipe_dimensions/{material}/{size}", row["code"], row["edition"],
                row["table_section"], f"{material} {size}", row["inner_diameter_in"],
                "in", row["provenance"], row["note"],
            )  # fmt: skip
            c = float(row["hazen_williams_C"].split("-")[0])
            return float(row["inner_diameter_in"]), c, cell
    raise Absent(say("no_bore", material=material, size=size))


@cache
def pipe_sizes(material: str) -> tuple[str, ...]:
    """Sizes listed for a water pipe material, ascending."""
    found = {row["size_in"] for row in rows(PIPES) if row["material"] == material}
    if not found:
        raise Absent(say("no_bores", material=material))
    return tuple(sorted(found, key=inches))


def friction_psi_per_100ft(flow_gpm: float, bore_in: float, c: float) -> float:
    """Hazen-Williams loss: 452 Q^1.852 / (C^1.852 d^4.8704)."""
    if flow_gpm <= 0:
        return 0.0
    return float(452 * flow_gpm**1.852 / (c**1.852 * bore_in**4.8704))


def velocity_fps(flow_gpm: float, bore_in: float) -> float:
    """Water speed in ft/s: 0.4085 Q / d^2."""
    return 0.4085 * flow_gpm / bore_in**2


@cache
def velocity_limit(material: str, *, hot: bool) -> tuple[float, Cell]:
    """Most speed in ft/s for a pipe material; a range is read at its lower end."""
    book = Book("IRC")
    names = {
        "copper": f"copper, {'hot to about 140 F' if hot else 'cold'}",
        "CPVC": "CPVC CTS 1/2-2 in., hot and cold",
        "PEX": "PEX",
        "PVC": "PVC Schedule 40",
    }
    word = material.split()[0]
    name = names.get(word)
    for row in rows(RULES):
        if row["item"] == name and "velocity" in row["quantity"]:
            number = row["value"].split("-")[0].split()[0]
            cell = Cell(
                f"rules/velocity/{name}", row["code"], row["edition"],
                row["table_section"], row["item"], number, row["unit"],
                row["provenance"], row["note"],
            )  # fmt: skip
            cell = book.amended(cell)
            return cell.number, cell
    raise Absent(say("no_velocity", material=material))


@cache
def rule(item: str, quantity: str, code: str) -> Cell:
    """A pressure or flow rule by item, quantity and book."""
    for row in rows(RULES):
        codes = {part.strip() for part in row["code"].split("/")}
        if row["item"] == item and row["quantity"] == quantity and code in codes:
            return Cell(
                f"rules/{code}/{item}/{quantity}", row["code"], row["edition"],
                row["table_section"], item, row["value"], row["unit"],
                row["provenance"], row["note"],
            )  # fmt: skip
    raise Absent(say("no_rule", book=code, item=item, quantity=quantity))


def head_per_ft(code: str) -> Cell:
    """psi for each foot of height: 0.433, or 0.5 with UPC Table 610.4."""
    if code == "UPC":
        item = "static head for Table 610.4"
    else:
        item = "static head"
    return rule(item, "pressure change per foot of height", code)


@cache
def meter_loss(size: str, flow_gpm: float) -> tuple[float, Cell]:
    """psi lost in a displacement meter; the next larger flow of the chart is read."""
    found: list[tuple[float, float, Cell]] = []
    for row in rows(METERS):
        if row["item"] == "displacement meter loss" and row["size_in"] == size:
            cell = Cell(
                f"meter/{size}/{row['flow_gpm']}", row["code"], row["edition"],
                row["table_section"], f"{size} meter at {row['flow_gpm']} gpm",
                row["value"], "psi", row["provenance"], row["note"],
            )  # fmt: skip
            found.append((float(row["flow_gpm"]), cell.number, cell))
    for gpm, psi, cell in sorted(found, key=lambda entry: entry[0]):
        if flow_gpm <= gpm:
            return psi, cell
    raise Absent(say("no_meter_flow", size=size, gpm=flow_gpm))
