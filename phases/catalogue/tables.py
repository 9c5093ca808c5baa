"""The tables of the catalogue, one dataclass a table, one field a column.

The data files and the tables that the owner edits have these columns, by these
names, as text; `from_row` reads one row and raises ValueError with the cell.
"""

from dataclasses import dataclass

from phases.catalogue.cells import (
    EACH,
    IMPLIED_ROOMS,
    MEASURES,
    OUTLETS,
    REFERENCES,
    TRADES,
    UNITS,
    Row,
    choice,
    count_rule,
    flag,
    length,
    needed,
    number,
    parse_params,
    row_key,
    whole,
)
from phases.catalogue.conditions import Clause, parse_when
from phases.catalogue.demand import PROOFS


@dataclass(frozen=True, slots=True)
class FixtureKind:
    """A kind of fixture; `outlets` are the systems it needs on its own.

    implied_room: a house has one anyway when `implied_when` holds, in this made-up
    room (yard, house, roof) or in each room with plumbing, unless a plan places it.
    """

    code: str
    name_en: str
    name_es: str
    group: str
    outlets: tuple[str, ...]
    params: dict[str, tuple[str, ...]]
    drain_size: str
    vent_size: str
    implied_room: str
    implied_when: tuple[Clause, ...]
    source: str

    @classmethod
    def from_row(cls, row: Row) -> "FixtureKind":
        outlets = tuple(row.get("outlets", "").split())
        if strange := [outlet for outlet in outlets if outlet not in OUTLETS]:
            raise ValueError(f"outlets: {' '.join(strange)} not known.")
        params = parse_params(row.get("params", ""))
        if not all(bowls.isdigit() for bowls in params.get("bowls", ())):
            raise ValueError("params: bowls must be whole numbers, like bowls=1|2.")
        return cls(
            code=needed(row, "code"),
            name_en=needed(row, "name_en"),
            name_es=needed(row, "name_es"),
            group=needed(row, "group"),
            outlets=outlets,
            params=params,
            drain_size=row.get("drain_size", ""),
            vent_size=row.get("vent_size", ""),
            implied_room=choice(row, "implied_room", IMPLIED_ROOMS),
            implied_when=parse_when(row.get("implied_when", "")),
            source=needed(row, "source"),
        )


@dataclass(frozen=True, slots=True)
class DemandRow:
    """What a fixture demands in one phase; the first row of a key that holds wins.

    Lengths are sixteenths. `advisory` is derived: the source is memory alone.
    """

    fixtures: tuple[str, ...]
    phase: str
    key: str
    outlet: str
    text_en: str
    text_es: str
    when: tuple[Clause, ...]
    count: str
    each: str
    size: str
    height: int | None
    height_from: str
    wall: int | None
    wall_from: str
    side: int | None
    side_dir: str
    mirrors: bool
    clear: int | None
    tol_minus: int
    tol_plus: int | None
    proof: str
    measure: str
    unit: str
    least: float | None
    most: float | None
    minutes: int
    photos: int
    concealed: bool
    handoff: str
    source: str
    note: str
    advisory: bool

    @classmethod
    def from_row(cls, row: Row) -> "DemandRow":
        source = needed(row, "source")
        any_plus = row.get("tol_plus", "").strip() == "any"
        made = cls(
            fixtures=tuple(needed(row, "fixture").split()),
            phase=needed(row, "phase"),
            key=row_key(row),
            outlet=choice(row, "outlet", OUTLETS),
            text_en=needed(row, "text_en"),
            text_es=needed(row, "text_es"),
            when=parse_when(row.get("when", "")),
            count=count_rule(row),
            each=choice(row, "each", EACH),
            size=row.get("size", "").strip(),
            height=length(row, "height"),
            height_from=choice(row, "height_from", ["", *REFERENCES]),
            wall=length(row, "wall"),
            wall_from=choice(row, "wall_from", ["", *REFERENCES]),
            side=length(row, "side"),
            side_dir=choice(row, "side_dir", ("", "left", "right", "hand")),
            mirrors=flag(row, "mirrors", default=True),
            clear=length(row, "clear"),
            tol_minus=length(row, "tol_minus") or 0,
            tol_plus=None if any_plus else length(row, "tol_plus") or 0,
            proof=choice(row, "proof", PROOFS[:-1]),
            measure=choice(row, "measure", ["", *MEASURES]),
            unit=choice(row, "unit", UNITS),
            least=number(row, "least"),
            most=number(row, "most"),
            minutes=whole(row, "minutes"),
            photos=whole(row, "photos"),
            concealed=flag(row, "concealed", default=False),
            handoff=choice(row, "handoff", ["", *TRADES]),
            source=source,
            note=row.get("note", ""),
            advisory=all(
                part.strip() == "from memory" or part.strip().endswith("(from memory)")
                for part in source.split(";")
            ),
        )
        made.check()
        return made

    def check(self) -> None:
        """Raise ValueError where columns contradict each other."""
        for name in ("height", "wall"):
            if (getattr(self, name) is None) != (not getattr(self, f"{name}_from")):
                raise ValueError(f"{name} and {name}_from go together.")
        if (self.side is None) != (not self.side_dir):
            raise ValueError("side and side_dir go together.")
        if self.proof in ("measure", "test") and not (self.measure and self.unit):
            raise ValueError(f"A {self.proof} needs the columns measure and unit.")
        on_axis = self.measure in ("height", "wall", "side", "clear")
        if on_axis and getattr(self, self.measure) is None:
            raise ValueError(f"measure {self.measure} needs a target in that column.")
        if self.measure and not on_axis and self.least is None and self.most is None:
            raise ValueError(f"measure {self.measure} needs least or most.")
        if self.proof == "photo" and not self.photos:
            raise ValueError("A photo proof needs photos of at least 1.")
        if self.proof == "handoff" and not self.handoff:
            raise ValueError("A handoff needs the trade it goes to.")


@dataclass(frozen=True, slots=True)
class Fact:
    """Something true of a lot or its jurisdiction; the first value is the default."""

    name: str
    values: tuple[str, ...]
    name_en: str
    name_es: str
    source: str

    @classmethod
    def from_row(cls, row: Row) -> "Fact":
        values = tuple(needed(row, "values").split("|"))
        if not all(values):
            raise ValueError("values must look like gas|propane|none.")
        return cls(
            name=needed(row, "name"),
            values=values,
            name_en=needed(row, "name_en"),
            name_es=needed(row, "name_es"),
            source=needed(row, "source"),
        )


@dataclass(frozen=True, slots=True)
class Words:
    """A code with its words in both languages (room kinds and strings)."""

    code: str
    en: str
    es: str


@dataclass(frozen=True, slots=True)
class Term:
    """A trade term: English, its Spanish, other good forms, whether it is checked."""

    en: str
    es: str
    also_es: tuple[str, ...]
    check: bool
    note: str

    @classmethod
    def from_row(cls, row: Row) -> "Term":
        return cls(
            en=needed(row, "term_en"),
            es=needed(row, "term_es"),
            also_es=tuple(part for part in row.get("also_es", "").split("|") if part),
            check=flag(row, "check", default=False),
            note=row.get("note", ""),
        )


def words_from_row(row: Row, *, prefix: str) -> Words:
    """Read a row of room kinds (`name`) or strings (`text`)."""
    return Words(
        code=needed(row, "code"),
        en=needed(row, f"{prefix}_en"),
        es=needed(row, f"{prefix}_es"),
    )
