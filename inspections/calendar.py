"""Inspections as an iCalendar feed (RFC 5545), of one office or one crew."""

import hashlib
import secrets
from collections import defaultdict
from collections.abc import Collection, Sequence
from dataclasses import dataclass
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


@dataclass(frozen=True)
class Entry:
    """Something else for a feed, of a floor above: from day to day, or timed."""

    uid: str
    sequence: int
    changed: datetime
    starts: date
    ends: date  # the first day, or the moment, after it
    summary: str
    location: str
    description: str
    zone: str


def etag_of(link: CalendarLink, *, today: date, more: Sequence[Entry] = ()) -> str:
    """Changes whenever the feed would: from the newest change and the rows in it."""
    rows = requests_of(link, today=today)
    newest = rows.aggregate(at=Max("changed_at"))["at"]
    told = [
        f"{pk}:{sequence}:{status}"
        for pk, sequence, status in rows.values_list("pk", "sequence", "status")
    ]
    told += [repr(entry) for entry in more]
    return hashlib.sha256("|".join([str(newest), *told]).encode()).hexdigest()[:32]


def feed(
    link: CalendarLink,
    *,
    today: date,
    more: Sequence[Entry] = (),
    title: str = "Inspections",
) -> bytes:
    """The feed as bytes; the same rows give the same bytes."""
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("x-wr-calname", f"{title} {link}")
    days: dict[str, list[date]] = defaultdict(list)
    for row in requests_of(link, today=today):
        calendar.add_component(_event(row))
        days[row.lot.subdivision.time_zone].append(row.for_date)
    for entry in more:
        calendar.add_component(_entry(entry))
        if isinstance(entry.starts, datetime):
            days[entry.zone].append(entry.starts.date())
    for zone in sorted(days):
        calendar.add_component(_zone(zone, days[zone]))
    made: bytes = calendar.to_ical()
    return made


def _zone(name: str, days: Collection[date]):  # type: ignore[no-untyped-def]
    from icalendar import Timezone

    return Timezone.from_tzid(
        name,
        first_date=date(min(days).year - 1, 1, 1),
        last_date=date(max(days).year + 2, 1, 1),
    )


def _entry(entry: Entry):  # type: ignore[no-untyped-def]
    from icalendar import Event

    event = Event()
    event.add("uid", entry.uid)
    event.add("sequence", entry.sequence)
    event.add("dtstamp", entry.changed.astimezone(UTC))
    event.add("last-modified", entry.changed.astimezone(UTC))
    event.add("dtstart", entry.starts)
    event.add("dtend", entry.ends)
    event.add("summary", entry.summary)
    event.add("location", entry.location)
    event.add("description", entry.description)
    event.add("status", "CONFIRMED")
    event.add("transp", "OPAQUE")
    return event


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
