"""What comes down to the phone, and the feed that misses nothing."""

import threading
from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from phases.actions import lots as lot_actions
from phases.actions.entries import answer_item
from phases.log import Who, writing
from phases.models import Fact, Feed
from tests.phone.asking import send
from tests.phone.scene import (
    NOW,
    TODAY,
    make_item,
    make_lot,
    make_member,
    make_phone,
    make_scene,
    on_item,
    plan_lot,
)
from tracker.phone import feed, my_lots
from tracker.phone.lot_docs import lot_docs
from tracker.phone.my_lots import last_day, lot_ids_for
from tracker.sites.models import DrawingSheet, Lot, Plan

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene():
    return make_scene()


@pytest.mark.parametrize(
    ("today", "until"),
    [
        (date(2026, 3, 4), date(2026, 3, 9)),  # Wednesday: Thu, Fri, Mon
        (date(2026, 3, 6), date(2026, 3, 11)),  # Friday
        (date(2026, 7, 1), date(2026, 7, 7)),  # Independence Day observed on Friday
    ],
)
def test_the_phone_is_complete_for_three_more_working_days(today, until):
    assert last_day(today) == until


@pytest.mark.parametrize(("days", "there"), [(0, True), (5, True), (6, False)])
def test_a_lot_comes_down_when_its_start_is_within_these_days(scene, days, there):
    lot = make_lot(scene.subdivision, scene.office, "19")
    plan_lot(lot, scene.crew, scene.office, day=TODAY + timedelta(days=days))

    found = lot_ids_for(scene.plumber, today=TODAY)

    assert (lot.pk in found) is there
    assert scene.lot.pk in found


@pytest.mark.parametrize(
    ("most", "until"), [(3, 5), (2, 1), (1, -1)], ids=["all", "two of three", "one"]
)
def test_a_phone_that_cannot_hold_all_lots_is_complete_only_so_far(
    scene, monkeypatch, most, until
):
    for days in (0, 2):
        lot = make_lot(scene.subdivision, scene.office, f"4{days}")
        plan_lot(lot, scene.crew, scene.office, day=TODAY + timedelta(days=days))
    monkeypatch.setattr(my_lots, "MOST_LOTS", most)

    ids, day = my_lots.lots_for(scene.plumber, today=TODAY)

    assert (len(ids), day) == (most, TODAY + timedelta(days=until))


def test_another_crew_gets_nothing_and_its_phone_no_lot(client, scene):
    stranger = make_member("Sten", "plumber")
    phone = make_phone(stranger, scene.tokens)

    assert lot_ids_for(stranger, today=TODAY) == []
    for pk in (scene.lot.pk, 999_999):
        reply = client.get(f"/api/v1/lots/{pk}/", **scene.bearer(phone))
        assert (reply.status_code, reply.json()["code"]) == (404, "not_found")


def test_a_lot_has_its_rooms_items_targets_and_answers_in_both_languages(scene, client):
    target = {
        "axis": "height",
        "bare": 1292,
        "finished": 1280,
        "bare_from": "subfloor",
        "finished_from": "finished_floor",
        "minus": 16,
        "plus": 16,
        "direction": "",
    }
    item = make_item(
        scene.phase,
        "soaking-valve",
        proof="measure",
        unit="in16",
        least=1276,
        most=1308,
        measure="height",
        targets=[target],
    )
    answer_item(
        item,
        answer="measure",
        who=Who(member=scene.plumber),
        now=NOW,
        payload={"value": 1290, "unit": "in16"},
    )

    [doc] = lot_docs([scene.lot.pk], member=scene.plumber, today=TODAY)

    [room] = doc["rooms"]
    shown = room["items"][-1]
    assert room["name"] == {"en": "Bath 2", "es": "Baño 2"}
    assert shown["target"]["en"].startswith('up 80 3/4" from subfloor')
    assert shown["target"]["es"].startswith('arriba 80 3/4" desde contrapiso')
    assert shown["tolerance"]["en"] == '±1"'
    assert (shown["state"], shown["value"]) == ("proven", 1290)
    assert [(one["by"], one["value"], one["mine"]) for one in shown["answers"]] == [
        ("Pilar", 1290, True)
    ]


def test_a_reading_without_a_target_shows_its_limits(scene):
    make_item(scene.phase, "standpipe", proof="measure", unit="in", least=18, most=42)

    [doc] = lot_docs([scene.lot.pk], member=scene.plumber, today=TODAY)

    assert doc["rooms"][0]["items"][-1]["tolerance"] == {
        "en": "at least 18 in., at most 42 in.",
        "es": "mínimo 18 pulg., máximo 42 pulg.",
    }


@pytest.mark.parametrize("rows", [1, 3])
def test_lots_are_read_in_the_same_number_of_statements(scene, rows):
    ids = [scene.lot.pk]
    for n in range(rows - 1):
        lot = make_lot(scene.subdivision, scene.office, f"2{n}")
        make_item(plan_lot(lot, scene.crew, scene.office), "closet-drain")
        ids.append(lot.pk)

    with CaptureQueriesContext(
        connection,
    ) as seen:
        docs = lot_docs(ids, member=scene.plumber, today=TODAY)

    assert len(docs) == rows
    assert len(seen) == 20


