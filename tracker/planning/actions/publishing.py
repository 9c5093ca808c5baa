"""A draft becomes the plan of record; only crews whose days change are told."""

from collections import defaultdict
from datetime import date, datetime
from typing import Any

from django.db.models import Max

from phases.actions.work import plan_phase, unplan_phase
from phases.log import Who, writing
from phases.rules import check
from tracker.errors import Refused
from tracker.planning.adapter import Change, Joined, plan_to_facts, problem_of
from tracker.planning.adapter.calendar import Calendar
from tracker.planning.adapter.keys import Keys
from tracker.planning.adapter.labels import Label
from tracker.planning.exact import disagreements
from tracker.planning.models import CrewNotice, ExtraDay, Pin, PlanVersion
from tracker.planning.queries import plan_of
from tracker.planning.rules import (
    why_not_acknowledge,
    why_not_old,
    why_not_publish,
    why_not_true,
)

from .drafts import locked
from .weighing import odds_of, reasons_of, share_offered

Found = tuple[list[dict[str, Any]], list[list[Any]]]


def publish(
    version: PlanVersion, *, revision: int | None = None, who: Who, now: datetime
) -> PlanVersion:
    """Make a draft the plan of record. Raises Refused, with what has changed since.

    What a what-if supposes is made so first where it is the owner's to say: a pin
    lifted, a day of overtime given. The rest must have become so.
    """
    found = _missing(version)
    # The log's lock makes one line of all who publish, and of what they read.
    with writing(now=now):
        seen, version = version.revision, locked(version)
        current = PlanVersion.objects.filter(status=PlanVersion.PUBLISHED).first()
        check(why_not_publish(version, current, member=who.member, revision=revision))
        _make_so(version, who=who, now=now)
        joined = problem_of(now=now)
        check(why_not_old(version, day0=joined.calendar.day0))
        until = None if version.what_if else version.until
        check(why_not_true(version, joined, until=until))
        check(_why_not_by_offices(joined, version, now=now))
        if not version.odds:
            # Somebody moved a job meanwhile where it is not of this revision.
            fits = found is not None and version.revision == seen
            version.why, version.odds = found if fits else _found(version)
        changes = changes_of(version)
        _tell(version, changes, who=who, now=now)
        _become_current(version, current, who=who, now=now)
        return version


def _missing(version: PlanVersion) -> Found | None:
    """What a draft moved by hand lacks until the worker has weighed it.

    It takes seconds, so nobody else waits for it.
    """
    lacks = version.status == PlanVersion.DRAFT and version.plan and not version.odds
    return _found(version) if lacks else None


def _found(version: PlanVersion) -> Found:
    return reasons_of(version), odds_of(version, share_offered())


def _why_not_by_offices(
    joined: Joined, version: PlanVersion, *, now: datetime
) -> Refused | None:
    wrong = disagreements(joined, plan_of(version), now=now)
    if not wrong:
        return None
    first = wrong[0]
    return Refused(
        "plan_against_office",
        lot=Label(first.lot),
        phase=first.phase,
        date=first.day.isoformat(),
        office=first.office,
        why=first.why,
    )


def _make_so(version: PlanVersion, *, who: Who, now: datetime) -> None:
    """The part of a what-if that the owner decides."""
    if not version.what_if:
        return
    code, params = version.what_if["code"], version.what_if["params"]
    keys = Keys.read(version.keys)
    row = keys.phases.get((params.get("lot", ""), params.get("phase", "")))
    standing = Pin.objects.filter(lifted_at=None)
    if code == "no_pin":
        standing.filter(lot_phase=row).update(lifted_at=now, lifted_by=who.name)
    elif code == "no_pins":
        standing.update(lifted_at=now, lifted_by=who.name)
    elif code == "overtime_day" and row is not None:
        ExtraDay.objects.create(lot_phase_id=row, made_by=who.name, made_at=now)


def changes_of(version: PlanVersion) -> list[Change]:
    """What publishing this version would tell anew, and to whom."""
    return plan_to_facts(
        plan_of(version),
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
    fields = ("status", "number", "published_by", "published_at", "why", "odds")
    version.save(update_fields=fields)


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
            first_day=min(_days(rows, crew)),
            made_at=now,
        )
        for crew, rows in news.items()
    )


def _days(rows: list[dict[str, Any]], crew: int) -> list[date]:
    """The days of this crew that are otherwise."""
    both = [one[key] for one in rows for key in ("was", "now") if one[key]]
    found = [said["start"] for said in both if said["crew"] == crew]
    return [date.fromisoformat(day) for day in found]


def acknowledge(notice: CrewNotice, *, who: Who, now: datetime) -> CrewNotice:
    """The crew's lead has read what changed; a newer notice says it for older ones."""
    check(why_not_acknowledge(notice, who.member))
    CrewNotice.objects.filter(
        crew=notice.crew, made_at__lte=notice.made_at, seen_at=None
    ).update(seen_at=now, seen_by=who.name)
    notice.refresh_from_db()
    return notice
