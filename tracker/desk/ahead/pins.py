"""Pins that hold now, whoever looks at which plan."""

from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from tracker.planning.adapter.calendar import Calendar
from tracker.planning.models import Pin, PlanVersion
from tracker.planning.queries import standing_pins
from tracker.sites.models import Company


@dataclass(frozen=True)
class Standing:
    """A pin; `crew` and `day` are what the shown plan has where that is otherwise.

    `made_at` by the office's clock. `past`: its day has gone by and it binds nobody.
    """

    pin: Pin
    made_at: datetime
    crew: str = ""
    day: date | None = None
    past: bool = False


def standing_of(version: PlanVersion | None, *, today: date) -> list[Standing]:
    """All of them, beside a plan if one is shown."""
    has = _planned(version) if version and version.plan else {}
    zone = ZoneInfo(Company.get().time_zone)
    found = []
    for pin in standing_pins():
        past = pin.day < today
        # Without its zone, or the template would put it back into its own.
        made_at = pin.made_at.astimezone(zone).replace(tzinfo=None)
        crew, day = has.get(pin.lot_phase_id, (pin.crew.name, pin.day))
        if past or (crew, day) == (pin.crew.name, pin.day):
            found.append(Standing(pin, made_at, past=past))
        else:
            found.append(Standing(pin, made_at, crew, day))
    return found


def _planned(version: PlanVersion) -> dict[int, tuple[str, date]]:
    """Crew and day of each job that has them, by lot phase."""
    calendar = Calendar(version.day0)
    rows = {(lot, phase): pk for lot, phase, pk in version.keys["phases"]}
    return {
        rows[job["lot"], job["phase"]]: (
            job["crew"],
            calendar.date_of(job["start_quarter"] // 4),
        )
        for job in version.plan["jobs"]
        if job["crew"] and (job["lot"], job["phase"]) in rows
    }
