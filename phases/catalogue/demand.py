"""One line of a stub-out list, with its targets."""

from dataclasses import dataclass, fields

PHASES = ("underground", "rough", "topout", "trim")
PROOFS = ("tick", "measure", "photo", "test", "handoff", "no_list")


@dataclass(frozen=True, slots=True)
class Target:
    """Where an outlet belongs along one axis, in sixteenths of an inch.

    axis      height, wall, side (from the centre line), along or clear
    bare      figure from bare stud, subfloor or other mark: what a tape reaches
    finished  the same from the finished face
    bare_from, finished_from   codes of the reference surfaces (strings table)
    minus     how much less is still right
    plus      how much more is still right; None means any
    direction left or right of the centre line as built (mirrored), else blank
    """

    axis: str
    bare: int
    finished: int
    bare_from: str
    finished_from: str
    minus: int
    plus: int | None
    direction: str = ""

    def out_by(self, measured: int) -> int:
        """Sixteenths outside the tolerance: negative too little, 0 right."""
        if measured < self.bare - self.minus:
            return measured - (self.bare - self.minus)
        if self.plus is not None and measured > self.bare + self.plus:
            return measured - (self.bare + self.plus)
        return 0


@dataclass(frozen=True, slots=True)
class Demand:
    """One thing that a fixture, room or lot needs in one phase.

    key      stable: `room/fixture/row.phase` with `.part` when a row has parts
    measure  the axis (of targets) or reading (pressure, slope, depth ...) asked for
    least, most, unit, minutes   limits of a reading that is no target
    advisory the figure is from memory alone: out of tolerance warns, never fails
    walk     sort key: floor, room, wall, fixture, line of the fixture
    checked  code book and edition that the size was checked in; blank: it was not
    """

    key: str
    phase: str
    room: str
    room_en: str
    room_es: str
    fixture: str
    kind: str
    outlet: str
    text_en: str
    text_es: str
    quantity: int
    size: str
    targets: tuple[Target, ...]
    concealed: bool
    proof: str
    measure: str
    unit: str
    least: float | None
    most: float | None
    minutes: int
    photos: int
    handoff: str
    advisory: bool
    source: str
    walk: tuple[int, ...]
    checked: str = ""

    def target(self, axis: str) -> Target | None:
        """The target along one axis, or None."""
        for target in self.targets:
            if target.axis == axis:
                return target
        return None


# What a crew would do otherwise; moving an item in the walk changes nothing.
CONTENT_FIELDS = tuple(
    field.name
    for field in fields(Demand)
    if field.name not in ("walk", "source", "checked")
)
