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


def lot_ids_for(member: Member, *, today: date) -> list[int]:
    """At most MOST_LOTS lots, the soonest first."""
    rows = (
        phases_for(member, today=today)
        .order_by("planned_start", "lot")
        .values_list("lot", flat=True)
    )
    return list(dict.fromkeys(rows))[:MOST_LOTS]
