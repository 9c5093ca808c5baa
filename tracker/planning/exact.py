"""A plan's inspection days held against each office's own date rules.

The planner knows an office by weekdays, cut-off, lead and cap. Here every planned visit
is asked for under the exact rules, in the order of the plan, with what is booked.
"""

from collections import Counter
from dataclasses import dataclass
from datetime import date, datetime, time

from inspections.dates import CallInBy, Earliest, NotHeld
from inspections.offices import Within, by_when, when

from .adapter import Joined, Visit
from .core.plan import Plan, PlannedJob

RESULT_BY = time(16, 59)  # a visit's result is known by then


@dataclass(frozen=True)
class Disagreement:
    """The exact rules do not give `day`; `why` is a reason of `tracker.words`."""

    lot: str
    phase: str
    office: str
    day: date
    number: int
    why: dict[str, str]


def disagreements(joined: Joined, plan: Plan, *, now: datetime) -> list[Disagreement]:
    """Every planned visit that cannot be had, in the order of the days."""
    booked: dict[int, Counter[date]] = {
        office: Counter(days) for office, days in joined.booked.items()
    }
    found = []
    visits = [job for job in plan.jobs if job.inspection_day is not None]
    for job in sorted(visits, key=lambda job: (job.inspection_day, job.name)):
        visit = joined.visits.get(job.name)
        if visit is None:
            continue
        sheet = booked.setdefault(visit.jurisdiction, Counter())
        why = why_not_on(joined, job, visit, sheet, now)
        if why is not None:
            assert job.inspection_day is not None
            day = joined.calendar.date_of(job.inspection_day)
            name = _office_name(joined, job.lot)
            found.append(Disagreement(*job.name, name, day, job.inspection_day, why))
    return found


def _office_name(joined: Joined, lot: str) -> str:
    place = next(one.subdivision for one in joined.problem.lots if one.id == lot)
    index = joined.problem.subdivision_index[place]
    return joined.problem.subdivisions[index].jurisdiction


def why_not_on(
    joined: Joined,
    job: PlannedJob,
    visit: Visit,
    booked: Counter[date],
    now: datetime,
) -> dict[str, str] | None:
    """Book each kind of the visit; why one cannot be had, as a reason."""
    calendar = joined.calendar
    assert job.inspection_day is not None
    day = calendar.date_of(job.inspection_day)
    zone = visit.office.usual.rules.zone
    asked = now.astimezone(zone).replace(tzinfo=None)
    if job.crew is not None:
        asked = max(asked, calendar.moment(job.end_quarter))
    waiting = {kind: set(visit.after[kind]) for kind in visit.kinds}
    first = [kind for kind in visit.kinds if not waiting[kind]]
    for kind in first:
        found = by_when(visit.office, kind=kind, inspect_on=day, booked=booked)
        if isinstance(found, NotHeld):
            return {"code": f"day_{found.reason}"}
        if isinstance(found, CallInBy) and found.at < asked:
            at = f"{found.at:%Y-%m-%d %H:%M}"
            return {"code": "exact_call_by", "at": at}
        booked[day] += 1
    return _later_kinds(joined, job, visit, booked, day, first)


def _later_kinds(
    joined: Joined,
    job: PlannedJob,
    visit: Visit,
    booked: Counter[date],
    day: date,
    passed: list[str],
) -> dict[str, str] | None:
    """Kinds that wait for others: each is asked for when those have passed."""
    done = dict.fromkeys(passed, day)
    while len(done) < len(visit.kinds):
        kind = next(
            (k for k in visit.kinds if k not in done and done.keys() >= visit.after[k]),
            None,
        )
        if kind is None:
            return {"code": "exact_waits"}
        after = max(done[before] for before in visit.after[kind])
        asked = datetime.combine(after, RESULT_BY)
        found = when(visit.office, kind=kind, requested_at=asked, booked=booked)
        done[kind] = after
        if isinstance(found, Earliest):
            done[kind] = found.inspect_on
        elif isinstance(found, Within):
            done[kind] = found.latest_on
        booked[done[kind]] += 1
    assert job.inspection_day is not None
    last = joined.calendar.date_of(job.inspection_day + visit.extra)
    late = max(done.values()) > last
    return {"code": "exact_last_later"} if late else None
