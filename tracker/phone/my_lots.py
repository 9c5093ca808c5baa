"""Which lots a person needs on his phone: today's and the next three working days'."""

from datetime import date, timedelta

import holidays
from django.db.models import Q, QuerySet

from phases.models import LotPhase
from tracker.people.models import Member

AHEAD = 3
MOST_LOTS = 200
RECENT = timedelta(days=21)
_HOLIDAYS = holidays.country_holidays("US")


def last_day(today: date) -> date:
    """The third working day after today (Monday to Friday, no federal holiday)."""
    day, left = today, AHEAD
    while left:
        day += timedelta(days=1)
        if day.weekday() < 5 and day not in _HOLIDAYS:
            left -= 1
    return day


def phases_for(member: Member, *, today: date) -> QuerySet[LotPhase]:
    """Lot phases a person works on, walks or waits to see passed in these days.

    The crew's own and those it helps on; for office and owner, everybody's.
    """
    until = last_day(today)
    open_work = ~Q(work__in=("done", "proven"))
    soon = Q(planned_start__lte=until) & open_work
    # Done and not passed yet: on test, results, and what the inspector found.
    after = Q(work__in=("done", "proven"), passed_on=None) & (
        Q(work_on__gte=today - RECENT) | Q(work_on=None)
    )
    owed = Q(corrections__state__in=("open", "done"), corrections__owed_by="us")
    phases = LotPhase.objects.filter(
        soon | Q(work="working") | after | owed, lot__retired_at=None
    )
    if not member.sees_all:
        crew = member.crew_id
        if crew is None:
            return phases.none()
        phases = phases.filter(Q(crew=crew) | Q(helper_rows__crew=crew))
    return phases.distinct()


def lots_for(member: Member, *, today: date) -> tuple[list[int], date]:
    """At most MOST_LOTS lots, the soonest first, and until which day they are all.

    Where more are wanted the phone must not say that it has them: it is complete until
    the day before the first that is left out. One statement.
    """
    rows = phases_for(member, today=today).order_by("planned_start", "lot")
    starts: dict[int, date] = {}
    for lot, start in rows.values_list("lot", "planned_start"):
        starts.setdefault(lot, start or today)
    ids = list(starts)
    until = last_day(today)
    if left_out := ids[MOST_LOTS:]:
        first = min(max(starts[lot], today) for lot in left_out)
        until = min(until, first - timedelta(days=1))
    return ids[:MOST_LOTS], until


def lot_ids_for(member: Member, *, today: date) -> list[int]:
    return lots_for(member, today=today)[0]
