"""Inspections of all lots, in a fixed number of SQL statements."""

from dataclasses import dataclass
from datetime import date, timedelta

from inspections.models import InspectionRequest, InspectionResult
from tracker.desk.today.queries import Today, phase_lines
from tracker.people.models import Member
from tracker.sites.models import Lot

LAST = timedelta(days=14)


@dataclass(frozen=True)
class Inspections:
    to_call: Today
    waiting: list[InspectionRequest]
    results: list[InspectionResult]


def inspections(member: Member, *, today: date) -> Inspections:
    """What is to be called in, what is called in, and the results of two weeks."""
    mine = Lot.objects.visible_to(member).open()
    to_call = Today(next_day=today)
    phase_lines(to_call, mine)
    in_lots = {"lot__in": mine.values("pk")}
    waiting = InspectionRequest.objects.waiting().filter(**in_lots)
    results = InspectionResult.objects.filter(on__gte=today - LAST, **in_lots)
    around = ("kind", "lot__subdivision__jurisdiction")
    return Inspections(
        to_call,
        list(waiting.select_related(*around).order_by("for_date", "lot")),
        list(results.select_related(*around).order_by("-on", "-recorded_at")),
    )
