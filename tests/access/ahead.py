"""A planned draft, what it told two crews, and a rain day."""

from datetime import datetime, timedelta
from typing import Any

from tests.access.house import House
from tracker.desk.doing import office_today
from tracker.planning.actions.drafts import start_draft
from tracker.planning.actions.running import ask_run, work_on
from tracker.planning.actions.settings import say_rain
from tracker.planning.models import CrewNotice, Pin, PlanVersion, SolveRun


def draft_of(own: House, now: datetime) -> PlanVersion:
    """A draft that the planner has worked out."""
    draft = start_draft(who=own.by, now=now, today=office_today(now))
    run = ask_run(draft, who=own.by, now=now, seconds=None, iterations=50)
    work_on(run.pk, clock=lambda: now)
    draft.refresh_from_db()
    run.refresh_from_db()
    assert run.state == SolveRun.DONE, run.trouble
    return draft


def waiting_run(draft: PlanVersion, own: House, now: datetime) -> SolveRun:
    """A run that nobody has begun."""
    return SolveRun.objects.create(
        version=draft, asked_by=own.office.name, asked_at=now, told_at=now
    )


def notice(draft: PlanVersion, house: House, now: datetime) -> CrewNotice:
    day = (now + timedelta(days=3)).date().isoformat()
    told = {"crew": house.crew.pk, "start": day, "end": day, "half": 0}
    change: dict[str, Any] = {
        **{"lot": house.lot.name, "phase": "topout", "lot_pk": house.lot.pk},
        **{"was": None, "now": told},
    }
    return CrewNotice.objects.create(
        version=draft, crew=house.crew, changes=[change], first_day=day, made_at=now
    )


def standing_pin(own: House, now: datetime) -> int:
    """A pin that nobody has lifted."""
    pin = Pin.objects.create(
        **{"lot_phase": own.trim, "crew": own.crew, "day": office_today(now)},
        **{"made_by": own.office.name, "made_at": now},
    )
    return pin.pk


def rain(own: House, now: datetime) -> str:
    """The day of a rain that was said, as it stands in an address."""
    day = (now + timedelta(days=6)).date()
    say_rain([day], who=own.by, now=now)
    return day.isoformat()
