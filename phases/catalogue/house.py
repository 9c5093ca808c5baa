"""What a house is for the stub-out list: rooms, finishes, fixtures, facts, handing.

Lengths are whole sixteenths of an inch. Left and right are as drawn on the plan,
facing the wall; `House.mirrored` swaps them when the list is made.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

FOUNDATIONS = ("slab", "crawl", "basement")
BOOKS = ("IRC", "IPC", "UPC")
POSITIONS = ("wall", "island", "corner", "deck", "floor", "outside")
# Walk order inside a room: clockwise from the door, then what stands free.
WALLS = ("left", "back", "right", "front", "")
TILED = ("none", "wet", "all")
BASEMENT, GROUND = 0, 1

_KEY = re.compile(r"[a-z0-9][a-z0-9_-]{0,39}\Z")


class PlanError(ValueError):
    """The plan or an option contradicts itself; the message says what to change."""


def _check_key(key: str, *, what: str) -> None:
    if not _KEY.match(key):
        raise PlanError(
            f"{what} key {key!r}: use up to 40 small letters, digits, _ or -."
        )


def _check_choice(value: str, choices: tuple[str, ...], *, what: str) -> None:
    if value not in choices:
        allowed = ", ".join(choice or "(blank)" for choice in choices)
        raise PlanError(f"{what} {value!r} is not known. Choose one of: {allowed}.")


@dataclass(frozen=True, slots=True)
class Finish:
    """What later covers studs and subfloor of a room, in sixteenths of an inch.

    board   wall board on the studs (8 is 1/2 in.)
    backer  backer board of tiled walls; it stands in place of the board
    tile    tile with its setting bed
    tiled   which walls are tiled: none, wet (around tub and shower) or all
    floor   finished floor above the subfloor or slab
    stud    depth of the wet wall's studs (56 is 3 1/2 in.)
    """

    board: int = 8
    backer: int = 0
    tile: int = 0
    tiled: str = "wet"
    floor: int = 12
    stud: int = 56

    def __post_init__(self) -> None:
        _check_choice(self.tiled, TILED, what="Tiled walls")
        for name in ("board", "backer", "tile", "floor", "stud"):
            if not 0 <= getattr(self, name) <= 192:
                raise PlanError(f"Finish {name} must lie between 0 and 12 in.")

    def wall_build_up(self, *, wet: bool) -> int:
        """Thickness from the bare stud to the finished wall."""
        if self.tiled == "all" or (wet and self.tiled == "wet"):
            return (self.backer or self.board) + self.tile
        return self.board


@dataclass(frozen=True, slots=True)
class Fixture:
    """One thing to be plumbed, as the plan places it.

    wall      which wall of the room, facing in from the door; blank stands free
    hand      side of its working end (a tub's drain end), facing its wall
    along     centre line from the finished side wall `along_from`, or None
    beside    the fixture it works with, `fixture` or `room/fixture`
    quantity  copies; their keys are key, key-2, key-3 ...
    """

    key: str
    kind: str
    position: str = "wall"
    wall: str = ""
    hand: str = ""
    along: int | None = None
    along_from: str = "left"
    beside: str = ""
    quantity: int = 1
    params: Mapping[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        _check_key(self.key, what="Fixture")
        _check_choice(self.position, POSITIONS, what="Position")
        _check_choice(self.wall, WALLS, what="Wall")
        _check_choice(self.hand, ("", "left", "right"), what="Hand")
        _check_choice(self.along_from, ("left", "right"), what="Along from")
        if not 1 <= self.quantity <= 50:
            raise PlanError(f"Fixture {self.key}: quantity must be 1 to 50.")


@dataclass(frozen=True, slots=True)
class Room:
    """A room of one floor (0 basement, 1 ground, 2 and up).

    Rooms of one `stack` drop into the same stack, rooms of one `vent` share a vent
    through the roof; blank means one of its own.
    """

    key: str
    kind: str
    floor: int = GROUND
    order: int = 0
    name_en: str = ""
    name_es: str = ""
    finish: Finish = Finish()
    stack: str = ""
    vent: str = ""
    fixtures: tuple[Fixture, ...] = ()

    def __post_init__(self) -> None:
        _check_key(self.key, what="Room")
        if not BASEMENT <= self.floor <= 5:
            raise PlanError(f"Room {self.key}: floor must be 0 (basement) to 5.")
        _refuse_twins(
            (fixture.key for fixture in self.fixtures), what=f"fixture in {self.key}"
        )


def _refuse_twins(keys: Iterable[str], *, what: str) -> None:
    seen = set[str]()
    for key in keys:
        if key in seen:
            raise PlanError(f"Two of the same {what}: {key}. Give each its own key.")
        seen.add(key)


@dataclass(frozen=True, slots=True)
class House:
    """A lot's house: a plan with its options applied, on its lot.

    facts holds what is true of lot and jurisdiction; names, values and defaults
    stand in the catalogue's facts table (fuel, sewer, water, aav ...).
    """

    rooms: tuple[Room, ...] = ()
    foundation: str = "slab"
    storeys: int = 1
    mirrored: bool = False
    book: str = "IRC"
    facts: Mapping[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        _check_choice(self.foundation, FOUNDATIONS, what="Foundation")
        _check_choice(self.book, BOOKS, what="Code book")
        if not 1 <= self.storeys <= 5:
            raise PlanError("A house has 1 to 5 storeys.")
        _refuse_twins((room.key for room in self.rooms), what="room")
        for room in self.rooms:
            if room.floor > self.storeys:
                raise PlanError(
                    f"Room {room.key} is on floor {room.floor} of a house with "
                    f"{self.storeys} storeys."
                )


def over_slab(room: Room, *, house: House) -> bool:
    """Whether the room's floor is concrete, so that its drains lie below a slab."""
    if house.foundation == "slab" or room.kind == "garage":
        return room.floor <= GROUND
    return room.floor == BASEMENT
