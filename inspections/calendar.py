"""Inspections as an iCalendar feed (RFC 5545), of one office or one crew."""

import hashlib
import secrets
from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.db.models import Max, QuerySet

from inspections.models import CalendarLink, InspectionRequest
from phases.log import Who
from phases.models import LotPhase
from phases.rules import check, why_not_office
from tracker.errors import Refused
from tracker.people.models import Crew
from tracker.sites.models import Jurisdiction

PRODUCT = "-//Plumbrow//Inspections//EN"
KEPT = timedelta(days=60)
STATUS = {
    InspectionRequest.ASKED: "CONFIRMED",
    InspectionRequest.RESULTED: "CONFIRMED",
    InspectionRequest.CANCELLED: "CANCELLED",
}


def make_link(
    *,
    who: Who,
    now: datetime,
    jurisdiction: Jurisdiction | None = None,
    crew: Crew | None = None,
) -> tuple[CalendarLink, str]:
    """A new feed and its token, which is shown once."""
    check(why_not_office(who.member))
    if (jurisdiction is None) == (crew is None):
        raise Refused("bad_value", field="feed", value="")
    token = secrets.token_urlsafe(24)
    link = CalendarLink.objects.create(
        token_hash=hash_of(token),
        jurisdiction=jurisdiction,
        crew=crew,
        made_by=who.name,
        made_at=now,
    )
    return link, token


def revoke_link(link: CalendarLink, *, who: Who, now: datetime) -> None:
    check(why_not_office(who.member))
    CalendarLink.objects.filter(pk=link.pk, revoked_at=None).update(
        revoked_at=now, revoked_by=who.name
    )


def hash_of(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


def link_of(token: str) -> CalendarLink | None:
    """The live feed of a token; None for a wrong or revoked one."""
    return (
        CalendarLink.objects.filter(token_hash=hash_of(token), revoked_at=None)
        .select_related("jurisdiction", "crew")
        .first()
    )


def requests_of(link: CalendarLink, *, today: date) -> QuerySet[InspectionRequest]:
    """The inspections of a feed, sixty days back and all ahead."""
    rows = InspectionRequest.objects.filter(for_date__gte=today - KEPT)
    if link.jurisdiction_id is not None:
        rows = rows.filter(kind__jurisdiction=link.jurisdiction_id)
    else:
        # The crew whose work the kind proves, on each of its lots.
        proved = set(
            LotPhase.objects.filter(crew=link.crew_id).values_list("lot", "kind__code")
        )
        mine = [
            pk
            for pk, lot, codes in rows.values_list("pk", "lot", "kind__proves")
            if any((lot, code) in proved for code in codes)
        ]
        rows = rows.filter(pk__in=mine)
    return rows.select_related("lot__subdivision", "kind__jurisdiction").order_by(
        "for_date", "pk"
    )


def etag_of(link: CalendarLink, *, today: date) -> str:
    """Changes whenever the feed would: from the newest change and the rows in it."""
    rows = requests_of(link, today=today)
    newest = rows.aggregate(at=Max("changed_at"))["at"]
    told = [
        f"{pk}:{sequence}:{status}"
        for pk, sequence, status in rows.values_list("pk", "sequence", "status")
    ]
    return hashlib.sha256("|".join([str(newest), *told]).encode()).hexdigest()[:32]


def feed(link: CalendarLink, *, today: date) -> bytes:
    """The feed as bytes; the same rows give the same bytes."""
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("x-wr-calname", f"Inspections {link}")
    rows = list(requests_of(link, today=today))
    for row in rows:
        calendar.add_component(_event(row))
    for zone in sorted({row.lot.subdivision.time_zone for row in rows}):
        calendar.add_component(_zone(zone, rows))
    made: bytes = calendar.to_ical()
    return made


def _zone(name: str, rows: Iterable[InspectionRequest]):  # type: ignore[no-untyped-def]
    from icalendar import Timezone

    days = [row.for_date for row in rows]
    return Timezone.from_tzid(
        name,
        first_date=date(min(days).year - 1, 1, 1),
        last_date=date(max(days).year + 2, 1, 1),
    )


def span_of(row: InspectionRequest) -> tuple[datetime, datetime] | None:
    """The window the office gave, as moments; None: some time of the day."""
    parts = row.window.replace("–", "-").split("-")
    try:
        opens, closes = (time.fromisoformat(part.strip()) for part in parts)
    except ValueError:
        return None
    if opens.tzinfo is not None or closes.tzinfo is not None or opens >= closes:
        return None
    zone = ZoneInfo(row.lot.subdivision.time_zone)
    return (
        datetime.combine(row.for_date, opens, tzinfo=zone),
        datetime.combine(row.for_date, closes, tzinfo=zone),
    )


def _event(row: InspectionRequest):  # type: ignore[no-untyped-def]
    from icalendar import Event

    event = Event()
    lot = row.lot
    event.add("uid", f"{row.pk}@plumbrow")
    event.add("sequence", row.sequence)
    changed = (row.changed_at or row.asked_at).astimezone(UTC)
    event.add("dtstamp", changed)
    event.add("last-modified", changed)
    event.add("created", row.asked_at.astimezone(UTC))
    span = span_of(row)
    if span is None:
        event.add("dtstart", row.for_date)
        event.add("dtend", row.for_date + timedelta(days=1))
    else:
        event.add("dtstart", span[0])
        event.add("dtend", span[1])
    event.add("summary", f"{row.kind.name_en}: {lot.subdivision}, {lot.name}")
    event.add("location", lot.address or str(lot.subdivision))
    said = [
        f"Permit {lot.permit_number}" if lot.permit_number else "",
        f"Confirmation {row.confirmation}" if row.confirmation else "",
        f"Window {row.window}" if row.window and span is None else "",
        row.kind.jurisdiction.name,
    ]
    event.add("description", "\n".join(part for part in said if part))
    event.add("status", STATUS[row.status])
    event.add("transp", "TRANSPARENT")
    return event
