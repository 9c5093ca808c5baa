"""Small houses for the catalogue's tests."""

from phases.catalogue import (
    Demand,
    Fixture,
    House,
    Room,
    load_catalogue,
    stub_out_list,
)


def room_of(
    *fixtures: Fixture, key: str = "bath1", kind: str = "bath", **more: object
) -> Room:
    return Room(key, kind, fixtures=fixtures, **more)  # type: ignore[arg-type]


def house_of(*rooms: Room, **more: object) -> House:
    return House(rooms=rooms, **more)  # type: ignore[arg-type]


def listed(*rooms: Room, **more: object) -> dict[str, Demand]:
    """The stub-out list of a house of these rooms, by key."""
    demands = stub_out_list(house_of(*rooms, **more), load_catalogue())
    return {demand.key: demand for demand in demands}


def keys_of(found: dict[str, Demand], *, start: str, phase: str = "") -> list[str]:
    """The keys below `start` in walk order, of one phase when it is given."""
    return [
        key
        for key, demand in found.items()
        if key.startswith(start) and phase in ("", demand.phase)
    ]
