"""Operations over the API: at most once, each its own effect, none dropped."""

import json
from uuid import uuid4

import pytest

from phases.models import CheckItem, Fact
from tests.phone.asking import results, send, state
from tests.phone.scene import NOW, make_member, make_phone, make_scene, on_item
from tracker.people.models import Device
from tracker.phone.models import Operation, SetAside

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene():
    return make_scene()


@pytest.fixture
def phone(scene):
    return scene.phone()


def test_a_tick_proves_an_item_and_its_receipt_names_it(client, scene, phone):
    tick = on_item(scene, "tick", "closet-drain", version=1)

    [receipt] = send(client, scene, phone, tick)

    fact = Fact.objects.get(op=tick["id"])
    assert receipt == {
        "id": tick["id"],
        "result": "applied",
        "code": "",
        "en": "",
        "es": "",
        "no": fact.no,
        "sha256": "",
    }
    assert (fact.by, fact.device, fact.device_seq) == (
        scene.plumber,
        phone,
        tick["seq"],
    )
    assert state(scene, "closet-drain") == "proven"


def test_a_repeated_batch_has_one_effect_and_the_same_receipt(client, scene, phone):
    tick = on_item(scene, "tick", "closet-drain")
    [first] = send(client, scene, phone, tick)

    again = [send(client, scene, phone, tick)[0] for _ in range(50)]

    assert again == [{**first, "result": "had"}] * 50
    assert Fact.objects.filter(kind="entry").count() == 1


def test_an_id_used_for_something_else_is_set_aside_and_the_first_stands(
    client, scene, phone
):
    tick = on_item(scene, "tick", "closet-drain")
    send(client, scene, phone, tick)
    other = {**tick, "target": f"item:{scene.items['lavatory-drain'].pk}"}

    receipts = send(client, scene, phone, other)

    assert results(receipts) == [("refused", "id_reused")]
    assert SetAside.objects.get().body == other
    assert state(scene, "lavatory-drain") == "open"


@pytest.mark.parametrize(
    ("broken", "words"),
    [
        ({"id": "no uuid"}, "id must be a UUID"),
        ({"kind": "dance"}, "kind: 'dance' is not one of"),
        ({"seq": -1}, "seq must be from 0"),
        ({"lot": "x"}, "lot must be a whole number"),
        ({"target": "wall:3"}, "target must be item:"),
        ({"payload": [1]}, "payload must be an object"),
        ({"payload": {"sha": "short"}}, "payload.sha must be 64 hex digits"),
        ({"payload": {"text": "a\0b"}}, "null characters"),
        ({"payload": {"text": "x" * 30_000}}, "20000 characters at most"),
        ({"at": "yesterday"}, "at must be a date and time"),
        ({"at": "0001-01-01T00:00:00+23:00"}, "at must be a date and time"),
        ({"payload": {"text": "\ud800"}}, "half characters"),
    ],
)
def test_a_poison_record_is_set_aside_and_the_others_pass(
    client, scene, phone, broken, words
):
    poison = {**on_item(scene, "tick", "lavatory-drain"), **broken}
    good = on_item(scene, "tick", "closet-drain")

    receipts = send(client, scene, phone, poison, good)

    assert results(receipts) == [("refused", "unreadable"), ("applied", "")]
    assert words in receipts[0]["detail"]
    assert SetAside.objects.get().body == poison
    assert state(scene, "closet-drain") == "proven"


def test_an_operation_that_makes_the_server_stumble_is_set_aside_alone(
    client, scene, phone
):
    poison = on_item(scene, "not_done", "tub-valve", payload={"text": {"a": 1}})
    good = on_item(scene, "tick", "closet-drain")

    receipts = send(client, scene, phone, poison, good)

    assert results(receipts) == [("refused", "fault"), ("applied", "")]
    assert Fact.objects.filter(op=poison["id"]).count() == 0
    assert SetAside.objects.get().reason == {"code": "fault"}


