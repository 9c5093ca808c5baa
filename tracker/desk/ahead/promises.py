"""Promise dates of a version: by lot and phase, with their odds."""

from dataclasses import dataclass
from datetime import date

from tracker.desk.ahead.draw import name_of
from tracker.desk.ahead.queries import Board


@dataclass(frozen=True)
class Promise:
    """Days by which the phase passes in 50, 80 and 95 of a hundred seasons."""

    lot: str
    pk: int | None
    phase: str
    planned: date
    need_by: date
    p50: date
    p80: date
    p95: date
    promise: date
    on_time: float
    guessed: bool

    @property
    def percent(self) -> int:
        return round(100 * self.on_time)

    @property
    def weak(self) -> bool:
        """The promise lies behind need-by although the builder named that day."""
        return self.promise > self.need_by and not self.guessed


def promises_of(board: Board) -> list[Promise]:
    """In the order of the lots; where need-by is our guess it is said."""
    calendar = board.sheet.calendar
    priorities = {
        (lot["id"], phase["phase"]): phase["priority"]
        for lot in board.version.problem["lots"]
        for phase in lot["phases"]
    }
    found = []
    for lot, phase, *days, on_time in board.version.odds:
        dates = [calendar.date_of(day) for day in days]
        name = name_of(board.kinds.get(phase), phase)
        guessed = priorities[lot, phase] == 1
        pk = board.keys.lots.get(lot)
        found.append(Promise(lot, pk, name, *dates, on_time=on_time, guessed=guessed))
    return found
