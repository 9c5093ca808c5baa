"""The calendar feed, read back by a parser (RFC 5545)."""

from datetime import datetime, time

import pytest
from icalendar import Calendar

from inspections.actions.calling import call_in
from phases.log import Who
from phases.models import LotPhase
from tests.factories import kind_of, make_crew
from tests.status.scene import day, now

pytestmark = pytest.mark.django_db


def feed(client, address, **headers):
    return client.get(f"{address}calendar.ics", **headers)


def events(client, address):
    calendar = Calendar.from_ical(feed(client, address).content)
    return {str(event["UID"]).split("@")[0]: event for event in calendar.walk("VEVENT")}


def test_known_dates_are_events_and_every_line_is_short(scene, client):
    scene.says("underground", "ready", day(2))
    scene.says("underground", "cover", day(8))
    phase = scene.phase("underground")

    answer = feed(client, scene.link())
    found = events(client, scene.link())

    assert answer.headers["Content-Type"] == "text/calendar; charset=utf-8"
    assert sorted(found) == [f"cover-{phase.pk}", f"ready-{phase.pk}"]
    ready = found[f"ready-{phase.pk}"]
    assert (ready.start, ready.end) == (day(2), day(3))
    assert str(ready["SUMMARY"]) == f"{scene.lot.name}: Underground, ready"
    # RFC 5545 3.1: lines end with CRLF and are at most 75 octets.
    lines = answer.content.split(b"\r\n")
    assert max(map(len, lines)) <= 75
    assert b"\n" not in answer.content.replace(b"\r\n", b"")


def test_required_properties_stand_in_every_calendar_and_event(scene, client):
    scene.says("underground", "ready", day(2))

    calendar = Calendar.from_ical(feed(client, scene.link()).content)

    # RFC 5545 3.6 and 3.6.1
    assert calendar["VERSION"] == "2.0"
    assert calendar["PRODID"]
    (event,) = calendar.walk("VEVENT")
    assert {"UID", "DTSTAMP", "DTSTART"} <= set(event)


def test_a_visit_stands_at_its_half_day_with_its_time_zone(scene, client):
    scene.place.time_zone = "America/Chicago"
    scene.place.save()
    scene.plans("underground", day(6), day(7))
    phase = scene.phase("underground")

    calendar = Calendar.from_ical(feed(client, scene.link()).content)
    (event,) = calendar.walk("VEVENT")
    (zone,) = calendar.walk("VTIMEZONE")

    assert str(zone["TZID"]) == "America/Chicago"
    assert event["DTSTART"].params["TZID"] == "America/Chicago"
    assert event.start.replace(tzinfo=None) == datetime.combine(day(6), time(7))
    assert event.end.replace(tzinfo=None) == datetime.combine(day(7), time(17))
    assert str(event["UID"]).startswith(f"visit-{phase.pk}@")


def test_a_moved_date_keeps_its_uid_and_gets_a_higher_sequence(scene, client):
    scene.says("underground", "ready", day(2))
    address, key = scene.link(), f"ready-{scene.phase('underground').pk}"
    before = events(client, address)[key]

    scene.says("underground", "ready", day(4))
    scene.says("rough", "ready", day(9))
    after = events(client, address)[key]

    assert after["UID"] == before["UID"]
    assert (before["SEQUENCE"], after["SEQUENCE"]) == (0, 1)
    assert (before.start, after.start) == (day(2), day(4))
    assert after["LAST-MODIFIED"].dt >= before["LAST-MODIFIED"].dt


def test_a_visit_planned_anew_keeps_its_uid_and_counts_on(scene, client):
    crew = make_crew()
    scene.plans("underground", day(6), crew=crew)
    address, key = scene.link(), f"visit-{scene.phase('underground').pk}"
    before = events(client, address)[key]

    scene.plans("underground", day(8), crew=crew)

    after = events(client, address)[key]
    assert (before["SEQUENCE"], after["SEQUENCE"]) == (0, 1)
    assert after.start.date() == day(8)


def test_an_inspection_called_in_is_one_event(scene, client):
    LotPhase.objects.filter(lot=scene.lot).update(call_in_missing=[])
    kind = kind_of(scene.lot, "ground")

    call_in(
        scene.lot,
        kind,
        for_date=day(3),
        who=Who(member=scene.office),
        now=now(),
        confirmation="C-1",
    )

    event = events(client, scene.link())[f"inspection-{scene.lot.pk}-{kind.pk}"]
    assert (event.start, str(event["DESCRIPTION"])) == (day(3), "called in")


def test_an_unchanged_feed_is_not_sent_again(scene, client):
    scene.says("underground", "ready", day(2))
    address = scene.link()
    first = feed(client, address)

    same = feed(client, address, headers={"if-none-match": first.headers["ETag"]})
    scene.says("underground", "ready", day(3))
    other = feed(client, address, headers={"if-none-match": first.headers["ETag"]})

    assert (same.status_code, same.content) == (304, b"")
    assert same.headers["ETag"] == first.headers["ETag"]
    assert other.status_code == 200
    assert other.headers["ETag"] != first.headers["ETag"]


def test_another_builders_dates_are_not_in_it(scene, other, client):
    other.says("underground", "ready", day(2))
    assert len(events(client, other.link())) == 1

    assert events(client, scene.link()) == {}


@pytest.mark.parametrize("houses", [1, 3])
def test_the_feed_takes_the_same_statements_for_1_and_3_houses(
    scene, client, houses, django_assert_num_queries
):
    for _ in range(houses - 1):
        scene.house()
    scene.says("underground", "ready", day(2))
    address = scene.link()
    feed(client, address)

    with django_assert_num_queries(11):
        feed(client, address)
    assert len(scene.place.lots.all()) == houses


def test_texts_that_look_like_properties_stay_texts(scene, client):
    scene.lot.address = "1 Main\r\nBEGIN:VALARM; odd, \\ street"
    scene.lot.save()
    scene.says("underground", "ready", day(2))

    (event,) = Calendar.from_ical(feed(client, scene.link()).content).walk("VEVENT")

    assert "BEGIN:VALARM; odd, \\ street" in str(event["LOCATION"])
    assert event.subcomponents == []
