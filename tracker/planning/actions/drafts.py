"""Drafts: begun, moved about by hand, left."""

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from django.db import transaction

from phases.log import Who
from phases.models import LotPhase
from phases.rules import check, why_not_office
from tracker.errors import Refused
from tracker.people.models import Crew
from tracker.planning.adapter.calendar import Calendar
from tracker.planning.adapter.keys import Keys
from tracker.planning.core.plan import write_plan
from tracker.planning.core.problem_json import read_problem
from tracker.planning.editing import Moved, move_job
from tracker.planning.models import Pin, PlanningRules, PlanVersion
from tracker.planning.queries import plan_of
from tracker.planning.rules import why_not_edit

from .running import ask_run
from .weighing import reasons_of


def start_draft(
    *,
    who: Who,
    now: datetime,
    today: date,
    title: str = "",
    what_if: Mapping[str, Any] | None = None,
) -> PlanVersion:
    """A draft beside the published plan; it has no jobs before it is solved.

    `what_if` is a change that is not so (see `supposing`).
    """
    check(why_not_office(who.member))
    calendar = Calendar.at(datetime.combine(today, datetime.min.time()))
    told = PlanningRules.get().told_days
    return PlanVersion.objects.create(
        base=PlanVersion.objects.filter(status=PlanVersion.PUBLISHED).first(),
        day0=calendar.day0,
        until=calendar.date_of(told),
        title=title[:120],
        what_if=dict(what_if or {}),
        problem={},
        keys=Keys().as_json(),
        made_by=who.member,
        made_at=now,
        changed_by=who.name,
        changed_at=now,
    )


def locked(version: PlanVersion) -> PlanVersion:
    return PlanVersion.objects.select_for_update().get(pk=version.pk)


@transaction.atomic
def drop_draft(version: PlanVersion, *, who: Who, now: datetime) -> PlanVersion:
    """Leave a draft; it is kept, but no longer offered."""
    check(why_not_office(who.member))
    version = locked(version)
    if version.status != PlanVersion.DRAFT:
        raise Refused("plan_no_draft")
    version.status = PlanVersion.DROPPED
    version.changed_by, version.changed_at = who.name, now
    version.save(update_fields=["status", "changed_by", "changed_at"])
    return version


def try_move(
    version: PlanVersion, name: tuple[str, str], *, crew: str, half: int
) -> Moved:
    """What the judge says of a move; nothing is written."""
    problem = read_problem(version.problem)
    plan = plan_of(version)
    if name not in problem.job_index or crew not in problem.crew_index:
        raise Refused("plan_no_job")
    job = problem.jobs[problem.job_index[name]]
    if not job.is_open or half < 0:
        raise Refused("plan_no_job")
    return move_job(problem, version.problem, plan, name, crew=crew, half=half)


@transaction.atomic
def keep_move(
    version: PlanVersion,
    name: tuple[str, str],
    *,
    crew: str,
    half: int,
    revision: int,
    who: Who,
    now: datetime,
) -> Moved:
    """Move a job of the draft, where no rule is broken by it.

    Its reasons are found at once, its promises by the worker.
    """
    version = locked(version)
    check(why_not_edit(version, member=who.member, revision=revision))
    moved = try_move(version, name, crew=crew, half=half)
    if moved.breaches:
        return moved
    version.plan = write_plan(moved.plan)
    version.why, version.odds, version.remedies = reasons_of(version), [], []
    version.revision += 1
    version.changed_by, version.changed_at = who.name, now
    version.save()
    ask_run(version, who=who, now=now, what="odds")
    return moved


@transaction.atomic
def set_pin(phase: LotPhase, *, crew: Crew, day: date, who: Who, now: datetime) -> Pin:
    """Hold a lot phase to a crew and a day; an older pin of it is lifted."""
    check(why_not_office(who.member))
    if day.weekday() > 4:
        raise Refused("bad_value", field="day", value=day.isoformat())
    lift_pins(phase, who=who, now=now)
    return Pin.objects.create(
        lot_phase=phase, crew=crew, day=day, made_by=who.name, made_at=now
    )


def lift_pins(phase: LotPhase, *, who: Who, now: datetime) -> int:
    check(why_not_office(who.member))
    standing = Pin.objects.filter(lot_phase=phase, lifted_at=None)
    return standing.update(lifted_at=now, lifted_by=who.name)


def half_day(version: PlanVersion, half: int) -> date:
    """The date of a half-day counted from the draft's day 0."""
    return Calendar(version.day0).date_of(half // 2)
