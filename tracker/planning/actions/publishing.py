"""A draft becomes the plan of record; only crews whose days change are told."""

from collections import defaultdict
from datetime import date, datetime
from typing import Any

from django.db.models import Max

from phases.actions.work import plan_phase, unplan_phase
from phases.log import Who, writing
from phases.rules import check
from tracker.errors import Refused
from tracker.planning.adapter import Change, plan_to_facts, problem_of
from tracker.planning.adapter.calendar import Calendar
from tracker.planning.adapter.keys import Keys
from tracker.planning.core.plan import read_plan
from tracker.planning.exact import disagreements
from tracker.planning.models import CrewNotice, PlanVersion
from tracker.planning.rules import (
    why_not_acknowledge,
    why_not_old,
    why_not_publish,
)

from .drafts import locked


def publish(
    version: PlanVersion, *, revision: int | None = None, who: Who, now: datetime
) -> PlanVersion:
    """Make a draft the plan of record. Raises Refused, with what has changed since."""
    joined = problem_of(now=now)
    check(why_not_old(version, day0=joined.calendar.day0))
    if version.plan is None:
        raise Refused("plan_empty")
    wrong = disagreements(joined, read_plan(version.plan), now=now)
    if wrong:
        first = wrong[0]
        raise Refused(
            "plan_against_office",
            lot=first.lot,
            phase=first.phase,
            date=first.day.isoformat(),
            office=first.office,
            why=first.why,
        )
    # The log's lock makes one line of all who publish; ask again inside it.
    with writing(now=now):
        version = locked(version)
        current = PlanVersion.objects.filter(status=PlanVersion.PUBLISHED).first()
        check(why_not_publish(version, current, member=who.member, revision=revision))
        changes = changes_of(version)
        _tell(version, changes, who=who, now=now)
        _become_current(version, current, who=who, now=now)
        return version


def changes_of(version: PlanVersion) -> list[Change]:
    """What publishing this version would tell anew, and to whom."""
    return plan_to_facts(
        read_plan(version.plan),
        Keys.read(version.keys),
        Calendar(version.day0),
        until=version.until,
    )


def _become_current(
    version: PlanVersion, current: PlanVersion | None, *, who: Who, now: datetime
) -> None:
    if current is not None:
        current.status = PlanVersion.SUPERSEDED
        current.save(update_fields=["status"])
    last = PlanVersion.objects.aggregate(last=Max("number"))["last"] or 0
    version.status, version.number = PlanVersion.PUBLISHED, last + 1
    version.published_by, version.published_at = who.member, now
    version.save(update_fields=["status", "number", "published_by", "published_at"])


def _tell(
    version: PlanVersion, changes: list[Change], *, who: Who, now: datetime
) -> None:
    """Facts for every changed lot phase, a notice for each crew that must know."""
    news: dict[int, list[dict[str, Any]]] = defaultdict(list)
    plan = f"{version.pk}"
    for change in changes:
        was, after = change.was, change.now
        if change.crew is None or change.start is None or change.end is None:
            unplan_phase(change.row, who=who, now=now, reason="later")
        else:
            plan_phase(
                change.row,
                crew=change.crew,
                start=change.start,
                end=change.end,
                half=change.half,
                plan=plan,
                who=who,
                now=now,
            )
        if not change.days_change:
            continue
        told = {"lot": change.lot, "phase": change.row.kind.code}
        told |= {"lot_pk": change.row.lot_id, "was": was, "now": after}
        for crew in {one["crew"] for one in (was, after) if one}:
            news[crew].append(told)
    CrewNotice.objects.bulk_create(
        CrewNotice(
            version=version,
            crew_id=crew,
            changes=rows,
            first_day=min(_days(rows)),
            made_at=now,
        )
        for crew, rows in news.items()
    )


def _days(rows: list[dict[str, Any]]) -> list[date]:
    found = [one[key]["start"] for one in rows for key in ("was", "now") if one[key]]
    return [date.fromisoformat(day) for day in found]


def acknowledge(notice: CrewNotice, *, who: Who, now: datetime) -> CrewNotice:
    """The crew's lead has read what changed; a newer notice says it for older ones."""
    check(why_not_acknowledge(notice, who.member))
    CrewNotice.objects.filter(
        crew=notice.crew, made_at__lte=notice.made_at, seen_at=None
    ).update(seen_at=now, seen_by=who.name)
    notice.refresh_from_db()
    return notice
