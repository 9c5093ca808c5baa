"""Loads that a pipe of an outline carries: drainage units, supply units, gas."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from . import fixtures, water
from .outline.kinds import (
    BATHING_KINDS,
    CLOSET_KINDS,
    KINDS,
    LAVATORY_KINDS,
)
from .outline.model import Node
from .said import say
from .tables import Absent, Book, Cell, rows

APPLIANCES = "supply/gas_appliance_inputs"


@dataclass(frozen=True, slots=True)
class Load:
    """A sum and the cells it was added up from; closets where drains are meant."""

    units: float
    cells: tuple[Cell, ...]
    closets: int = 0


def drain_key(kind: str) -> str:
    """Row of the drainage table for a fixture kind; raises Absent without one."""
    known = KINDS.get(kind)
    if known is None or not known.drain:
        raise Absent(say("no_drain", kind=kind))
    return known.load


def _rooms(leaves: Iterable[Node]) -> dict[str, list[Node]]:
    grouped: dict[str, list[Node]] = defaultdict(list)
    for leaf in leaves:
        grouped[leaf.room or leaf.key].append(leaf)
    return grouped


def _bath_group(leaves: list[Node]) -> list[Node]:
    """Closet, lavatory and bathing fixture of one room, or nothing."""
    chosen = []
    for kinds in (CLOSET_KINDS, LAVATORY_KINDS, BATHING_KINDS):
        found = next((leaf for leaf in leaves if leaf.fixture in kinds), None)
        if found is None:
            return []
        chosen.append(found)
    return chosen


def drain_load(book: Book, leaves: Iterable[Node]) -> Load:
    """Drainage fixture units of arms (IPC 709.1, IRC P3004.1, UPC 702.1).

    IPC and IRC count closet, lavatory and tub or shower of one room as a group; UPC
    adds every fixture.
    """
    total, closets, cells = 0.0, 0, []
    for members in _rooms(leaves).values():
        group = [] if book.code == "UPC" else _bath_group(members)
        if group:
            cell = fixtures.load(book, "bath_group_1_6")
            cells.append(cell)
            total += cell.number
            # A double lavatory is one more than the group holds.
            for leaf in group:
                if KINDS[leaf.fixture].times > 1:
                    more = fixtures.load(book, drain_key(leaf.fixture))
                    cells.append(more)
                    total += (KINDS[leaf.fixture].times - 1) * more.number
        for leaf in members:
            key = drain_key(leaf.fixture)
            closets += fixtures.closets_in(key)
            if leaf in group:
                continue
            cell = fixtures.load(book, key)
            cells.append(cell)
            total += cell.number * KINDS[leaf.fixture].times
    return Load(total, tuple(dict.fromkeys(cells)), closets)


def supply_load(book: Book, leaves: Iterable[Node], *, side: str = "total") -> Load:
    """Water supply fixture units of runs: side is total, hot or cold.

    A fixture with a hot and a cold run counts once in the total. IPC and IRC take the
    bathroom group of a room; UPC counts further hose bibbs less than the first. An
    ice maker has no row in any book and counts nothing.
    """
    total, cells = 0.0, []
    bibbs = 0
    for members in _rooms(_once(leaves)).values():
        group = [] if book.code == "UPC" else _bath_group(members)
        if group:
            cell, units = bath_group_units(book, side)
            cells.append(cell)
            total += units
            total += sum(
                (KINDS[leaf.fixture].times - 1) * _side(book, leaf.fixture, side)[0]
                for leaf in group
            )
        for leaf in members:
            kind = KINDS[leaf.fixture]
            if leaf in group or not kind.load or kind.load == "ice_maker":
                continue
            key = kind.load
            if key == "hose_bibb":
                key = "hose_bibb" if bibbs == 0 else "hose_bibb_added"
                bibbs += 1
            found = water.units(book, key)
            cells += found.cells(side)
            total += getattr(found, side) * kind.times
    return Load(total, tuple(dict.fromkeys(cells)))


def _once(leaves: Iterable[Node]) -> list[Node]:
    """Runs of one fixture (its hot and its cold) counted once."""
    seen: dict[str, Node] = {}
    for leaf in leaves:
        name = leaf.key.removesuffix("-hot").removesuffix("-cold")
        seen.setdefault(name, leaf)
    return list(seen.values())


def _side(book: Book, kind: str, side: str) -> tuple[float, Cell]:
    found = water.units(book, KINDS[kind].load)
    return getattr(found, side), found.cell


def bath_group_units(book: Book, side: str) -> tuple[Cell, float]:
    """Supply units of a full bathroom group (IPC E103.3(2), IRC P2903.6)."""
    names = {
        "IPC": "bathroom group, private, flush tank",
        "IRC": "full-bath group with bathtub or shower stall",
    }
    name = names[book.code]
    row = next(
        r for r in rows(water.UNITS) if r["code"] == book.code and r["fixture"] == name
    )
    cell = Cell(
        f"wsfu/{book.code}/{name}", row["code"], row["edition"], row["table_section"],
        name, row[side], row["unit"], row["provenance"], row["note"],
    )  # fmt: skip
    cell = book.amended(cell)
    return cell, cell.number


def appliance_input(kind: str) -> Cell:
    """Btu/h of a gas appliance kind: a placeholder, the rating plate rules."""
    name = KINDS[kind].appliance if kind in KINDS else ""
    for row in rows(APPLIANCES):
        if name and row["appliance"] == name:
            return Cell(
                f"gas_appliance_inputs/{name}", row["code"], row["edition"],
                row["table_section"], name, row["input"], row["unit"],
                row["provenance"], row["note"],
            )  # fmt: skip
    raise Absent(say("no_appliance", kind=kind))


def gas_load(leaves: Iterable[Node]) -> Load:
    """Btu/h of outlets, all running together (IFGC 402.2); a plate value goes first."""
    total, cells = 0.0, []
    for leaf in leaves:
        if leaf.load_btu_h is not None:
            total += leaf.load_btu_h
            continue
        cell = appliance_input(leaf.fixture)
        cells.append(cell)
        total += cell.number
    return Load(total, tuple(dict.fromkeys(cells)))
