"""Options: changes to a plan's design, chosen for a lot."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from phases.catalogue.house import Finish, Fixture, House, PlanError, Room


@dataclass(frozen=True, slots=True)
class Option:
    """What an option adds and takes away, in this order: rooms and fixtures removed,
    rooms added, fixtures added, finishes and facts replaced.

    To exchange a fixture, remove its key and add the new one under the same key.
    removes and adds name a fixture by its room's key.
    """

    key: str
    removes_rooms: tuple[str, ...] = ()
    removes: tuple[tuple[str, str], ...] = ()
    adds_rooms: tuple[Room, ...] = ()
    adds: tuple[tuple[str, Fixture], ...] = ()
    finishes: tuple[tuple[str, Finish], ...] = ()
    facts: Mapping[str, str] = field(default_factory=dict)


def apply_options(plan: House, options: Iterable[Option]) -> House:
    """The plan with its options applied one after the other.

    Raises PlanError naming the option that takes away what is not there, adds what
    is there already or names an unknown room; the plan itself stays as it was.
    """
    house = plan
    for option in options:
        try:
            house = _apply(house, option)
        except PlanError as error:
            raise PlanError(f"Option {option.key}: {error}") from None
    return house


def _apply(house: House, option: Option) -> House:
    rooms = {room.key: room for room in house.rooms}
    for key in option.removes_rooms:
        if rooms.pop(key, None) is None:
            raise PlanError(f"there is no room {key} to take away.")
    for room_key, key in option.removes:
        room = _room(rooms, room_key)
        left = tuple(fixture for fixture in room.fixtures if fixture.key != key)
        if len(left) == len(room.fixtures):
            raise PlanError(f"there is no fixture {room_key}/{key} to take away.")
        rooms[room_key] = replace(room, fixtures=left)
    for room in option.adds_rooms:
        if room.key in rooms:
            raise PlanError(f"room {room.key} is there already.")
        rooms[room.key] = room
    for room_key, fixture in option.adds:
        room = _room(rooms, room_key)
        rooms[room_key] = replace(room, fixtures=(*room.fixtures, fixture))
    for room_key, finish in option.finishes:
        rooms[room_key] = replace(_room(rooms, room_key), finish=finish)
    storeys = max([house.storeys, *(room.floor for room in rooms.values())])
    return replace(
        house,
        rooms=tuple(rooms.values()),
        storeys=storeys,
        facts={**house.facts, **option.facts},
    )


def _room(rooms: Mapping[str, Room], key: str) -> Room:
    if key not in rooms:
        raise PlanError(f"there is no room {key}.")
    return rooms[key]
