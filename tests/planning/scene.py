"""Lots, crews and offices as the tests of plans need them."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from phases.actions.dates import say_date
from phases.actions.work import say_part
from phases.log import Who
from phases.models import LotPhase, ReadyPart
from tests.factories import (
    make_crew,
    make_jurisdiction,
    make_lot,
    make_member,
    make_plan,
    make_subdivision,
    phase_of,
)
from tracker.planning.actions.drafts import start_draft
from tracker.planning.actions.running import ask_run, work_on

# A Monday at six in the morning, by the office's clock: no quarter is gone.
MORNING = datetime(2026, 3, 2, 6, 0, tzinfo=ZoneInfo("America/Chicago"))
TODAY = MORNING.date()


def day(number):
    """The working day so many after today."""
    weeks, rest = divmod(number, 5)
    return TODAY + timedelta(days=7 * weeks + rest)


def made_ready(lot, who, code="underground", now=MORNING):
    for part in ReadyPart.objects.filter(kind__code=code):
        say_part(phase_of(lot, code), part.code, ready=True, who=who, now=now)


def dated(lot, who, code="underground", *, what="ready", on=TODAY, now=MORNING):
    say_date(lot, phase=phase_of(lot, code), what=what, date=on, who=who, now=now)


def street(who, lots=1, *, office=None, ready=True, **fields):
    """A subdivision of lots whose underground is ready to begin."""
    plan = make_plan(crew_quarters={"underground": 4, "rough": 4})
    place = make_subdivision(
        builder=plan.builder, jurisdiction=office or make_jurisdiction(), **fields
    )
    made = []
    for _ in range(lots):
        lot = make_lot(subdivision=place, plan=plan, by=who.member, now=MORNING)
        dated(lot, who, on=TODAY)
        dated(lot, who, what="need_by", on=day(6))
        if ready:
            made_ready(lot, who)
        made.append(lot)
    return made


def two_crews():
    return make_crew(name="Ditch"), make_crew(name="Frame")


def owner():
    return Who(member=make_member("owner"))


def planned(who, *, now=MORNING, iterations=2000):
    """A draft that has been solved."""
    draft = start_draft(who=who, now=now, today=now.date())
    run = ask_run(draft, who=who, now=now, seconds=None, iterations=iterations)
    assert work_on(run.pk, clock=lambda: now) == "done", _trouble(run)
    draft.refresh_from_db()
    return draft


def _trouble(run):
    run.refresh_from_db()
    return run.trouble


def told_of(lot, code="underground"):
    """What the crew was told: crew, first day, half, last day."""
    row = LotPhase.objects.get(lot=lot, kind__code=code)
    return row.crew_id, row.planned_start, row.planned_half, row.planned_end