def test_batches_are_applied_in_the_phones_own_order(client, scene, phone):
    tick = on_item(scene, "tick", "closet-drain")
    undo = on_item(
        scene, "undo", "closet-drain", payload={"of": tick["id"]}, after=tick["id"]
    )

    receipts = send(client, scene, phone, undo, tick)

    assert results(receipts) == [("applied", ""), ("applied", "")]
    assert [fact.op.__str__() for fact in Fact.objects.filter(kind="entry")] == [
        tick["id"],
        undo["id"],
    ]
    assert state(scene, "closet-drain") == "open"


def test_an_operation_waits_for_the_one_it_follows(client, scene, phone):
    tick = on_item(scene, "tick", "closet-drain")
    undo = on_item(
        scene, "undo", "closet-drain", payload={"of": tick["id"]}, after=tick["id"]
    )

    early = send(client, scene, phone, undo)
    assert results(early) == [("later", "waits_for")]
    assert not Operation.objects.exists()

    send(client, scene, phone, tick)
    assert results(send(client, scene, phone, undo)) == [("applied", "")]
    assert state(scene, "closet-drain") == "open"


def test_what_another_person_entered_is_never_applied_as_the_phones_owner(
    client, scene, phone
):
    other = make_member("Quint", "plumber", scene.crew)
    tick = on_item(scene, "tick", "closet-drain", member=str(other.pk))

    receipts = send(client, scene, phone, tick)

    assert results(receipts) == [("refused", "other_person")]
    assert SetAside.objects.get().body == tick
    assert not Fact.objects.filter(kind="entry").exists()


@pytest.mark.parametrize(
    ("shut", "code"),
    [("revoked", "device_revoked"), ("disabled", "member_disabled")],
)
def test_what_a_shut_out_phone_sends_is_kept_and_not_applied(
    client, scene, phone, shut, code
):
    if shut == "revoked":
        Device.objects.filter(pk=phone.pk).update(revoked_at=NOW)
    else:
        scene.plumber.is_active = False
        scene.plumber.save()
    tick = on_item(scene, "tick", "closet-drain")

    receipts = send(client, scene, phone, tick)
    lots = client.get("/api/v1/lots/", **scene.bearer(phone))

    assert results(receipts) == [("refused", code)]
    assert SetAside.objects.get().body == tick
    assert state(scene, "closet-drain") == "open"
    assert lots.status_code == 401


def test_an_unknown_token_is_told_to_sign_in_and_nothing_is_kept(client, scene, phone):
    scene.tokens[phone.pk] = "unknown"

    reply = client.post(
        "/api/v1/operations/",
        json.dumps({"operations": [on_item(scene, "tick", "closet-drain")]}),
        content_type="application/json",
        **scene.bearer(phone),
    )

    assert (reply.status_code, reply["Content-Type"]) == (
        401,
        "application/problem+json",
    )
    assert reply.json()["code"] == "sign_in"
    assert not SetAside.objects.exists()


def test_a_removed_item_keeps_the_tick_for_review(client, scene, phone):
    CheckItem.objects.filter(pk=scene.items["closet-drain"].pk).update(removed_at=NOW)
    tick = on_item(scene, "tick", "closet-drain")

    [receipt] = send(client, scene, phone, tick)

    assert (receipt["result"], receipt["code"]) == ("refused", "item_removed")
    assert receipt["es"].startswith("La oficina quitó este punto")
    assert SetAside.objects.get().body == tick


def test_another_crews_lot_answers_like_a_missing_one(client, scene, phone):
    stranger = make_member("Sten", "plumber")
    tokens = scene.tokens
    his = make_phone(stranger, tokens)
    there = on_item(scene, "tick", "closet-drain", member=str(stranger.pk))
    missing = {**there, "id": str(uuid4()), "lot": 999_999}

    receipts = send(client, scene, his, there, missing)

    assert [{**one, "id": ""} for one in receipts] == [{**receipts[0], "id": ""}] * 2
    assert receipts[0]["code"] == "no_such"
