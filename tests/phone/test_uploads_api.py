"""Photos in chunks: they resume at any byte, never mix, and count only when whole."""

import threading

import pytest

from phases.models import Photo
from tests.phone import pictures_made as made
from tests.phone.asking import results, send
from tests.phone.scene import make_scene
from tests.phone.sending import ask, photo_op, put, upload
from tracker.phone import parts, uploads
from tracker.phone.models import Upload

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    return make_scene()


@pytest.fixture
def phone(scene):
    return scene.phone()


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
        content_type="application/octet-stream",
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
