"""Photos in chunks: they resume at any byte, never mix, and count only when whole."""

import threading
from pathlib import Path

import pytest

from phases.models import CheckItem, Photo, PhotoUse
from tests.phone import pictures_made as made
from tests.phone.scene import make_member, make_phone, make_scene, on_item
from tests.phone.test_operations_api import results, send
from tracker.phone import parts
from tracker.phone.models import Upload

pytestmark = pytest.mark.django_db
CHUNK = 1000


@pytest.fixture
def scene(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    return make_scene()


@pytest.fixture
def phone(scene):
    return scene.phone()


def put(client, scene, phone, data, start, end, **wrong):
    piece = data[start:end]
    asked = {
        "offset": start,
        "length": len(data),
        "chunk": made.sha(piece),
        "taken": "2026-03-04T14:00:00Z",
        **wrong,
    }
    query = "&".join(f"{k}={v}" for k, v in asked.items())
    return client.generic(
        "PATCH",
        f"/api/v1/uploads/{made.sha(data)}/?{query}",
        wrong.get("body", piece),
        content_type="application/offset+octet-stream",
        **scene.bearer(phone),
    )


def ask(client, scene, phone, data):
    reply = client.get(f"/api/v1/uploads/{made.sha(data)}/", **scene.bearer(phone))
    return reply.json()["state"], reply.json()["offset"]


def upload(client, scene, phone, data):
    for start in range(0, len(data), CHUNK):
        reply = put(client, scene, phone, data, start, start + CHUNK)
        assert reply.status_code == 200, reply.content
    return reply.json()


def photo_op(scene, key, data, **more):
    return on_item(scene, "photo", key, payload={"sha": made.sha(data)}, **more)


def test_a_photo_in_chunks_is_there_when_the_last_one_is(client, scene, phone):
    data = made.jpeg()

    said = upload(client, scene, phone, data)

    photo = Photo.objects.get(pk=made.sha(data))
    assert (said["state"], said["offset"]) == ("there", len(data))
    assert (photo.width, photo.bytes_received) == (320, len(data))
    assert photo.file.read().startswith(b"\xff\xd8")
    assert not parts.part_path(photo.pk).exists()


@pytest.mark.parametrize("cut", [0, 1, 999, 1000, 1001, -1])
def test_a_photo_cut_anywhere_goes_on_from_where_the_server_is(
    client, scene, phone, cut
):
    data = made.jpeg()
    cut = cut % len(data) if cut < 0 else cut
    if cut:
        put(client, scene, phone, data, 0, cut)
    assert ask(client, scene, phone, data) == ("open", cut)
    assert not Photo.objects.exists()

    reply = put(client, scene, phone, data, cut, len(data))

    assert reply.json()["state"] == "there"


def test_bytes_of_a_broken_attempt_are_overwritten(client, scene, phone):
    """Killed after the file was written and before the row moved."""
    data = made.jpeg()
    put(client, scene, phone, data, 0, 500)
    with open(parts.part_path(made.sha(data)), "ab") as file:
        file.write(b"garbage that no row speaks of" * 100)

    assert ask(client, scene, phone, data) == ("open", 500)
    assert put(client, scene, phone, data, 500, len(data)).json()["state"] == "there"


def test_a_picture_whose_making_was_cut_short_is_made_by_an_empty_chunk(
    client, scene, phone, monkeypatch
):
    from tracker.phone import uploads

    data = made.jpeg()
    with monkeypatch.context() as patch:
        patch.setattr(uploads, "_finish", _killed)
        with pytest.raises(KeyboardInterrupt):
            put(client, scene, phone, data, 0, len(data))
    assert ask(client, scene, phone, data) == ("open", len(data))

    reply = put(client, scene, phone, data, len(data), len(data))

    assert reply.json()["state"] == "there"


def _killed(*args, **kwargs):
    raise KeyboardInterrupt


def test_a_damaged_chunk_is_refused_and_nothing_moves(client, scene, phone):
    data = made.jpeg()
    put(client, scene, phone, data, 0, 500)
    flipped = bytes([data[500] ^ 1]) + data[501:900]

    reply = put(client, scene, phone, data, 500, 900, body=flipped)

    assert (reply.status_code, reply.json()["code"]) == (422, "chunk_corrupt")
    assert (reply.json()["state"], reply.json()["offset"]) == ("open", 500)
    assert ask(client, scene, phone, data) == ("open", 500)


def test_a_chunk_at_another_place_is_told_where_to_go_on(client, scene, phone):
    data = made.jpeg()
    put(client, scene, phone, data, 0, 500)

    reply = put(client, scene, phone, data, 700, 900)

    assert (reply.status_code, reply.json()["offset"]) == (409, 500)


def test_a_second_connection_cannot_write_while_the_first_does(client, scene, phone):
    data = made.jpeg()
    put(client, scene, phone, data, 0, 500)

    with parts.locked_part(made.sha(data)):
        reply = put(client, scene, phone, data, 500, 900)

    assert (reply.status_code, reply.json()["code"]) == (409, "upload_busy")
    assert ask(client, scene, phone, data) == ("open", 500)


def test_the_lock_holds_between_threads(tmp_path, settings):
    settings.MEDIA_ROOT = tmp_path
    seen = []

    def second():
        try:
            with parts.locked_part("a" * 64):
                seen.append("in")
        except parts.Busy:
            seen.append("busy")

    with parts.locked_part("a" * 64):
        thread = threading.Thread(target=second)
        thread.start()
        thread.join()
    second()

    assert seen == ["busy", "in"]


def test_bytes_with_another_hash_start_over(client, scene, phone):
    data = made.jpeg()
    other = made.jpeg(seed=9)[: len(data)].ljust(len(data), b"\0")
    sha = made.sha(data)

    reply = client.generic(
        "PATCH",
        f"/api/v1/uploads/{sha}/?offset=0&length={len(other)}&chunk={made.sha(other)}",
        other,
        content_type="application/offset+octet-stream",
        **scene.bearer(phone),
    )

    assert (reply.status_code, reply.json()["code"]) == (422, "hash_mismatch")
    assert ask(client, scene, phone, data) == ("open", 0)
    assert upload(client, scene, phone, data)["state"] == "there"


@pytest.mark.parametrize(
    ("data", "code"),
    [(b"<html>hotspot</html>" * 9, "not_an_image"), (made.bomb(), "too_large")],
)
def test_what_is_no_photo_is_refused_in_both_languages(
    client, scene, phone, data, code
):
    said = upload(client, scene, phone, data)

    assert (said["state"], said["code"]) == ("refused", code)
    assert said["en"]
    assert said["es"]
    assert not Photo.objects.exists()
    receipts = send(client, scene, phone, photo_op(scene, "tub-valve", data))
    assert results(receipts) == [("refused", "photo_refused")]


@pytest.mark.parametrize(
    ("wrong", "status"),
    [
        ({"offset": "x"}, 400),
        ({"offset": -1}, 400),
        ({"length": 0}, 413),
        ({"length": 50 * 1024 * 1024}, 413),
        ({"chunk": "abc"}, 400),
        ({"body": b"x" * (1024 * 1024 + 1)}, 413),
        ({"body": b""}, 400),
        ({"offset": 10**9}, 400),
    ],
)
def test_a_chunk_that_makes_no_sense_is_refused(client, scene, phone, wrong, status):
    reply = put(client, scene, phone, made.jpeg(), 0, 500, **wrong)

    assert reply.status_code == status
    assert reply["Content-Type"] == "application/problem+json"
    assert not Upload.objects.exists()


def test_head_says_the_offset_too(client, scene, phone):
    data = made.jpeg()
    put(client, scene, phone, data, 0, 500)

    reply = client.head(f"/api/v1/uploads/{made.sha(data)}/", **scene.bearer(phone))

    assert (reply["Upload-Offset"], reply["Upload-Length"]) == ("500", str(len(data)))
    assert reply["Cache-Control"] == "no-store"


def test_a_photo_operation_waits_for_its_bytes_and_then_proves(client, scene, phone):
    data = made.jpeg()
    shot = photo_op(scene, "tub-valve", data)

    assert results(send(client, scene, phone, shot)) == [("later", "photo_missing")]
    upload(client, scene, phone, data)
    [receipt] = send(client, scene, phone, shot)

    assert (receipt["result"], receipt["sha256"]) == ("applied", made.sha(data))
    item = CheckItem.objects.get(pk=scene.items["tub-valve"].pk)
    assert item.state == "proven"


def test_the_same_bytes_on_two_items_are_stored_once_and_used_twice(
    client, scene, phone
):
    data = made.jpeg()
    upload(client, scene, phone, data)

    receipts = send(
        client,
        scene,
        phone,
        photo_op(scene, "tub-valve", data),
        photo_op(scene, "closet-drain", data),
    )

    assert results(receipts) == [("applied", "")] * 2
    assert Photo.objects.count() == 1
    assert sorted(PhotoUse.objects.values_list("item__key", flat=True)) == [
        "closet-drain",
        "tub-valve",
    ]


def test_pictures_of_one_name_and_time_but_other_bytes_are_two(client, scene, phone):
    one, two = made.jpeg(seed=1), made.jpeg(seed=2)
    for data in (one, two):
        upload(client, scene, phone, data)
        send(client, scene, phone, photo_op(scene, "tub-valve", data))

    assert Photo.objects.count() == PhotoUse.objects.count() == 2


def test_a_thumbnail_is_shown_to_those_of_the_lot_and_missing_to_others(
    client, scene, phone
):
    data = made.jpeg()
    upload(client, scene, phone, data)
    send(client, scene, phone, photo_op(scene, "tub-valve", data))
    address = f"/api/v1/photos/{made.sha(data)}/thumbnail/"
    stranger = make_phone(make_member("Sten", "plumber"), scene.tokens)

    mine = client.get(address, **scene.bearer(phone))
    his = client.get(address, **scene.bearer(stranger))

    assert b"".join(mine.streaming_content).startswith(b"\xff\xd8")
    assert his.status_code == 404


def test_the_sweep_clears_only_what_no_row_speaks_of(client, scene, phone, settings):
    from datetime import timedelta

    from django.utils import timezone

    from tracker.phone.sweep import sweep

    data, begun = made.jpeg(), made.jpeg(seed=5)
    upload(client, scene, phone, data)
    put(client, scene, phone, begun, 0, 500)
    orphan = Path(settings.MEDIA_ROOT) / "photos/aa" / f"{'aa' * 32}.jpg"
    orphan.parent.mkdir(parents=True, exist_ok=True)
    orphan.write_bytes(b"left by a killed process")

    early = sweep(now=timezone.now())
    late = sweep(now=timezone.now() + timedelta(days=2))

    assert early == []
    assert late == [f"photos/aa/{'aa' * 32}.jpg"]
    assert Photo.objects.get().file.storage.exists(Photo.objects.get().file.name)
    assert put(client, scene, phone, begun, 500, len(begun)).status_code == 200
