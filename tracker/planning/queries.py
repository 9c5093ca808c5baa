"""What pages read of plans, each in a fixed number of statements."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from django.db.models import JSONField, QuerySet

from tracker.errors import Refused
from tracker.people.models import Member
from tracker.planning.adapter.calendar import Calendar
from tracker.planning.adapter.keys import Keys, Name
from tracker.planning.carrying import Carried, carried
from tracker.planning.core.errors import BadPlan
from tracker.planning.core.plan import Plan, read_plan
from tracker.planning.core.problem_json import read_problem
from tracker.planning.models import CrewNotice, Pin, PlanVersion, SolveRun
from tracker.planning.solving import shifted


def published() -> PlanVersion | None:
    """The plan of record, without its large columns."""
    light = ("status", "number", "day0", "published_at", "published_by__name")
    return (
        PlanVersion.objects.filter(status=PlanVersion.PUBLISHED)
        .select_related("published_by")
        .only(*light)
        .first()
    )


@dataclass(frozen=True)
class Promised:
    """The date offered to the builder for a lot phase, and the odds of its need-by."""

    on: date
    on_time: float


def promised() -> dict[int, Promised]:
    """By lot phase, of the published plan; two columns of it are read."""
    light = PlanVersion.objects.filter(status=PlanVersion.PUBLISHED)
    version = light.only("day0", "odds", "keys").first()
    if version is None:
        return {}
    calendar, phases = Calendar(version.day0), Keys.read(version.keys).phases
    return {
        phases[lot, phase]: Promised(calendar.date_of(days[5]), days[6])
        for lot, phase, *days in version.odds
        if (lot, phase) in phases
    }


def plan_of(version: PlanVersion) -> Plan:
    """The plan of a version. Raises Refused where what is stored cannot be read."""
    try:
        return read_plan(version.plan)
    except BadPlan as error:
        raise Refused("plan_unreadable") from error


def carried_of(version: PlanVersion, begun: Collection[Name]) -> Carried | None:
    """The plan that a draft began beside, held against the draft's own problem."""
    base = PlanVersion.objects.filter(pk=version.base_id).only("plan", "day0").first()
    if base is None:
        return None
    days = Calendar(base.day0).number_of(version.day0)
    problem, plan = read_problem(version.problem), shifted(plan_of(base), days)
    return carried(problem, version.problem, plan, plan_of(version), begun=begun)


def standing_pins() -> QuerySet[Pin]:
    """Pins that nobody has lifted, of work that is still to pass."""
    rows = Pin.objects.filter(
        lifted_at=None, lot_phase__passed_on=None, lot_phase__lot__retired_at=None
    )
    return rows.select_related("crew", "lot_phase__kind", "lot_phase__lot__subdivision")


def drafts() -> QuerySet[PlanVersion]:
    """Drafts on the table, the newest first, without their large columns."""
    return (
        PlanVersion.objects.filter(status=PlanVersion.DRAFT)
        .select_related("made_by", "base")
        .only(
            *("status", "title", "what_if", "made_at", "made_by__name", "changed_by"),
            *("changed_at", "revision", "base__number", "day0"),
        )
    )


def latest_run(version: PlanVersion) -> SolveRun | None:
    """Of those that somebody asked for; odds are worked out by themselves."""
    return SolveRun.objects.filter(version=version).exclude(what="odds").first()


def latest_weighing(version: PlanVersion) -> SolveRun | None:
    return SolveRun.objects.filter(version=version, what="odds").first()


def unread_changes(*, by: date) -> QuerySet[CrewNotice]:
    """Notices that nobody acknowledged and that change a day up to `by`.

    Handed tomorrow, these are the lines for Today: a crew may go to the wrong lot.
    """
    rows = _with_number(CrewNotice.objects.filter(seen_at=None, first_day__lte=by))
    return rows.order_by("first_day", "crew__name")


def _with_number(rows: QuerySet[CrewNotice]) -> QuerySet[CrewNotice]:
    """With crew and plan, without its large columns: each row would read them."""
    large = [
        f"version__{field.name}"
        for field in PlanVersion._meta.concrete_fields
        if isinstance(field, JSONField)
    ]
    return rows.select_related("crew", "version").defer(*large)


def unread_by(member: Member, *, day: date) -> list[CrewNotice]:
    """As `unread_changes`, the newest of each crew: reading it reads older ones.

    Of the member's crew; for the office, everybody's.
    """
    rows = unread_changes(by=day)
    if not member.is_office:
        rows = rows.filter(crew=member.crew_id)
    newest: dict[int, CrewNotice] = {}
    for notice in rows:
        known = newest.get(notice.crew_id)
        if known is None or known.made_at < notice.made_at:
            newest[notice.crew_id] = notice
    return list(newest.values())


def notices_of(member: Member) -> QuerySet[CrewNotice]:
    """What a member has still to acknowledge; for the office, everybody's."""
    return to_acknowledge(member).filter(seen_at=None)


def to_acknowledge(member: Member) -> QuerySet[CrewNotice]:
    """Notices of the member's crew, read or not; for the office, everybody's."""
    rows = _with_number(CrewNotice.objects.all())
    if member.is_office:
        return rows
    return rows.filter(crew=member.crew_id)