def test_the_feed_tells_what_came_after_the_cursor_and_which_lots_moved(client, scene):
    phone = scene.phone()
    here = feed.position()
    cursor = feed.cursor_of(here, here.last_no)
    tick = on_item(scene, "tick", "closet-drain")
    send(client, scene, phone, tick)

    page = feed.read_feed(cursor, member=scene.plumber, today=TODAY)
    after = feed.read_feed(page["cursor"], member=scene.plumber, today=TODAY)

    assert [one["op"] for one in page["facts"]] == [tick["id"]]
    assert (page["lots"], page["all"], page["reset"]) == ([scene.lot.pk], False, False)
    assert (after["facts"], after["cursor"]) == ([], page["cursor"])


def test_the_feed_shows_nothing_of_lots_a_person_may_not_see(scene):
    here = feed.position()
    other = make_lot(scene.subdivision, scene.office, "77")

    page = feed.read_feed(
        feed.cursor_of(here, here.last_no), member=scene.plumber, today=TODAY
    )

    assert Fact.objects.filter(lot=other).exists()
    assert (page["facts"], page["lots"]) == ([], [])
    assert page["cursor"] == feed.cursor_of(here, feed.position().last_no)


@pytest.mark.parametrize("cursor", ["", "x", "1.2.3", "9" * 70, "{epoch}.999999999"])
def test_a_cursor_without_meaning_resets(scene, cursor):
    cursor = cursor.format(epoch=feed.position().epoch)

    assert feed.read_feed(cursor, member=scene.plumber, today=TODAY)["reset"] is True


def test_a_restored_database_has_another_epoch_and_resets(scene):
    here = feed.position()
    Feed.objects.update(epoch="00000000-0000-4000-8000-000000000000")

    page = feed.read_feed(
        feed.cursor_of(here, here.last_no), member=scene.plumber, today=TODAY
    )

    assert page["reset"] is True
    assert page["epoch"] == "00000000-0000-4000-8000-000000000000"


@pytest.mark.django_db(transaction=True)
def test_a_fact_that_commits_late_is_not_skipped(scene):
    """A transaction is held open across another's write and a pull."""
    here = feed.position()
    held, release, done = threading.Event(), threading.Event(), threading.Event()
    item, lot = scene.items["closet-drain"], scene.lot

    def slow():
        with writing(now=NOW) as log:
            log.append("note_slow", lot=lot, who=Who(member=scene.plumber))
            held.set()
            release.wait(10)
        connection.close()

    def quick():
        held.wait(10)
        answer_item(item, answer="tick", who=Who(member=scene.lead), now=NOW)
        done.set()
        connection.close()

    threads = [threading.Thread(target=work) for work in (slow, quick)]
    for thread in threads:
        thread.start()
    held.wait(10)
    # The quick one stands in line: nothing with a higher number can be seen first.
    assert not done.wait(0.3)
    page = feed.read_feed(
        feed.cursor_of(here, here.last_no), member=scene.plumber, today=TODAY
    )
    release.set()
    for thread in threads:
        thread.join(10)
    rest = feed.read_feed(page["cursor"], member=scene.plumber, today=TODAY)

    assert page["facts"] == []
    assert [one["kind"] for one in rest["facts"]] == ["note_slow", "entry"]


def test_my_lots_over_the_api_name_epoch_cursor_and_the_last_day(client, settings):
    from django.utils import timezone

    from tracker.phone.api.sync import today_here

    today = today_here(timezone.now())
    scene = make_scene(day=today)
    phone = scene.phone()

    body = client.get("/api/v1/lots/", **scene.bearer(phone)).json()

    assert body["from"] == "plumbrow"
    assert body["complete_until"] == last_day(today).isoformat()
    assert body["cursor"].startswith(body["epoch"])
    assert [lot["name"] for lot in body["lots"]] == ["Lot 18A, Block 6"]
    assert body["member"]["id"] == str(scene.plumber.pk)


def test_a_drawing_that_came_meanwhile_makes_the_phone_fetch_anew(client, scene):
    bearer = scene.bearer(scene.phone())
    lots = client.get("/api/v1/lots/", **bearer).json()
    plan = Plan.objects.create(builder=scene.subdivision.builder, code="A")
    sheet = DrawingSheet.objects.create(
        plan=plan, title="Plumbing", dated=TODAY, content_type="image/png"
    )

    feed_then = client.get(f"/api/v1/feed/?cursor={lots['cursor']}", **bearer).json()

    assert (lots["sheet"], feed_then["sheet"]) == (None, sheet.pk)
    assert feed_then["facts"] == []


def test_a_retired_lot_leaves_the_phone(scene):
    lot_actions.retire_lot(
        Lot.objects.get(pk=scene.lot.pk),
        reason="sold",
        who=Who(member=scene.office),
        now=NOW,
    )

    assert lot_ids_for(scene.plumber, today=TODAY) == []
