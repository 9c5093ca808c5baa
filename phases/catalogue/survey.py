"""Look over a whole house before listing: what is implied, shared and combined.

Rules of thumb used where a plan does not say otherwise (common practice):

- Vents through the roof: one for each room on the ground floor or above with a
  vented fixture; rooms that share `Room.vent` share one. Basement rooms tie into
  the vents above and have their own only when nothing above has one. The main vent
  (the first with a closet, else the first) is 3 in., others 2 in. with a closet and
  1 1/2 in. without. Where vents freeze none is smaller than 3 in. (UPC: 2 in.).
- Stacks: one for each room above the ground floor with a drained fixture; rooms
  that share `Room.stack` share one. A closet makes it 3 in., else 2 in.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from phases.catalogue.house import BASEMENT, GROUND, Fixture, House, Room
from phases.catalogue.loading import Catalogue

MADE_UP_ROOMS = {"yard": -1, "roof": 90, "house": 91}
SINKS = ("kitchen_sink", "bar_sink")
# What a fixture works with when the plan does not say: kinds in the same room.
PARTNERS = {
    "dishwasher": SINKS,
    "disposer": SINKS,
    "ac_condensate": ("lavatory", "lavatory_double"),
}
Place = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Shared:
    """A stack or roof vent: its key, size in inches and the rooms that it serves."""

    key: str
    size: str
    rooms: tuple[Room, ...]


@dataclass(frozen=True, slots=True)
class Survey:
    """A house with what it implies; `partners` is keyed by (room, fixture)."""

    house: House
    rooms: tuple[Room, ...]
    facts: Mapping[str, str]
    kinds: frozenset[str]
    vents: tuple[Shared, ...]
    stacks: tuple[Shared, ...]
    partners: Mapping[Place, tuple[Room, Fixture] | None]
    served: Mapping[Place, int]

    def roof_vents(self, size: str) -> int:
        """How many vents of a size (`1 1/2`, `2`, `3`) pass the roof."""
        return sum(vent.size == size for vent in self.vents)


def survey(house: House, *, catalogue: Catalogue) -> Survey:
    """Look over `house`; unknown kinds and facts are left to the caller's markers."""
    facts = {name: fact.values[0] for name, fact in catalogue.facts.items()}
    facts.update(house.facts)
    planned = frozenset(f.kind for room in house.rooms for f in room.fixtures)
    rooms = _with_implied(house, facts=facts, planned=planned, catalogue=catalogue)
    partners = {
        (room.key, fixture.key): find_partner(fixture, room=room, rooms=house.rooms)
        for room in house.rooms
        for fixture in room.fixtures
        if fixture.beside or fixture.kind in PARTNERS
    }
    served: dict[Place, int] = {}
    for room in house.rooms:
        for fixture in room.fixtures:
            partner = partners.get((room.key, fixture.key))
            if fixture.kind == "dishwasher" and partner:
                place = (partner[0].key, partner[1].key)
                served[place] = served.get(place, 0) + fixture.quantity
    return Survey(
        house=house,
        rooms=rooms,
        facts=facts,
        kinds=frozenset(f.kind for room in rooms for f in room.fixtures),
        vents=_vents(house, facts=facts, catalogue=catalogue),
        stacks=_stacks(house, catalogue=catalogue),
        partners=partners,
        served=served,
    )


def find_partner(
    fixture: Fixture, *, room: Room, rooms: Iterable[Room]
) -> tuple[Room, Fixture] | None:
    """The fixture that one works with: as the plan says, else a usual one beside it."""
    if fixture.beside:
        room_key, _, key = fixture.beside.rpartition("/")
        for other in rooms:
            if other.key == (room_key or room.key):
                for candidate in other.fixtures:
                    if candidate.key == key:
                        return other, candidate
        return None
    for candidate in room.fixtures:
        if candidate.kind in PARTNERS.get(fixture.kind, ()):
            return room, candidate
    return None


def _with_implied(
    house: House,
    *,
    facts: Mapping[str, str],
    planned: frozenset[str],
    catalogue: Catalogue,
) -> tuple[Room, ...]:
    rooms = {room.key: room for room in house.rooms}

    def answer(name: str) -> str:
        return house_answer(name, house=house, facts=facts, kinds=planned)

    for kind in catalogue.kinds.values():
        if kind.code in planned or not kind.implied_room:
            continue
        if not all(clause.holds(answer) for clause in kind.implied_when):
            continue
        if kind.implied_room == "each":
            where = [room.key for room in house.rooms if is_plumbed(room, catalogue)]
        else:
            where = [kind.implied_room]
            rooms.setdefault(where[0], _made_up_room(where[0], house=house))
        for key in where:
            rooms[key] = _add(rooms[key], kind.code)
    return tuple(rooms.values())


