"""One row of a lot list, understood: what it names, or why it cannot be taken."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

NEW, CHANGED, UNCHANGED, SKIPPED, BAD = STATUSES = (
    "new",
    "changed",
    "unchanged",
    "skipped",
    "bad",
)


@dataclass(frozen=True)
class CellError:
    """A cell that cannot be taken: where, what stands there, why, what to do."""

    column: str
    value: str
    reason: str
    hint: str


@dataclass(frozen=True)
class LotRow:
    """A data row. `row` is the 1-based sheet row; None is what it does not say."""

    row: int
    status: str = NEW
    reason: str | None = None
    lot: str | None = None
    lots: tuple[str, ...] = ()
    lot_word: str | None = None
    part: str | None = None
    block: str | None = None
    unit: str | None = None
    building: str | None = None
    subdivision: str | None = None
    phase: str | None = None
    address: str | None = None
    permit: str | None = None
    parcel: str | None = None
    issued: date | None = None
    dwellings: int | None = None
    description: str | None = None
    plan: str | None = None
    elevation: str | None = None
    options: tuple[str, ...] = ()
    mirrored: bool | None = None
    foundation: str | None = None
    start: date | None = None
    closing: date | None = None
    gate_code: str | None = None
    superintendent: str | None = None
    errors: tuple[CellError, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def place(self) -> tuple[str | None, ...]:
        """What tells this house from another one in the same list."""
        parts = (
            self.subdivision,
            self.phase,
            self.block,
            self.lot,
            self.lot_word,
            self.part,
            self.unit,
            self.building,
            self.address,
            self.parcel,
            self.permit,
        )
        return tuple(p.casefold() if p else None for p in parts)

    @property
    def choices(self) -> tuple[object, ...]:
        """What the list says of the house itself, for rows that name it twice."""
        return (self.plan, self.elevation, self.options, self.mirrored, self.start)


@dataclass(frozen=True)
class LotList:
    """A whole sheet: every data row once, in order."""

    sheet: str | None
    sheets: tuple[str, ...]
    header_row: int | None
    columns: Mapping[str, str]
    # Every column of the sheet by the name a person calls it, used or not.
    every_column: tuple[str, ...]
    guesses: tuple[str, ...]
    rows: tuple[LotRow, ...]
    spellings: tuple[Mapping[str, str], ...] = field(default_factory=tuple)


def counts_of(rows: Sequence[LotRow]) -> dict[str, int]:
    """How many rows have each status; the sum is the number of rows."""
    counts = dict.fromkeys(STATUSES, 0)
    for row in rows:
        counts[row.status] += 1
    return counts
