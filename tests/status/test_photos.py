"""Photos on the builder's page: standing proofs on his own houses only."""

import pytest

from phases.log import Who
from phases.models import PhotoUse
from tests.factories import prove
from tests.status.scene import now
from tests.status.test_pages import page

pytestmark = pytest.mark.django_db


def test_a_photo_is_shown_as_proof_on_its_own_link_only(
    scene, other, client, settings, tmp_path
):
    settings.MEDIA_ROOT = tmp_path
    (tmp_path / "thumbs").mkdir()
    (tmp_path / "thumbs" / "p.jpg").write_bytes(b"\xff\xd8 our photo")
    items = scene.phase("underground").items
    item = items.filter(photos_needed__gt=0)[0]
    prove(item, who=Who(member=scene.office), now=now())
    sha = PhotoUse.objects.filter(item=item).latest("pk").photo_sha

    ours = client.get(f"{scene.link()}photos/{sha}/")
    theirs = client.get(f"{other.link()}photos/{sha}/")

    assert b"".join(ours.streaming_content) == b"\xff\xd8 our photo"
    assert ours.headers["Cache-Control"].startswith("private")
    assert theirs.status_code == 404
    assert f"photos/{sha}/" in page(client, f"{scene.link()}lots/{scene.lot.pk}/")


def test_a_rejected_photo_is_shown_to_nobody(scene, client, settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    (tmp_path / "thumbs").mkdir()
    (tmp_path / "thumbs" / "p.jpg").write_bytes(b"\xff\xd8")
    items = scene.phase("underground").items
    item = items.filter(photos_needed__gt=0)[0]
    prove(item, who=Who(member=scene.office), now=now())
    sha = PhotoUse.objects.filter(item=item).latest("pk").photo_sha
    assert client.get(f"{scene.link()}photos/{sha}/").status_code == 200

    item.refresh_from_db()
    type(item).objects.filter(pk=item.pk).update(state="rejected")

    assert client.get(f"{scene.link()}photos/{sha}/").status_code == 404
