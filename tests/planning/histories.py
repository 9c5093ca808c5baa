"""Past work written as facts, for tests of what is learned from it."""

from datetime import date, datetime, time, timedelta
from itertools import count
from zoneinfo import ZoneInfo

from phases.models import Fact, LotPhase
from tests.factories import make_lot, make_plan, make_subdivision, phase_of

PLACE = ZoneInfo("America/Chicago")
MONDAY = date(2026, 2, 2)  # four weeks before the scene's morning
CODES = ("underground", "rough", "topout", "trim")
_no = count(10**6)


def houses(who, number, quarters, *, office=None, plan=None):
    """Lots of one plan on which every phase takes a plain crew so many quarters."""
    plan = plan or make_plan(crew_quarters=dict.fromkeys(CODES, quarters))
    place = make_subdivision(builder=plan.builder, jurisdiction=office)
    now = datetime.combine(MONDAY, time(6), PLACE)
    return [
        make_lot(subdivision=place, plan=plan, by=who.member, now=now)
        for _ in range(number)
    ]


def worked(lot, code, crew, took, *, start=MONDAY):
    """A crew did a phase from seven in the morning on, in so many quarters.

    A day is four quarters of two hours, from seven to three; Saturdays are free.
    """
    days, quarters = divmod(took - 1, 4)
    last = start
    for _ in range(days):
        last += timedelta(days=3 if last.weekday() == 4 else 1)
    phase = phase_of(lot, code)
    moments = {
        "started": datetime.combine(start, time(7), PLACE),
        "work_done": datetime.combine(last, time(9 + 2 * quarters), PLACE),
    }
    Fact.objects.bulk_create(
        Fact(
            no=next(_no),
            kind=kind,
            lot=lot,
            lot_phase=phase,
            happened_at=at,
            recorded_at=at,
        )
        for kind, at in moments.items()
    )
    LotPhase.objects.filter(pk=phase.pk).update(work="done", crew=crew)
