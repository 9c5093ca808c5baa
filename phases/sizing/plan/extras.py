"""What an outline does not draw: heater, condensate lines, cuts in the framing."""

from dataclasses import dataclass

from ..said import say
from ..shields import DEPTHS

# Where a condensate line may end, and what is never allowed.
CONDENSATE_ENDS = (
    "lavatory_tailpiece", "tub_overflow", "floor_drain", "floor_sink", "standpipe",
    "laundry_sink", "mop_sink", "outside", "storm_drain", "vent", "drain",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Condensate:
    """A condensate line: tons of cooling, nominal size, slope, where it ends."""

    key: str
    tons: float
    size: str
    slope: float
    into: str

    def __post_init__(self) -> None:
        if self.into not in CONDENSATE_ENDS:
            ends = ", ".join(CONDENSATE_ENDS)
            raise ValueError(
                say("condensate_into", key=self.key, into=self.into, known=ends)
            )
        if self.tons <= 0 or self.slope < 0:
            raise ValueError(say("condensate_tons", key=self.key))


MEMBERS = ("stud", "joist", "plate")
# What a clearance is given for, and which figures.
CLEARED = ("closet", "bidet", "lavatory", "shower", "washer_box")


@dataclass(frozen=True, slots=True)
class Clearance:
    """Room around a fixture in inches, None where nobody said.

    side_in      centre to the finished side wall or obstruction
    next_in      centre to the centre of the next fixture
    front_in     clear in front
    area_sq_in   floor of a shower
    standpipe_in, trap_in  top above the trap weir, trap above the floor
    """

    key: str
    kind: str
    side_in: float | None = None
    next_in: float | None = None
    front_in: float | None = None
    area_sq_in: float | None = None
    standpipe_in: float | None = None
    trap_in: float | None = None

    def __post_init__(self) -> None:
        if self.kind not in CLEARED:
            known = ", ".join(CLEARED)
            raise ValueError(say("clear_kind", key=self.key, known=known))


@dataclass(frozen=True, slots=True)
class FramingCut:
    """A hole or notch somebody wants: in inches; joists with span and place.

    kind is hole or notch; member stud or joist; lumber such as 2x10; edge_in the wood
    left to the nearer edge of a hole.
    """

    key: str
    kind: str
    member: str
    lumber: str
    inches: float
    bearing: bool = True
    doubled: bool = False
    span_ft: float = 0.0
    from_end_ft: float = 0.0
    edge_in: float | None = None
    engineered: bool = False

    def __post_init__(self) -> None:
        if self.kind not in ("hole", "notch") or self.member not in MEMBERS:
            raise ValueError(say("cut_kind", key=self.key))
        if self.lumber not in DEPTHS:
            known = ", ".join(DEPTHS)
            raise ValueError(say("cut_lumber", key=self.key, known=known))
        if self.inches <= 0:
            raise ValueError(say("cut_inches", key=self.key))
        if (
            self.kind == "notch"
            and self.member == "joist"
            and (not 0 <= self.from_end_ft <= self.span_ft or not self.span_ft)
        ):
            raise ValueError(say("cut_place", key=self.key))


@dataclass(frozen=True, slots=True)
class HeaterFacts:
    """Figures of the heater to be set, from its rating plate."""

    first_hour_gal: float | None = None
    input_btu_h: float | None = None
    efficiency: float = 0.82
    rise_f: float = 70.0
    has_vent: bool = False
    has_condensate: bool = False


@dataclass(frozen=True, slots=True)
class Extras:
    """Everything of the plan beside the outline."""

    baths: float = 0.0
    bedrooms: int = 3
    heater: HeaterFacts = HeaterFacts()
    condensate: tuple[Condensate, ...] = ()
    cuts: tuple[FramingCut, ...] = ()
    clear: tuple[Clearance, ...] = ()
