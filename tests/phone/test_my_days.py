"""The published plan on the phone: my days, what is new, and "I have seen it"."""

from datetime import date, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from phases.log import Who
from phases.models import LotPhase
from tests.factories import make_member
from tests.phone.asking import results, send
from tests.phone.scene import NOW, TODAY, make_lot, make_scene, op, plan_lot
from tracker.people.models import Crew
from tracker.phone.models import Operation
from tracker.phone.my_days import net_changes, newest_unread, plan_doc
from tracker.planning.actions.lending import lend
from tracker.planning.models import CrewNotice, PlanVersion
from tracker.planning.queries import unread_changes

pytestmark = pytest.mark.django_db
TOMORROW = TODAY + timedelta(days=1)


@pytest.fixture
def scene():
    return make_scene()


def told(crew: Crew, day: date, half: int = 0) -> dict:
    return {"crew": crew.pk, "start": day.isoformat(), "half": half}


def change(scene, was: dict | None, now: dict | None) -> dict:
    known = {"lot": "18A block 6", "lot_pk": scene.lot.pk, "phase": "topout"}
    return {**known, "was": was, "now": now}


def notice(crew: Crew, *changes: dict, at: datetime = NOW) -> CrewNotice:
    number = PlanVersion.objects.count() + 1
    version = PlanVersion.objects.create(
        status=PlanVersion.SUPERSEDED,
        number=number,
        day0=TODAY,
        until=TODAY + timedelta(days=20),
        problem={},
        keys={},
        made_at=at,
        published_at=at,
    )
    return CrewNotice.objects.create(
        version=version,
        crew=crew,
        changes=list(changes),
        first_day=TOMORROW,
        made_at=at,
    )


def seen(scene, member, target: CrewNotice, **more) -> dict:
    known = {"member": str(member.pk), "lot": None, **more}
    return op(scene, "plan_seen", f"notice:{target.pk}", **known)


def test_my_days_are_what_the_crew_was_told_in_the_order_of_its_days(scene):
    later = make_lot(scene.subdivision, scene.office, "19")
    plan_lot(later, scene.crew, scene.office, day=TODAY + timedelta(days=15))
    elsewhere = make_lot(scene.subdivision, scene.office, "20")
    plan_lot(elsewhere, Crew.objects.create(name="Crew 2"), scene.office)

    days = plan_doc(scene.plumber, today=TODAY)["days"]

    assert [(one["name"]["es"], one["start"], one["end"]) for one in days] == [
        ("Lote 18A, Manzana 6", "2026-03-04", "2026-03-05"),
        ("Lote 19, Manzana 6", "2026-03-19", "2026-03-20"),
    ]
    assert days[0]["phase"] == {"en": "Topout", "es": "topout (es)"}


def test_work_that_began_before_today_stands_under_today(scene):
    [one] = plan_doc(scene.plumber, today=TOMORROW)["days"]

    assert (one["start"], one["end"]) == ("2026-03-05", "2026-03-05")


def test_what_went_by_without_work_is_no_day_of_mine(scene):
    assert plan_doc(scene.plumber, today=TODAY + timedelta(days=9))["days"] == []


def test_news_tell_the_day_it_was_and_the_day_it_is(scene):
    other = Crew.objects.create(name="Crew 2")
    made = notice(
        scene.crew, change(scene, told(other, TODAY), told(scene.crew, TOMORROW, 1))
    )

    news = plan_doc(scene.plumber, today=TODAY)["news"]

    [one] = news["changes"]
    assert news["notice"] == made.pk
    assert one["was"] == {"start": "2026-03-04", "half": 0, "ours": False}
    assert one["now"] == {"start": "2026-03-05", "half": 1, "ours": True}


def test_there_and_back_is_no_change_but_still_to_be_seen(scene):
    here, there = told(scene.crew, TODAY), told(scene.crew, TOMORROW)
    notice(scene.crew, change(scene, here, there), at=NOW - timedelta(hours=2))
    last = notice(scene.crew, change(scene, there, here))

    news = plan_doc(scene.lead, today=TODAY)["news"]

    assert (news["notice"], news["changes"]) == (last.pk, [])


def test_several_notices_amount_to_the_first_was_and_the_last_now(scene):
    crew = scene.crew
    days = [told(crew, TODAY + timedelta(days=n)) for n in range(3)]

    net = net_changes(
        [[change(scene, days[0], days[1])], [change(scene, days[1], days[2])]]
    )

    assert [(one["was"], one["now"]) for one in net] == [(days[0], days[2])]


def test_the_lead_says_once_that_he_has_seen_it_and_it_leaves_today(client, scene):
    made = notice(scene.crew, change(scene, None, told(scene.crew, TOMORROW)))
    phone = scene.phone(scene.lead)
    said = seen(scene, scene.lead, made)
    assert list(unread_changes(by=TOMORROW)) == [made]

    first, again = (send(client, scene, phone, said) for _ in range(2))

    assert (results(first), results(again)) == ([("applied", "")], [("had", "")])
    assert Operation.objects.filter(kind="plan_seen").count() == 1
    made.refresh_from_db()
    assert made.seen_by == "Lew"
    assert list(unread_changes(by=TOMORROW)) == []
    assert plan_doc(scene.lead, today=TODAY)["news"] is None


