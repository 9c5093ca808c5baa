"""Letting phones in, listing and revoking them, and what was set aside."""

import json
from datetime import timedelta

import pytest

from tests.phone.asking import results, send
from tests.phone.scene import NOW, make_scene, on_item
from tracker.people.models import Device, EnrolCode
from tracker.phone import enrolment
from tracker.phone.models import SetAside

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene():
    return make_scene()


def post(client, address, **body):
    return client.post(
        f"/api/v1/{address}", json.dumps(body), content_type="application/json"
    )


def test_a_code_lets_one_phone_in_once(client, scene):
    client.force_login(scene.office)
    made = post(client, "enrol-codes/", member=scene.plumber.pk).json()
    assert made["url"].endswith(f"/phone/#enrol={made['code']}")
    assert made["qr"].startswith("<svg")
    client.logout()

    first = post(client, "enrolments/", code=made["code"], name="Pilar's phone")
    second = post(client, "enrolments/", code=made["code"], name="another")

    body = first.json()
    device = Device.objects.get()
    assert first.status_code == 201
    assert body["member"] == {
        "id": str(scene.plumber.pk),
        "name": "Pilar",
        "role": "plumber",
        "language": "en",
    }
    assert device.token_hash == enrolment.hashed(body["token"])
    assert body["token"] not in json.dumps(list(Device.objects.values()), default=str)
    assert (second.status_code, second.json()["code"]) == (403, "bad_code")


def test_a_code_is_out_of_date_after_two_days(scene):
    code = enrolment.make_code(scene.plumber, made_by=scene.office, now=NOW)

    late = enrolment.enrol(code, name="x", now=NOW + timedelta(hours=49))

    assert late is None
    assert EnrolCode.objects.get().used_at is None


def test_a_code_of_a_disabled_member_lets_nobody_in(scene):
    code = enrolment.make_code(scene.plumber, made_by=scene.office, now=NOW)
    scene.plumber.is_active = False
    scene.plumber.save()

    assert enrolment.enrol(code, name="x", now=NOW) is None


def test_guessing_is_slowed_down(client, scene):
    from django.core.cache import cache

    cache.clear()
    replies = [post(client, "enrolments/", code=f"c{n}", name="x") for n in range(32)]
    cache.clear()

    assert [reply.status_code for reply in replies] == [403] * 30 + [429] * 2
    assert replies[-1].json()["code"] == "too_many_tries"


@pytest.mark.parametrize("who", ["plumber", "lead", None])
def test_only_the_office_lists_revokes_and_settles(client, scene, who):
    phone = scene.phone()
    if who:
        client.force_login(getattr(scene, who))

    replies = [
        client.get("/api/v1/devices/"),
        client.delete(f"/api/v1/devices/{phone.pk}/"),
        post(client, "enrol-codes/", member=scene.plumber.pk),
        client.get("/api/v1/set-aside/"),
        post(client, "set-aside/1/settlement/", how="x"),
    ]

    assert {reply.status_code for reply in replies} == {403 if who else 401}
    phone.refresh_from_db()
    assert phone.is_live


def test_the_office_sees_what_was_still_on_a_phone_that_is_gone(client, scene):
    phone = scene.phone()
    bearer = scene.bearer(phone)
    for waiting in ("2", "5", "many", "-1", ""):
        client.get("/api/v1/lots/", HTTP_X_WAITING=waiting, **bearer)
    scene.phone()  # its browser cleared everything, and the office let it in anew
    client.force_login(scene.office)

    rows = client.get("/api/v1/devices/").json()["devices"]

    assert sorted((one["member"], one["waiting"]) for one in rows) == [
        ("Pilar", 0),
        ("Pilar", 5),
    ]
    page = client.get("/people/").content.decode()
    assert page.count("5 entries were still on it") == 1


def test_a_revoked_phone_reads_nothing_and_what_it_sends_is_settled_by_a_person(
    client, scene
):
    phone = scene.phone()
    client.force_login(scene.office)
    assert client.delete(f"/api/v1/devices/{phone.pk}/").status_code == 204
    tick = on_item(scene, "tick", "closet-drain")

    receipts = send(client, scene, phone, tick)
    [waiting] = client.get("/api/v1/set-aside/").json()["waiting"]
    settled = post(client, f"set-aside/{waiting['id']}/settlement/", how="asked him")
    again = post(client, f"set-aside/{waiting['id']}/settlement/", how="asked him")

    assert results(receipts) == [("refused", "device_revoked")]
    assert (waiting["operation"], waiting["code"]) == (tick, "device_revoked")
    assert (settled.status_code, again.status_code) == (204, 404)
    assert client.get("/api/v1/set-aside/").json()["waiting"] == []
    assert SetAside.objects.get().settled_by == scene.office


def test_the_shell_and_the_worker_hold_no_data_and_are_asked_for_anew(client, scene):
    client.force_login(scene.plumber)
    page = client.get("/phone/")
    worker = client.get("/sw.js")
    manifest = client.get("/phone/manifest.webmanifest")

    assert b"Pilar" not in page.content
    assert [r["Cache-Control"] for r in (page, worker, manifest)] == ["no-cache"] * 3
    assert worker["Content-Type"] == "text/javascript"
    text = worker.content.decode()
    facts = json.loads(text.removeprefix("const PHONE = ").split(";\n", 1)[0])
    assert "/static/phone/outbox.js" in facts["files"]
    assert "/static/phone/sw.js" not in facts["files"]
    assert not [one for one in facts["files"] if "/api/" in one]


def test_the_worker_changes_when_any_file_changes(monkeypatch, tmp_path):
    from tracker.phone import views

    for name in [*views.file_names(), "sw.js"]:
        (tmp_path / name).write_bytes((views.folder() / name).read_bytes())
    before = views._release()
    monkeypatch.setattr(views, "folder", lambda: tmp_path)
    assert views._release() == before

    with (tmp_path / "phone.css").open("a") as file:
        file.write("\n")

    assert views._release() != before
