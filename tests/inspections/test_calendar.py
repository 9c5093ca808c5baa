"""Inspections as calendars: read alike by two other libraries, private, cheap."""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import ics
import pytest
import vobject
from django.urls import reverse

from inspections.actions import Told, call_in, cancel_call, move_call
from inspections.calendar import etag_of, feed, link_of, make_link, revoke_link
from phases.log import Who
from tests.factories import NOW, kind_of, make_crew, make_member
from tests.inspections.scene import finish, office_lot, plan_for

pytestmark = pytest.mark.django_db
TUE, WED = date(2026, 3, 3), date(2026, 3, 4)


@pytest.fixture
def office():
    return Who(member=make_member("office"))


def calls(office):
    """Three calls: one with hours after the spring change, one all day, one off."""
    lot = office_lot(office)
    crew = make_crew(name="Frame One")
    plan_for(lot, crew, TUE, TUE, office)
    finish(lot, office)
    finish(lot, office, "rough")
    finish(lot, office, "underground")
    timed = call_in(
        lot,
        kind_of(lot),
        for_date=date(2026, 3, 9),
        who=office,
        now=NOW,
        window="08:00-12:00",
        confirmation="A-1",
    )
    whole = call_in(
        lot, kind_of(lot, "rough"), for_date=WED, who=office, now=NOW, window="AM"
    )
    off = call_in(lot, kind_of(lot, "ground"), for_date=WED, who=office, now=NOW)
    cancel_call(off, who=office, now=NOW + timedelta(hours=1), reason="rain")
    return lot, crew, timed, whole, off


def plain(value):
    """A date or a moment in UTC, so that libraries can be held side by side."""
    if isinstance(value, datetime):
        return value.astimezone(ZoneInfo("UTC"))
    return value


def by_vobject(data):
    calendar = vobject.readOne(data.decode())
    return sorted(
        (
            event.uid.value,
            int(event.sequence.value),
            event.status.value,
            event.summary.value,
            event.location.value,
            plain(event.dtstart.value),
            plain(event.dtend.value),
        )
        for event in calendar.vevent_list
    )


def by_ics(data):
    calendar = ics.Calendar(data.decode())
    found = []
    for event in calendar.events:
        more = {line.name: line.value for line in event.extra}
        begin, end = plain(event.begin.datetime), plain(event.end.datetime)
        if event.all_day:
            begin, end = begin.date(), end.date()
        found.append(
            (
                event.uid,
                int(more["SEQUENCE"]),
                event.status,
                event.name,
                event.location,
                begin,
                end,
            )
        )
    return sorted(found)


def test_two_other_libraries_read_the_feed_alike_and_as_it_was_meant(office):
    lot, _, timed, whole, off = calls(office)
    link, _ = make_link(who=office, now=NOW, jurisdiction=lot.subdivision.jurisdiction)

    data = feed(link, today=TUE)

    where = lot.address or str(lot.subdivision)
    at_lot = f"{lot.subdivision}, {lot.name}"
    utc = ZoneInfo("UTC")
    # 8 o'clock on 9 March is daylight time: 13:00 UTC, not 14:00.
    span = (datetime(2026, 3, 9, 13, tzinfo=utc), datetime(2026, 3, 9, 17, tzinfo=utc))
    day = (WED, date(2026, 3, 5))
    meant = sorted(
        [
            (f"{timed.pk}@plumbrow", 0, "CONFIRMED", f"Topout: {at_lot}", where, *span),
            (f"{whole.pk}@plumbrow", 0, "CONFIRMED", f"Rough: {at_lot}", where, *day),
            (f"{off.pk}@plumbrow", 1, "CANCELLED", f"Ground: {at_lot}", where, *day),
        ]
    )
    assert by_vobject(data) == meant
    assert by_ics(data) == meant
    assert b"BEGIN:VTIMEZONE" in data
    assert b"TZID:America/Chicago" in data


def test_a_change_keeps_the_uid_and_raises_the_sequence_and_the_etag(office):
    lot, _, timed, *_ = calls(office)
    link, _ = make_link(who=office, now=NOW, jurisdiction=kind_of(lot).jurisdiction)
    before = etag_of(link, today=TUE)
    assert feed(link, today=TUE) == feed(link, today=TUE)

    told = Told(note="clerk", window="13:00-16:00")
    move_call(timed, for_date=date(2026, 3, 10), who=office, now=NOW, told=told)

    assert etag_of(link, today=TUE) != before
    rows = {row[0]: row[1] for row in by_vobject(feed(link, today=TUE))}
    assert rows[f"{timed.pk}@plumbrow"] == 1


def test_a_crews_feed_has_the_inspections_of_its_own_phases(
    office, django_assert_num_queries
):
    _, crew, timed, *_ = calls(office)
    link, _ = make_link(who=office, now=NOW, crew=crew)

    assert [row[0] for row in by_vobject(feed(link, today=TUE))] == [
        f"{timed.pk}@plumbrow"
    ]
    with django_assert_num_queries(3):
        feed(link, today=TUE)


def test_an_empty_feed_is_a_calendar(office):
    crew = make_crew()
    link, _ = make_link(who=office, now=NOW, crew=crew)

    assert feed(link, today=TUE).startswith(b"BEGIN:VCALENDAR")


@pytest.mark.parametrize(
    "window", ["", "AM", "8-12", "12:00-08:00", "08:00", "aa:bb-cc:dd", "08:00-12:00-1"]
)
def test_a_window_that_is_no_span_makes_a_whole_day(office, window):
    lot = office_lot(office)
    finish(lot, office)
    call_in(lot, kind_of(lot), for_date=WED, who=office, now=NOW, window=window)
    link, _ = make_link(who=office, now=NOW, jurisdiction=kind_of(lot).jurisdiction)

    ((*_, start, _),) = by_vobject(feed(link, today=TUE))
    assert start == WED


def test_the_address_works_without_signing_in_until_it_is_taken_back(client, office):
    lot, *_ = calls(office)
    link, token = make_link(
        who=office, now=NOW, jurisdiction=lot.subdivision.jurisdiction
    )
    address = reverse("desk:calendar", args=[token])

    first = client.get(address)
    assert first["Content-Type"] == "text/calendar; charset=utf-8"
    again = client.get(address, headers={"If-None-Match": first["ETag"]})
    assert (again.status_code, again.content) == (304, b"")
    assert client.get(reverse("desk:calendar", args=["x" * 32])).status_code == 404

    revoke_link(link, who=office, now=NOW)
    assert link_of(token) is None
    assert client.get(address).status_code == 404


def test_the_office_makes_an_address_on_the_page(client, office):
    crew = make_crew()
    client.force_login(office.member)

    shown = client.post(reverse("desk:feeds"), {"of": f"crew:{crew.pk}"})

    assert "/calendars/" in shown.content.decode()
    assert client.post(reverse("desk:feeds"), {"of": "moon:1"}).status_code == 404
