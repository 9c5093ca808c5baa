"""Photos as proof: their bytes once, every use kept, shown to whom they concern."""

from datetime import timedelta
from pathlib import Path

import pytest
from django.utils import timezone

from phases.models import CheckItem, Photo, PhotoUse
from tests.phone import pictures_made as made
from tests.phone.asking import results, send
from tests.phone.scene import make_member, make_phone, make_scene
from tests.phone.sending import photo_op, put, upload
from tracker.phone.sweep import sweep

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    return make_scene()


@pytest.fixture
def phone(scene):
    return scene.phone()


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
