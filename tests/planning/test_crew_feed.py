"""A crew's calendar holds the work that the published plan gives it."""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from inspections.calendar import make_link
from phases.actions.work import plan_phase
from tests.factories import make_crew, phase_of
from tests.inspections.test_calendar import by_ics, by_vobject
from tests.planning.scene import MORNING, TODAY, day, owner, planned, street, two_crews
from tracker.planning.actions.lending import lend
from tracker.planning.actions.publishing import publish
from tracker.planning.crew_feed import planned_work

pytestmark = pytest.mark.django_db
UTC = ZoneInfo("UTC")


@pytest.fixture
def who():
    return owner()


@pytest.fixture(autouse=True)
def morning(monkeypatch):
    monkeypatch.setattr("django.utils.timezone.now", lambda: MORNING)


def told(lot, crew, start, who, *, half=0, end=None, code="underground"):
    plan_phase(
        phase_of(lot, code),
        **{"crew": crew, "start": start, "end": end or start, "half": half},
        **{"who": who, "now": MORNING},
    )


def test_the_published_plan_stands_in_each_crews_own_feed(client, who):
    street(who, 3)
    crews = two_crews()
    version = publish(planned(who), who=who, now=MORNING)
    jobs = [job for job in version.plan["jobs"] if job["phase"] == "underground"]

    found = {}
    for crew in crews:
        _, token = make_link(who=who, now=MORNING, crew=crew)
        answer = client.get(reverse("desk:calendar", args=[token]))
        found[crew.name] = by_vobject(answer.content)

    for crew in crews:
        starts = sorted(
            day(job["start_quarter"] // 4) for job in jobs if job["crew"] == crew.name
        )
        kept = [row[5] for row in found[crew.name] if row[3].startswith("Under")]
        days = [on if type(on) is date else on.date() for on in kept]
        assert sorted(days) == starts
    assert sum(len(rows) for rows in found.values()) >= 3


def test_whole_days_half_days_and_days_as_helper_are_read_alike_by_two_libraries(
    client, who
):
    first, second = street(who, 2)
    ditch, frame = two_crews()
    told(first, ditch, TODAY, who, end=day(1))
    told(second, ditch, day(4), who, half=1)
    lend(phase_of(second, "underground"), crew=frame, on=day(5), who=who, now=MORNING)
    own, helps = (
        client.get(
            reverse(
                "desk:calendar", args=[make_link(who=who, now=MORNING, crew=crew)[1]]
            )
        ).content
        for crew in (ditch, frame)
    )

    place = str(first.subdivision)
    spans = {row[3]: row[5:] for row in by_vobject(own)}
    assert spans == {
        f"Underground: {place}, {first.name}": (TODAY, day(2)),
        # Friday from eleven to three by Chicago's winter clock.
        f"Underground: {place}, {second.name}": (
            datetime(2026, 3, 6, 17, tzinfo=UTC),
            datetime(2026, 3, 6, 21, tzinfo=UTC),
        ),
    }
    assert by_ics(own) == by_vobject(own)
    ((*_, summary, _, starts, ends),) = by_vobject(helps)
    assert (summary, starts, ends) == (
        f"Help: Underground: {place}, {second.name}",
        day(5),
        day(5) + timedelta(days=1),
    )


def test_a_moved_day_keeps_its_uid_and_changes_sequence_and_etag(client, who):
    (lot,) = street(who)
    ditch, _ = two_crews()
    told(lot, ditch, day(1), who)
    path = reverse(
        "desk:calendar", args=[make_link(who=who, now=MORNING, crew=ditch)[1]]
    )
    before = client.get(path)
    kept = client.get(path, headers={"If-None-Match": before["ETag"]})

    told(lot, ditch, day(2), who)

    after = client.get(path, headers={"If-None-Match": before["ETag"]})
    assert (kept.status_code, after.status_code) == (304, 200)
    ((uid, number, *_),) = by_vobject(before.content)
    ((again, more, *_, starts, _),) = by_vobject(after.content)
    assert (again, more, starts) == (uid, number + 1, day(2))


def test_what_another_crew_does_and_long_ago_is_not_in_it(who):
    first, second = street(who, 2)
    ditch, frame = two_crews()
    told(first, ditch, TODAY, who)
    told(second, frame, TODAY, who)

    assert [one.starts for one in planned_work(ditch, today=TODAY)] == [TODAY]
    assert planned_work(ditch, today=TODAY + timedelta(days=61)) == []


@pytest.mark.parametrize("lots", [1, 4])
def test_the_number_of_statements_does_not_grow(who, lots):
    crew, other = make_crew(), make_crew()
    for own, others in zip(street(who, lots), street(who, lots), strict=True):
        told(own, crew, day(1), who)
        told(others, other, day(2), who)
        phase = phase_of(others, "underground")
        lend(phase, crew=crew, on=day(2), who=who, now=MORNING)

    with CaptureQueriesContext(connection) as made:
        planned_work(crew, today=TODAY)

    assert len(made) == 4
