"""What a guess starts from: fixtures by floor and room, and the lot's figures."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Protocol

from .kinds import KINDS
from .model import Node


@dataclass(frozen=True, slots=True)
class Placed:
    """So many fixtures of a kind in a room of a floor (0 basement, 1 ground).

    Rooms of one stack drop into it, rooms of one vent go through the roof together;
    blank is one of its own.
    """

    floor: int
    room: str
    kind: str
    quantity: int = 1
    stack: str = ""
    vent: str = ""


@dataclass(frozen=True, slots=True)
class Site:
    """Figures of house and lot. Defaults are common practice, to be corrected.

    street_ft   house to main; depth_ft the run inside the house
    rise_ft     highest fixture above the meter, or None to take it from the floors
    gas_table   table of the house's own gas pipe, which fixes the pressure drop
    gas_method  longest (one length for all) or branch (IFGC 402.4.1, 402.4.2)
    has_regulator  a water pressure regulator is drawn
    water_layout  branches (a branch a room) or manifold (a run a fixture)
    """

    storeys: int = 1
    foundation: str = "slab"
    street_ft: float = 40.0
    depth_ft: float = 40.0
    storey_ft: float = 9.0
    static_psi: float = 60.0
    rise_ft: float | None = None
    water_material: str = "PEX SDR-9"
    service_material: str = "copper type L"
    drain_material: str = "PVC"
    gas_material: str = "Schedule 40 metallic pipe"
    gas_table: str = "402.4(2)"
    heating_value: float = 1000.0
    gas_method: str = "longest"
    has_regulator: bool = False
    water_layout: str = "branches"
    frost: bool = False
    stud: str = "2x6"


class _Fixture(Protocol):
    @property
    def kind(self) -> str: ...
    @property
    def quantity(self) -> int: ...


class _Room(Protocol):
    @property
    def key(self) -> str: ...
    @property
    def floor(self) -> int: ...
    @property
    def stack(self) -> str: ...
    @property
    def vent(self) -> str: ...
    @property
    def fixtures(self) -> Iterable[_Fixture]: ...


def placed_in(rooms: Iterable[_Room]) -> tuple[Placed, ...]:
    """Fixtures of a house's rooms that sizing knows; kinds without pipe are not."""
    return tuple(
        Placed(
            room.floor, room.key, fixture.kind, fixture.quantity, room.stack, room.vent
        )
        for room in rooms
        for fixture in room.fixtures
        if fixture.kind in KINDS
    )


def together(placed: Iterable[Placed]) -> tuple[Placed, ...]:
    """Fixtures of one kind in a room as one entry: each then gets its own key."""
    found: dict[tuple[int, str, str, str], Placed] = {}
    for item in placed:
        key = (item.floor, item.room, item.kind, item.stack)
        before = found.get(key)
        quantity = item.quantity + (before.quantity if before else 0)
        found[key] = replace(item, quantity=quantity)
    return tuple(found.values())


def phase_of(system: str, node: Node, site: Site) -> str:
    """Phase in which a pipe is laid.

    Drains: underground below a slab or in the yard, else rough with the framing. Water
    and gas: the service underground, the rest at top out.
    """
    if system != "drain":
        return "underground" if node.role == "service" else "topout"
    if node.role in ("sewer", "building_drain"):
        return "underground"
    below = node.floor <= 1 if site.foundation == "slab" else node.floor <= 0
    return "underground" if below and node.role != "stack" else "rough"
