"""A crew's planned work, for its calendar: what the published plan has told it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.db.models import Count, Max

from inspections.calendar import KEPT, Entry
from phases.models import Fact, LotPhase, PhaseHelper
from tracker.people.models import Crew
from tracker.planning.adapter.calendar import QUARTER_HOURS, STARTS
from tracker.planning.core.problem import QUARTERS

DAY = timedelta(days=1)
NOON = time(STARTS + QUARTER_HOURS * QUARTERS // 2)
EVENING = time(STARTS + QUARTER_HOURS * QUARTERS)
EPOCH = datetime(2020, 1, 1, tzinfo=UTC)  # for what was told before facts say when


@dataclass(frozen=True)
class Told:
    """How often, and when last, something was said of a lot phase."""

    times: int = 1
    last: datetime = EPOCH


def planned_work(crew: Crew, *, today: date) -> list[Entry]:
    """Its own lots and the days for which it is lent, sixty days back and all ahead.

    Four statements, whatever the number of lots.
    """
    own = list(
        LotPhase.objects.filter(
            crew=crew,
            planned_start__isnull=False,
            planned_end__gte=today - KEPT,
            lot__retired_at=None,
        )
        .select_related("lot__subdivision", "kind")
        .order_by("planned_start", "pk")
    )
    lent = list(
        PhaseHelper.objects.filter(
            crew=crew, on__gte=today - KEPT, lot_phase__lot__retired_at=None
        )
        .select_related("lot_phase__lot__subdivision", "lot_phase__kind")
        .order_by("on", "pk")
    )
    planned = _told("planned", [row.pk for row in own])
    helped = _told("helper_lent", [row.lot_phase_id for row in lent])
    return [_own(row, planned.get(row.pk, Told())) for row in own] + [
        _lent(row, helped.get(row.lot_phase_id, Told())) for row in lent
    ]


def _told(kind: str, phases: Iterable[int]) -> dict[int, Told]:
    rows = (
        Fact.objects.filter(kind=kind, lot_phase__in=list(phases))
        .order_by()
        .values_list("lot_phase")
        .annotate(times=Count("pk"), last=Max("recorded_at"))
    )
    return {phase: Told(times, last) for phase, times, last in rows}


def _own(row: LotPhase, told: Told) -> Entry:
    """Whole days; work that begins at noon begins and ends at an hour."""
    first = row.planned_start or date.max
    last = row.planned_end or first
    starts, ends = first, last + DAY
    if row.planned_half:
        zone = ZoneInfo(row.lot.subdivision.time_zone)
        starts = datetime.combine(first, NOON, tzinfo=zone)
        ends = datetime.combine(last, EVENING, tzinfo=zone)
    return _entry(f"work-{row.pk}", row, told, starts, ends)


def _lent(row: PhaseHelper, told: Told) -> Entry:
    on = row.on or date.max
    name = f"help-{row.pk}"
    return _entry(name, row.lot_phase, told, on, on + DAY, "Help: ", "Ayuda: ")


def _entry(
    name: str,
    row: LotPhase,
    told: Told,
    starts: date,
    ends: date,
    before: str = "",
    before_es: str = "",
) -> Entry:
    """In English, with the Spanish words below."""
    lot, place = row.lot, row.lot.subdivision
    spanish = f"{before_es}{row.kind.name_es}: {place}, {lot.name_es}"
    return Entry(
        uid=f"{name}@plumbrow",
        sequence=told.times - 1,
        changed=told.last,
        starts=starts,
        ends=ends,
        summary=f"{before}{row.kind.name_en}: {place}, {lot.name}",
        location=lot.address or str(place),
        description=spanish,
        zone=place.time_zone,
    )
