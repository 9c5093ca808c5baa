"""Every write of the API is killed at its N-th SQL statement and file call.

N is 1, 2, 3 and so on. After each kill nothing is half there, and the same request
again completes. The run ends at the first N that the request does not reach.
"""

import contextlib
import json

import pytest
from django.db import OperationalError, connection
from django.test import Client

from phases.models import Fact, Photo, PhotoUse
from tests.phone import pictures_made as made
from tests.phone.scene import TODAY, make_scene, on_item, op
from tests.phone.sim.faults import (
    Countdown,
    Killed,
    killed_at_file,
    killed_at_sql,
    patch_files,
)
from tests.phone.test_my_days import change, notice, seen, told
from tracker.people.models import Device, EnrolCode
from tracker.phone import enrolment, parts
from tracker.phone.models import Operation, SetAside, Upload

pytestmark = pytest.mark.django_db(transaction=True)
MOST = 400


@pytest.fixture
def scene(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    return make_scene()


def until_clean(request, whole, *, fault=killed_at_sql) -> int:
    """Kill `request` at N = 1, 2 ... until it runs through; `whole` checks each."""
    for at in range(1, MOST):
        countdown = Countdown(at)
        try:
            with fault(countdown):
                request()
        except Killed:
            connection.close()
        if not countdown.fired:
            return at
        whole()
    raise AssertionError(f"still killed at {MOST}")


def sender(scene, phone, *ops):
    def request():
        # A fresh client: the killed process is gone with all it held.
        reply = Client().post(
            "/api/v1/operations/",
            json.dumps({"operations": list(ops)}),
            content_type="application/json",
            **scene.bearer(phone),
        )
        return reply.json()["receipts"]

    return request


KINDS = {
    "tick": lambda scene: on_item(scene, "tick", "closet-drain"),
    "measure": lambda scene: on_item(
        scene, "measure", "shower-head", payload={"value": 1280, "unit": "in16"}
    ),
    "not_done": lambda scene: on_item(
        scene, "not_done", "tub-valve", payload={"owed_by": "framer", "text": "joist"}
    ),
    "walk_correction": lambda scene: on_item(
        scene, "walk_correction", "tub-valve", payload={"owed_by": "us", "text": "x"}
    ),
    "work": lambda scene: op(
        scene, "work", f"phase:{scene.phase.pk}", payload={"what": "started"}
    ),
    "pipe_test": lambda scene: op(
        scene,
        "pipe_test",
        f"phase:{scene.phase.pk}",
        payload={"system": "dwv", "medium": "water", "material": "pvc"},
    ),
    "refused": lambda scene: on_item(scene, "settle", "tub-valve"),
}


@pytest.mark.parametrize("kind", KINDS)
def test_an_operation_is_there_with_its_receipt_or_not_at_all(scene, kind):
    phone = scene.phone()
    body = KINDS[kind](scene)
    request = sender(scene, phone, body)
    before = Fact.objects.count()

    def whole():
        receipts = Operation.objects.filter(pk=body["id"])
        applied = receipts.filter(result="applied").exists()
        assert Fact.objects.filter(op=body["id"]).exists() is applied
        assert (Fact.objects.count() > before) is applied
        refused = receipts.filter(result="refused").exists()
        assert SetAside.objects.exists() is refused

    kills = until_clean(request, whole)

    whole()
    assert kills > 10
    [receipt] = request()
    assert receipt["result"] == ("refused" if kind == "refused" else "had")
    assert Operation.objects.count() == 1


def test_a_change_of_plan_is_seen_with_its_receipt_or_not_at_all(scene):
    row = notice(scene.crew, change(scene, None, told(scene.crew, TODAY)))
    body = seen(scene, scene.lead, row)
    request = sender(scene, scene.phone(scene.lead), body)

    def whole():
        receipts = Operation.objects.filter(pk=body["id"], result="applied")
        row.refresh_from_db()
        assert receipts.exists() is (row.seen_at is not None)

    kills = until_clean(request, whole)

    whole()
    assert kills > 10
    assert row.seen_by == "Lew"


def test_a_batch_killed_between_two_is_completed_by_the_same_batch(scene):
    phone = scene.phone()
    bodies = [
        on_item(scene, "tick", "closet-drain"),
        op(scene, "work", f"phase:{scene.phase.pk}", payload={"what": "started"}),
        on_item(scene, "tick", "lavatory-drain"),
    ]
    request = sender(scene, phone, *bodies)

    def whole():
        for body in bodies:
            there = Operation.objects.filter(pk=body["id"]).exists()
            assert Fact.objects.filter(op=body["id"]).count() == there

    assert until_clean(request, whole) > 30
    assert [one["result"] for one in request()] == ["had"] * 3


@pytest.mark.parametrize("fault", [killed_at_sql, killed_at_file])
def test_a_photo_is_whole_on_disk_before_its_row_says_so(scene, fault):
    phone = scene.phone()
    data = made.jpeg(size=(64, 48))
    sha = made.sha(data)

    def request():
        reply = Client().generic(
            "PATCH",
            f"/api/v1/uploads/{sha}/?offset={offset()}&length={len(data)}"
            f"&chunk={made.sha(data[offset() :])}",
            data[offset() :],
            content_type="application/octet-stream",
            **scene.bearer(phone),
        )
        assert reply.status_code == 200, reply.content

    def offset():
        upload = Upload.objects.filter(pk=sha).first()
        return upload.offset if upload else 0

    def whole():
        for photo in Photo.objects.all():
            for file in (photo.file, photo.thumb):
                with file.open("rb") as kept:
                    assert kept.read().endswith(b"\xff\xd9")
        upload = Upload.objects.filter(pk=sha, state=Upload.OPEN).first()
        if upload and upload.offset:
            kept = parts.part_path(sha).read_bytes()[: upload.offset]
            assert kept == data[: upload.offset]

    with patch_files() if fault is killed_at_file else contextlib.nullcontext():
        kills = until_clean(request, whole, fault=fault)

    whole()
    assert kills > 5
    assert Photo.objects.filter(pk=sha).exists()
    [receipt] = sender(
        scene, phone, on_item(scene, "photo", "tub-valve", payload={"sha": sha})
    )()
    assert receipt["result"] == "applied"
    assert PhotoUse.objects.count() == 1


def test_an_enrolment_gives_a_token_and_uses_the_code_or_neither(scene):
    code = enrolment.make_code(
        scene.plumber, made_by=scene.office, now=enrolment_clock()
    )
    got = []

    def request():
        reply = Client().post(
            "/api/v1/enrolments/",
            json.dumps({"code": code, "name": "phone"}),
            content_type="application/json",
        )
        got.append(reply.status_code)

    def whole():
        used = EnrolCode.objects.exclude(used_at=None).exists()
        assert Device.objects.exists() is used

    until_clean(request, whole)

    whole()
    # Killed after the commit the phone never saw its token: it needs a new code.
    assert got[-1] in (201, 403)
    assert Device.objects.count() == 1


def enrolment_clock():
    from django.utils import timezone

    return timezone.now()


@pytest.mark.parametrize("address", ["devices", "settlement"])
def test_the_offices_writes_are_done_or_not(scene, address):
    phone = scene.phone()
    sender(scene, phone, on_item(scene, "settle", "tub-valve"))()
    aside = SetAside.objects.get()
    seen = []

    def request():
        client = Client()
        client.force_login(scene.office)
        if address == "devices":
            reply = client.delete(f"/api/v1/devices/{phone.pk}/")
        else:
            reply = client.post(
                f"/api/v1/set-aside/{aside.pk}/settlement/",
                json.dumps({"how": "read"}),
                content_type="application/json",
            )
        seen.append(reply.status_code)

    until_clean(request, lambda: None)

    assert seen[-1] in (204, 404)
    phone.refresh_from_db()
    aside.refresh_from_db()
    assert (phone.revoked_at is not None) is (address == "devices")
    assert (aside.settled_at is not None) is (address == "settlement")


@pytest.mark.parametrize("at", [1, 5, 12])
def test_a_database_that_says_no_is_answered_503_and_nothing_is_kept(scene, at):
    """Disk full or read-only: the phone waits and comes again."""
    phone = scene.phone()
    body = on_item(scene, "tick", "closet-drain")
    calls = []

    def full(execute, sql, params, many, context):
        calls.append(sql)
        if len(calls) >= at:
            raise OperationalError("database or disk is full")
        return execute(sql, params, many, context)

    with connection.execute_wrapper(full):
        reply = Client().post(
            "/api/v1/operations/",
            json.dumps({"operations": [body]}),
            content_type="application/json",
            **scene.bearer(phone),
        )

    assert (reply.status_code, reply.json()["code"]) == (503, "server_fault")
    assert not Operation.objects.exists()
    assert sender(scene, phone, body)()[0]["result"] == "applied"
