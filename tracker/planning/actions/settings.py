"""What people tell the planner: rain, prices, how careful to be."""

import csv
import io
from collections.abc import Iterable
from datetime import date, datetime

from django.db import transaction

from phases.log import Who
from phases.rules import check, why_not_office, why_not_owner
from tracker.errors import Refused
from tracker.people.models import Crew, CrewDayOff
from tracker.planning.models import PlanningRules, RainDay

MOST_ROWS = 2000
WET_INCHES = 0.25  # common practice: more than this stops work in a trench


@transaction.atomic
def say_rain(
    days: Iterable[date], *, who: Who, now: datetime, source: str = ""
) -> list[RainDay]:
    """Rain days from now on; those said already stay as they are."""
    check(why_not_office(who.member))
    wanted = sorted(set(days))
    if not wanted:
        raise Refused("rain_no_day")
    there = set(
        RainDay.objects.filter(taken_back_at=None, day__in=wanted).values_list(
            "day", flat=True
        )
    )
    return RainDay.objects.bulk_create(
        RainDay(day=day, said_by=who.name, source=source[:120], said_at=now)
        for day in wanted
        if day not in there
    )


def take_rain_back(day: date, *, who: Who, now: datetime) -> int:
    check(why_not_office(who.member))
    return RainDay.objects.filter(day=day, taken_back_at=None).update(
        taken_back_at=now, taken_back_by=who.name
    )


@transaction.atomic
def say_off(
    crew: Crew, days: Iterable[date], *, who: Who, reason: str = ""
) -> list[CrewDayOff]:
    """Days on which a crew does not work; those said already stay as they are."""
    check(why_not_office(who.member))
    wanted = sorted({day for day in days if day.weekday() < 5})
    if not wanted:
        raise Refused("off_no_day")
    there = set(
        CrewDayOff.objects.filter(crew=crew, date__in=wanted).values_list(
            "date", flat=True
        )
    )
    # One by one, so that each leaves its history.
    return [
        CrewDayOff.objects.create(crew=crew, date=day, reason=reason[:80])
        for day in wanted
        if day not in there
    ]


def take_off_back(off: CrewDayOff, *, who: Who) -> None:
    """The crew works that day after all; the history keeps who said otherwise."""
    check(why_not_office(who.member))
    off.delete()


def read_forecast(text: str, *, least: float = WET_INCHES) -> list[date]:
    """Days of a forecast file with at least so much rain.

    CSV with the columns `date` (2026-03-04) and `inches`; others are read past. Raises
    Refused naming the line that cannot be read.
    """
    rows = csv.DictReader(io.StringIO(text.lstrip("\ufeff")))
    if not {"date", "inches"} <= set(rows.fieldnames or ()):
        raise Refused("rain_columns")
    days = []
    for number, row in enumerate(rows, start=2):
        if number > MOST_ROWS:
            raise Refused("rain_line", line=number)
        try:
            day, inches = date.fromisoformat(row["date"].strip()), float(row["inches"])
        except (ValueError, AttributeError, TypeError):
            raise Refused("rain_line", line=number) from None
        if inches >= least:
            days.append(day)
    return days


@transaction.atomic
def set_rules(*, who: Who, **fields: float) -> PlanningRules:
    """Set weights, buffer and spans; the owner alone."""
    check(why_not_owner(who.member))
    rules = PlanningRules.objects.select_for_update().first() or PlanningRules()
    for name, value in fields.items():
        if name not in LIMITS or not LIMITS[name][0] <= value <= LIMITS[name][1]:
            raise Refused("bad_value", field=name, value=value)
        setattr(rules, name, value)
    rules.save()
    return rules


LIMITS: dict[str, tuple[float, float]] = {
    "late_day": (0, 1000),
    "move": (0, 1000),
    "crew_change": (0, 1000),
    "day_change": (0, 1000),
    "buffer": (0, 4),
    "told_days": (5, 60),
    "hold_days": (0, 60),
}
