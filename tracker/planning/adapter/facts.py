"""From a plan back to facts: who is told what, and only what is new to him."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from phases.models import LotPhase
from tracker.people.models import Crew
from tracker.planning.core.plan import Plan
from tracker.planning.core.problem import QUARTERS

from .calendar import Calendar
from .keys import Keys

FIXED = ("working",)


@dataclass(frozen=True)
class Change:
    """A lot phase whose crew or days are otherwise than told; `crew` None: untold."""

    lot: str
    phase: str
    row: LotPhase
    crew: Crew | None = None
    start: date | None = None
    half: int = 0
    end: date | None = None

    @property
    def was(self) -> dict[str, Any] | None:
        """What was told so far."""
        if self.row.planned_start is None:
            return None
        return {
            "crew": self.row.crew_id,
            "start": self.row.planned_start.isoformat(),
            "half": self.row.planned_half,
        }

    @property
    def now(self) -> dict[str, Any] | None:
        if self.crew is None or self.start is None:
            return None
        return {
            "crew": self.crew.pk,
            "start": self.start.isoformat(),
            "half": self.half,
        }

    @property
    def days_change(self) -> bool:
        """Another crew or another day; half a day more at the end is no news."""
        was, now = self.was, self.now
        if was is None or now is None:
            return True
        return was != now


def plan_to_facts(
    plan: Plan, keys: Keys, calendar: Calendar, *, until: date
) -> list[Change]:
    """What publishing changes, in two statements.

    Work that starts by `until` is told; what was told and is later now is taken back.
    Work that has begun meanwhile, or passed, is left as it is.
    """
    rows = {
        row.pk: row
        for row in LotPhase.objects.filter(pk__in=keys.phases.values()).select_related(
            "lot__subdivision", "kind"
        )
    }
    crews = Crew.objects.in_bulk(list(keys.crews.values()))
    return list(_changes(plan, keys, calendar, until, rows, crews))


def _changes(
    plan: Plan,
    keys: Keys,
    calendar: Calendar,
    until: date,
    rows: dict[int, LotPhase],
    crews: dict[int, Crew],
) -> Iterable[Change]:
    for job in plan.jobs:
        row = rows.get(keys.phases.get(job.name, 0))
        if row is None or job.crew is None or job.start_quarter is None:
            continue
        if row.work in FIXED or row.passed_on or row.lot.retired_at:
            continue
        day, quarter = divmod(job.start_quarter, QUARTERS)
        start, half = calendar.date_of(day), int(quarter >= QUARTERS // 2)
        end = calendar.date_of((job.end_quarter - 1) // QUARTERS)
        if start > until:
            if row.planned_start is not None:
                yield Change(*job.name, row)
            continue
        crew = crews[keys.crews[job.crew]]
        told = (row.crew_id, row.planned_start, row.planned_half, row.planned_end)
        if told != (crew.pk, start, half, end):
            yield Change(*job.name, row, crew, start, half, end)