def test_the_newest_notice_stands_for_the_older_ones_and_never_for_newer(client, scene):
    moved = change(scene, None, told(scene.crew, TOMORROW))
    old = notice(scene.crew, moved, at=NOW - timedelta(hours=2))
    shown = notice(scene.crew, moved, at=NOW - timedelta(hours=1))
    newer = notice(scene.crew, moved)

    send(client, scene, scene.phone(scene.lead), seen(scene, scene.lead, shown))

    unread = CrewNotice.objects.filter(seen_at=None)
    assert list(unread) == [newer]
    assert old.pk < shown.pk < newer.pk == newest_unread(scene.lead)


def test_who_said_it_first_stays(client, scene):
    made = notice(scene.crew, change(scene, None, told(scene.crew, TOMORROW)))
    CrewNotice.objects.filter(pk=made.pk).update(seen_at=NOW, seen_by="Odile")

    receipts = send(
        client, scene, scene.phone(scene.lead), seen(scene, scene.lead, made)
    )

    made.refresh_from_db()
    assert (results(receipts), made.seen_by) == ([("applied", "")], "Odile")


@pytest.mark.parametrize(
    ("who", "code"), [("plumber", "not_yours"), ("stranger", "no_such")]
)
def test_only_the_crews_own_lead_says_it(client, scene, who, code):
    crew = scene.crew if who == "plumber" else Crew.objects.create(name="Crew 2")
    made = notice(crew, change(scene, None, told(scene.crew, TOMORROW)))
    member = scene.plumber if who == "plumber" else scene.lead

    receipts = send(client, scene, scene.phone(member), seen(scene, member, made))

    made.refresh_from_db()
    assert (results(receipts), made.seen_at) == ([("refused", code)], None)


@pytest.mark.parametrize("target", ["item:1", "notice:99999999"])
def test_a_notice_that_is_none_is_refused_and_kept(client, scene, target):
    said = op(scene, "plan_seen", target, member=str(scene.lead.pk), lot=None)

    [receipt] = send(client, scene, scene.phone(scene.lead), said)

    assert receipt["result"] == "refused"
    assert receipt["es"]


def test_a_helper_sees_the_day_for_which_he_is_lent_and_no_other(scene):
    helpers = Crew.objects.create(name="Crew 2")
    member = make_member("lead", crew=helpers, name="Hal")
    phase = LotPhase.objects.get(lot=scene.lot, kind__code="topout")
    who = Who(member=scene.office)
    for day in (TODAY - timedelta(days=1), TOMORROW, TODAY + timedelta(days=30)):
        lend(phase, crew=helpers, on=day, who=who, now=NOW)

    doc = plan_doc(member, today=TODAY)

    found = [(one["start"], one["end"], one["helps"]) for one in doc["days"]]
    assert found == [
        ("2026-03-05", "2026-03-05", True),
        ("2026-04-03", "2026-04-03", True),
    ]
    nows = [one["now"] for one in doc["news"]["changes"]]
    assert {"start": "2026-03-05", "half": 0, "ours": True, "helps": True} in nows
    assert len(nows) == 3


def test_a_crew_whose_work_another_took_over_has_no_days_of_it(scene):
    other = Crew.objects.create(name="Crew 2")
    plan_lot(scene.lot, other, scene.office, day=TOMORROW)

    assert plan_doc(scene.plumber, today=TODAY)["days"] == []


def test_a_person_without_a_crew_has_neither_days_nor_news(scene):
    notice(scene.crew, change(scene, None, told(scene.crew, TOMORROW)))

    doc = plan_doc(scene.office, today=TODAY)

    assert (doc["days"], doc["news"]) == ([], None)


@pytest.mark.parametrize("lots", [1, 4])
def test_the_plan_is_read_in_the_same_number_of_statements(scene, lots):
    for n in range(lots):
        lot = make_lot(scene.subdivision, scene.office, f"3{n}")
        plan_lot(lot, scene.crew, scene.office, day=TOMORROW)
        notice(scene.crew, change(scene, None, told(scene.crew, TOMORROW)))

    with CaptureQueriesContext(connection) as made:
        plan_doc(scene.lead, today=TODAY)

    assert len(made) == 6


def test_the_feed_names_the_notice_that_waits(client, scene):
    made = notice(scene.crew, change(scene, None, told(scene.crew, TOMORROW)))
    bearer = scene.bearer(scene.phone())

    lots = client.get("/api/v1/lots/", **bearer).json()
    feed = client.get(f"/api/v1/feed/?cursor={lots['cursor']}", **bearer).json()

    assert (lots["plan"]["news"]["notice"], feed["news"]) == (made.pk, made.pk)
    assert datetime.fromisoformat(feed["now"]).tzinfo is not None
