"""Work of the past as a problem of its day, by the same model as the problem of today.

Each crew takes what it was then expected to take: `adapter.durations`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from inspections.office import office_of
from phases.models import PhaseKind
from tracker.people.models import Crew
from tracker.planning.core import problem as core
from tracker.planning.core.plan import Plan, PlannedJob, Score
from tracker.planning.core.season import Season
from tracker.sites.models import InspectionKind, Subdivision

from .adapter.calendar import Calendar
from .adapter.crews import drives
from .adapter.history import Learned
from .adapter.offices import office_line
from .adapter.rows import slots_of

Kinds = Mapping[int, list[InspectionKind]]


@dataclass(frozen=True)
class Was:
    """One piece of work as it had been told, and the day it passed."""

    phase: int
    lot: int
    code: str
    plan: int | None
    place: Subdivision
    crew: Crew | None
    known: date
    start: date
    half: int
    quarters: int
    passed: date | None

    @property
    def label(self) -> str:
        return f"{self.lot}-{self.phase}"

    @property
    def crew_name(self) -> str:
        return self.crew.name if self.crew else "?"


def problem_then(
    jobs: list[Was], cut: date, kinds: Kinds, learned: Learned
) -> tuple[core.Problem, Plan, Season]:
    """The told work as lots of one phase each, the plan as told, and what is drawn."""
    calendar = Calendar(cut)
    phase_kinds = list(PhaseKind.objects.all())
    slots = slots_of(phase_kinds)
    places = {one.place.pk: one.place for one in jobs}
    lines = _lines(list(places.values()), kinds, calendar)
    crews = _crews(jobs, calendar, learned)
    phases = [_phase(one, calendar, slots, kinds, learned) for one in jobs]
    lots = [
        core.Lot(one.label, str(one.place.pk), (phase,))
        for one, phase in zip(jobs, phases, strict=True)
    ]
    problem = core.Problem(
        name="past",
        working_days=calendar.days,
        weekday_of_day0=cut.weekday(),
        jurisdictions=tuple(lines.values()),
        subdivisions=tuple(
            core.Subdivision(str(pk), lines[place.jurisdiction_id].id)
            for pk, place in places.items()
        ),
        move_quarters=drives(list(places.values())),
        crews=tuple(crews.values()),
        lots=tuple(lots),
        rain_days=frozenset(
            calendar.number_of(day)
            for day in learned.stops.rain
            if day >= cut and day.weekday() < 5
        ),
        rain_exposed_phases=frozenset(
            slots[kind.code]
            for kind in phase_kinds
            if kind.rain_exposed and kind.code in slots
        ),
        pins=(),
        published=(),
        weights=core.Weights(),
    )
    planned = [_planned(one, calendar, slots, crews[one.crew_name]) for one in jobs]
    season = learned.season({(one.label, slots[one.code]): one.plan for one in jobs})
    return problem, Plan("past", tuple(planned), Score(0, 0, 0, 0, 0, 0, 0)), season


def _lines(
    places: list[Subdivision], kinds: Kinds, calendar: Calendar
) -> dict[int | None, core.Jurisdiction]:
    return {
        place.jurisdiction_id: office_line(
            place.jurisdiction.name,
            office_of(
                place.jurisdiction,
                kinds[place.jurisdiction_id],
                time_zone=place.time_zone,
            ).record,
            ("",),
            booked={},
            kinds_a_visit=1.0,
            calendar=calendar,
        ).line
        for place in places
    }


def _crews(
    jobs: list[Was], calendar: Calendar, learned: Learned
) -> dict[str, core.Crew]:
    """By name, as fast as was known then; each stands where its first work is."""
    found: dict[str, core.Crew] = {}
    for one in sorted(jobs, key=lambda one: (one.crew_name, one.start, one.half)):
        pk, set_speed = (one.crew.pk, one.crew.speed) if one.crew else (None, 1.0)
        off = {
            number
            for number, day in enumerate(calendar.days)
            if learned.stops.stopped(day, pk, exposed=False)
        }
        crew = core.Crew(
            id=one.crew_name,
            phases=frozenset(core.PHASES),
            speed=learned.speed(pk, set_speed),
            days_off=frozenset(off),
            at=str(one.place.pk),
            free_from_quarter=0,
        )
        found.setdefault(one.crew_name, crew)
    return found


def _phase(
    one: Was,
    calendar: Calendar,
    slots: Mapping[str, str],
    kinds: Kinds,
    learned: Learned,
) -> core.LotPhase:
    proving = [
        kind.pk for kind in kinds[one.place.jurisdiction_id] if one.code in kind.proves
    ]
    return core.LotPhase(
        phase=slots[one.code],
        status=core.OPEN,
        crew_quarters=one.quarters,
        ready_day=calendar.number_of(one.start),
        need_by_day=0,
        priority=1,
        builder_days_after_pass=0,
        pass_probability=learned.pass_probability(proving),
        inspected=any(proving),
    )


def _planned(
    one: Was, calendar: Calendar, slots: Mapping[str, str], crew: core.Crew
) -> PlannedJob:
    start = core.QUARTERS * calendar.number_of(one.start) + 2 * one.half
    end = start + crew.quarters(one.quarters)
    slot, passes = slots[one.code], end // core.QUARTERS + 1
    return PlannedJob(one.label, slot, crew.id, start, end, passes)
