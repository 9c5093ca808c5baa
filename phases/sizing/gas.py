"""Gas pipe by table (IFGC 402.4, IRC G2413): the cell is the authority.

The equation fills between rows only where it reproduces the table (402.4(1) to (4),
(20) and (21)); steel at 2 psi and CSST are read from the table alone.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache, cached_property

from .nominal import inches
from .said import say
from .tables import Absent, Cell, rows

FILES = (
    "supply/gas_schedule40",
    "supply/gas_csst",
    "supply/gas_csst_propane",
    "supply/gas_polyethylene",
)
RULES = "supply/gas_rules"
NATURAL_CR, PROPANE_CR = 0.6094, 1.2462
REPRODUCED = frozenset(
    {"402.4(1)", "402.4(2)", "402.4(3)", "402.4(4)", "402.4(20)", "402.4(21)"}
)
_NAME = re.compile(r"G?\d+\.\d+\(\d+\)")


@dataclass(frozen=True, slots=True)
class Entry:
    """One cell of a gas table with its size, length and bore."""

    size: str
    length_ft: float
    capacity: float
    bore_in: float | None
    cell: Cell


@dataclass(frozen=True, eq=False)
class Table:
    """A gas table: name, material, drop, and what it is printed in (cfh or kBtu/h)."""

    name: str
    material: str
    inlet: str
    drop: float
    drop_unit: str
    unit: str
    entries: tuple[Entry, ...]

    @cached_property
    def lengths(self) -> tuple[float, ...]:
        """Listed lengths in feet, ascending."""
        return tuple(sorted({entry.length_ft for entry in self.entries}))

    @cached_property
    def sizes(self) -> tuple[str, ...]:
        """Listed sizes, smallest first."""
        return tuple(sorted({entry.size for entry in self.entries}, key=size_order))


def size_order(size: str) -> float:
    """Sort key of a steel size (`3/4`) or a CSST size (`EHD 18`)."""
    if size.startswith("EHD"):
        return float(size.split()[1])
    return inches(size)


@cache
def tables() -> dict[str, Table]:
    """Every gas table of the reference by its name, such as `402.4(2)`."""
    grouped: dict[str, list[tuple[str, dict[str, str]]]] = {}
    for file in FILES:
        for row in rows(file):
            grouped.setdefault(row["table_section"], []).append((file, dict(row)))
    found: dict[str, Table] = {}
    for section, members in grouped.items():
        first = members[0][1]
        table = Table(
            section, first["material"], first["inlet"], float(first["pressure_drop"]),
            first["drop_unit"], first["unit"],
            tuple(_entry(row) for _, row in members),
        )  # fmt: skip
        for name in _NAME.findall(section) or [section]:
            found[name] = table
    # `G2413.4(16) [402.4(32)]` is one table with two names; both lead to it.
    return found


def _entry(row: Mapping[str, str]) -> Entry:
    bore = row["inner_diameter_in"]
    name = f"{row['material']} {row['size']} at {row['length_ft']} ft"
    cell = Cell(
        f"gas/{row['table_section']}/{row['size']}/{row['length_ft']}", row["code"],
        row["edition"], row["table_section"], name, row["capacity"], row["unit"],
        row["provenance"], row["note"],
    )  # fmt: skip
    return Entry(
        row["size"], float(row["length_ft"]), float(row["capacity"]),
        float(bore) if bore else None, cell,
    )  # fmt: skip


def table(name: str) -> Table:
    """A table by name; raises Absent that lists what the reference holds."""
    words = _NAME.findall(name) or [name.strip()]
    for word in words:
        if word in tables():
            return tables()[word]
    held = ", ".join(sorted(tables()))
    raise Absent(say("no_gas_table", name=name, held=held))


def row_length(gas_table: Table, length_ft: float) -> float:
    """The next longer listed length; raises Absent past the end of the table."""
    for listed in gas_table.lengths:
        if listed >= length_ft - 1e-9:
            return listed
    raise Absent(
        say(
            "gas_table_ends",
            table=gas_table.name,
            most=gas_table.lengths[-1],
            length=length_ft,
        )
    )


def capacity(gas_table: Table, size: str, length_ft: float) -> Entry:
    """The cell of a size at the next longer length that the size has."""
    row = row_length(gas_table, length_ft)
    for entry in _by_size(gas_table, size):
        if entry.length_ft >= row - 1e-9:
            return entry
    raise Absent(say("gas_no_cell", table=gas_table.name, size=size, length=length_ft))


@cache
def _by_size(gas_table: Table, size: str) -> tuple[Entry, ...]:
    found = [entry for entry in gas_table.entries if entry.size == size]
    return tuple(sorted(found, key=lambda entry: entry.length_ft))


def least_size(
    gas_table: Table, load: float, length_ft: float, *,
    multiplier: float = 1.0, available: Iterable[str] | None = None,
) -> Entry:  # fmt: skip
    """Smallest size whose cell carries the load (cfh, or kBtu/h for propane).

    multiplier corrects the table for gravity; available narrows the sizes. Raises
    Absent where the largest is too small.
    """
    allowed = set(available) if available is not None else None
    for size in gas_table.sizes:
        if allowed is not None and size not in allowed:
            continue
        entry = capacity(gas_table, size, length_ft)
        if load <= entry.capacity * multiplier + 1e-9:
            return entry
    raise Absent(
        say(
            "gas_no_size",
            table=gas_table.name,
            load=load,
            unit=gas_table.unit,
            length=length_ft,
        )
    )


def equation_cfh(
    bore_in: float, length_ft: float, drop_in_wc: float, *, cr: float = NATURAL_CR
) -> float:
    """Low-pressure capacity: 2313 D^2.623 (dH / (Cr L))^0.541 (IFGC A.4)."""
    return float(2313 * bore_in**2.623 * (drop_in_wc / (cr * length_ft)) ** 0.541)


def equation_2psi_cfh(
    bore_in: float, length_ft: float, *, inlet_psi: float, drop_psi: float
) -> float:
    """1.5 psi and above: 2237 D^2.623 ((P1^2 - P2^2) Y / (Cr L))^0.541 (IFGC A.4).

    Fits the polyethylene table; never used for steel.
    """
    high = inlet_psi + 14.7
    low = high - drop_psi
    ratio = (high**2 - low**2) * 0.9992 / (NATURAL_CR * length_ft)
    return float(2237 * bore_in**2.623 * ratio**0.541)


def loss_in_wc_per_ft(bore_in: float, flow_cfh: float) -> float:
    """Pressure lost per foot at a flow: the low-pressure equation turned round."""
    return float(NATURAL_CR * (flow_cfh / (2313 * bore_in**2.623)) ** (1 / 0.541))


def between_rows(gas_table: Table, size: str, length_ft: float) -> float | None:
    """Capacity between two rows by the equation, never more than the shorter row.

    None where the reference does not say that the equation reproduces the table.
    """
    names = set(_NAME.findall(gas_table.name))
    entries = _by_size(gas_table, size)
    if not names & REPRODUCED or not entries or entries[0].bore_in is None:
        return None
    shorter = [entry for entry in entries if entry.length_ft <= length_ft]
    longer = [entry for entry in entries if entry.length_ft >= length_ft]
    if not shorter or not longer:
        return None
    value = equation_cfh(entries[0].bore_in, length_ft, gas_table.drop)
    return max(min(value, shorter[-1].capacity), longer[0].capacity)


@cache
def gravity_multiplier(gravity: float) -> tuple[float, Cell]:
    """Table multiplier for a specific gravity; the next higher when not listed."""
    points = []
    for row in rows(RULES):
        if row["topic"] == "specific gravity multiplier":
            cell = Cell(
                f"gas_rules/{row['item']}", row["code"], row["edition"],
                row["table_section"], row["item"], row["value"], row["unit"],
                row["provenance"], row["note"],
            )  # fmt: skip
            points.append((float(row["item"].split()[1]), cell.number, cell))
    for listed, value, cell in sorted(points, key=lambda point: point[0]):
        if gravity <= listed + 1e-9:
            return value, cell
    raise Absent(say("no_gravity", gravity=gravity))
