"""Notices written down once, with what is to be sent of them, in one transaction."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from datetime import date, datetime, timedelta
from uuid import uuid4

from django.conf import settings
from django.db import transaction

from inspections.models import Delivery, Forecast, LastLook, Notice
from inspections.notices.due import FOR_LEADS, Due, due_of
from inspections.notices.holidays import closed_days_missing
from inspections.standing import (
    lots_whose_permit_may_end,
    relevant_lots,
    standings,
)
from tracker.people.models import Member, Role

MOST = 2  # notices of one reason for one lot phase
LOOK = "notices"
FROST_DAYS = 2
DUMMY_MAIL = "django.core.mail.backends.dummy.EmailBackend"


def look(*, now: datetime) -> int:
    """Write what is new, put right what changed, settle what no longer holds.

    Safe to run twice, late, or by two workers at once: they stand in line, and a
    notice that is there is not written again. Returns how many are new.
    """
    with transaction.atomic():
        LastLook.objects.get_or_create(task=LOOK, defaults={"at": now})
        # The lock that puts two workers in line.
        last = LastLook.objects.select_for_update().get(task=LOOK)
        forecasts = _forecasts(now)
        lots = _watched(now)
        dues = [
            due
            for standing in standings(lots, now=now)
            for due in due_of(standing, forecasts[standing.lot.subdivision_id], now=now)
        ]
        made = _write(dues, lots, now=now)
        made += closed_days_missing(now=now)
        _outbox(made, now=now)
        last.at, last.found = now, len(made)
        last.save(update_fields=["at", "found"])
        if made:
            # Without a broker they wait for the clock: the notice itself is kept.
            transaction.on_commit(_send_soon, robust=True)
    return len(made)


def _send_soon() -> None:
    from inspections.tasks import send_notices

    send_notices.delay()


def _forecasts(now: datetime) -> dict[int, list[Forecast]]:
    today = now.date()
    found: dict[int, list[Forecast]] = defaultdict(list)
    until: date = today + timedelta(days=FROST_DAYS)
    for forecast in Forecast.objects.filter(on__gte=today, on__lte=until):
        found[forecast.subdivision_id].append(forecast)
    return found


def _watched(now: datetime) -> list[int]:
    """Lots that may have something to notice."""
    rows = relevant_lots().values_list("pk", flat=True)
    ending = lots_whose_permit_may_end(now.date()).values_list("pk", flat=True)
    return sorted({*rows, *ending})


def _write(
    dues: Iterable[Due], lots: Collection[int], *, now: datetime
) -> list[Notice]:
    known: dict[tuple[str, str], list[Notice]] = defaultdict(list)
    about_lots = Notice.objects.filter(lot__in=lots)
    for notice in about_lots.order_by("key"):
        about, reason, _ = notice.key.split(":")
        known[about, reason].append(notice)
    made, standing_now = [], set()
    for due in dues:
        rows = known[due.about, due.reason]
        notice, new = _place(due, rows, now=now)
        standing_now.add(notice.pk)
        if new:
            rows.append(notice)
            made.append(notice)
    gone = Notice.objects.open().filter(jurisdiction=None).exclude(pk__in=standing_now)
    gone.update(settled_at=now)
    return made


def _place(due: Due, rows: list[Notice], *, now: datetime) -> tuple[Notice, bool]:
    """The row of this subject: found, new, or the second one taken over."""
    row = next((row for row in rows if row.subject == due.subject), None)
    if row is None and len(rows) < MOST:
        return _new(due, len(rows) + 1, now=now), True
    row = row or rows[-1]
    same = (row.subject, row.words, row.due_at) == (due.subject, due.words, due.due_at)
    if not same or row.settled_at is not None:
        row.subject, row.words, row.due_at = due.subject, due.words, due.due_at
        row.settled_at, row.changed_at = None, now
        row.save()
    return row, False


def _new(due: Due, number: int, *, now: datetime) -> Notice:
    return Notice.objects.create(
        key=f"{due.about}:{due.reason}:{number}",
        reason=due.reason,
        subject=due.subject,
        lot=due.standing.lot,
        lot_phase=due.phase,
        words=due.words,
        due_at=due.due_at,
        made_at=now,
        changed_at=now,
    )


def ways_open() -> list[str]:
    """How the server can send at all."""
    ways = [] if settings.EMAIL_BACKEND == DUMMY_MAIL else ["email"]
    return [*ways, *(["push"] if settings.PUSH_PUBLIC_KEY else [])]


def _outbox(notices: list[Notice], *, now: datetime) -> None:
    """One row for each member who asked to be told, by each way he asked for."""
    ways = ways_open()
    if not notices or not ways:
        return
    members = list(Member.objects.filter(is_active=True).exclude(role=Role.PLUMBER))
    Delivery.objects.bulk_create(
        Delivery(
            notice=notice,
            member=member,
            way=way,
            message_id=uuid4().hex,
            next_try_at=now,
        )
        for notice in notices
        for member in members
        if _is_for(notice, member)
        for way in ways
        if _asked(member, way)
    )


def _is_for(notice: Notice, member: Member) -> bool:
    if member.is_office:
        return True
    phase = notice.lot_phase
    return (
        notice.reason in FOR_LEADS
        and phase is not None
        and phase.crew_id is not None
        and member.crew_id == phase.crew_id
    )


def _asked(member: Member, way: str) -> bool:
    if way == "email":
        return bool(member.wants_email and member.email)
    return bool(member.wants_push)