def _made_up_room(kind: str, *, house: House) -> Room:
    floor = GROUND if kind == "yard" else house.storeys
    return Room(key=kind, kind=kind, floor=floor, order=MADE_UP_ROOMS[kind])


def _add(room: Room, code: str) -> Room:
    taken = any(fixture.key == code for fixture in room.fixtures)
    added = Fixture(key=f"{code}-lot" if taken else code, kind=code, position="wall")
    return replace(room, fixtures=(*room.fixtures, added))


def is_plumbed(room: Room, catalogue: Catalogue) -> bool:
    """Whether any known fixture of the room needs an outlet."""
    return bool(room_needs(room, catalogue))


def house_answer(
    name: str, *, house: House, facts: Mapping[str, str], kinds: frozenset[str]
) -> str:
    """Answer the conditions that hold for a whole house; "" for any other."""
    if name.startswith("fact."):
        return facts.get(name.removeprefix("fact."), "")
    if name.startswith("has."):
        return "yes" if name.removeprefix("has.") in kinds else "no"
    if name in ("foundation", "book"):
        return str(getattr(house, name))
    return str(house.storeys) if name == "storeys" else ""


def room_needs(room: Room, catalogue: Catalogue) -> frozenset[str]:
    """The outlets that the room's fixtures need."""
    return frozenset(
        outlet
        for fixture in room.fixtures
        if (kind := catalogue.kinds.get(fixture.kind))
        for outlet in kind.outlets
    )


def _kinds_with(outlet: str, room: Room, catalogue: Catalogue) -> list[str]:
    return [
        fixture.kind
        for fixture in room.fixtures
        if (kind := catalogue.kinds.get(fixture.kind))
        and outlet in kind.outlets
        and not kind.implied_room
    ]


def _grouped(rooms: Iterable[Room], *, share: str) -> dict[str, list[Room]]:
    groups: dict[str, list[Room]] = {}
    for room in rooms:
        groups.setdefault(getattr(room, share) or room.key, []).append(room)
    return groups


def _walk(rooms: Iterable[Room]) -> list[Room]:
    return sorted(rooms, key=lambda room: (room.floor, room.order, room.key))


def _vents(
    house: House, *, facts: Mapping[str, str], catalogue: Catalogue
) -> tuple[Shared, ...]:
    vented = [r for r in _walk(house.rooms) if _kinds_with("vent", r, catalogue)]
    above = [room for room in vented if room.floor > BASEMENT]
    groups = _grouped(above, share="vent")
    if not groups and vented:
        groups = {vented[0].key: vented}
    sizes = {}
    for key, rooms in groups.items():
        wanted = {
            catalogue.kinds[kind].vent_size
            for room in rooms
            for kind in _kinds_with("vent", room, catalogue)
        }
        sizes[key] = "2" if "2" in wanted else "1 1/2"
    if sizes:
        main = next(
            (key for key, size in sizes.items() if size == "2"), next(iter(sizes))
        )
        sizes[main] = "3"
    if facts.get("frost") == "yes":
        for key, size in sizes.items():
            if house.book != "UPC":
                sizes[key] = "3"
            elif size == "1 1/2":
                sizes[key] = "2"
    return tuple(Shared(key, sizes[key], tuple(groups[key])) for key in groups)


def _stacks(house: House, *, catalogue: Catalogue) -> tuple[Shared, ...]:
    upstairs = [
        room
        for room in _walk(house.rooms)
        if room.floor > GROUND and _kinds_with("drain", room, catalogue)
    ]
    return tuple(
        Shared(key, _stack_size(rooms, catalogue), tuple(rooms))
        for key, rooms in _grouped(upstairs, share="stack").items()
    )


def _stack_size(rooms: Iterable[Room], catalogue: Catalogue) -> str:
    sizes = {
        catalogue.kinds[kind].drain_size
        for room in rooms
        for kind in _kinds_with("drain", room, catalogue)
    }
    return "3" if "3" in sizes else "2"
