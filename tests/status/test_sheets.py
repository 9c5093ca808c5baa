"""One house or one street on one sheet of paper, from our own files only."""

import contextlib
import io
import re
import socket
import zlib
from types import SimpleNamespace
from uuid import uuid4

import pytest
from PIL import Image
from weasyprint import HTML

from phases.log import Who
from phases.models import PhotoUse
from tests.factories import prove
from tests.status.scene import now
from tracker.status import sheets
from tracker.status.own_files import OwnFiles

pytestmark = pytest.mark.django_db
# A picture file of these colours can be found again inside a PDF by its size.
WIDTH, HEIGHT = 61, 37


def unpacked(pdf):
    """The bytes of a PDF with what Flate packed laid open (ISO 32000-1, 7.5.7)."""
    parts = [pdf]
    for packed in re.findall(rb"stream\r?\n(.*?)\r?\nendstream", pdf, re.DOTALL):
        with contextlib.suppress(zlib.error):
            parts.append(zlib.decompressobj().decompress(packed))
    return b"\n".join(parts)


def pages(pdf):
    """The number of page objects (ISO 32000-1, 7.7.3.3)."""
    return len(re.findall(rb"/Type\s*/Page\b", unpacked(pdf)))


def a_picture():
    out = io.BytesIO()
    Image.new("RGB", (WIDTH, HEIGHT), "brown").save(out, "JPEG")
    return out.getvalue()


@pytest.fixture
def _no_network(monkeypatch):
    def refuse(*args, **kwargs):
        raise AssertionError("a sheet asked the network")

    monkeypatch.setattr(socket, "getaddrinfo", refuse)
    monkeypatch.setattr(socket.socket, "connect", refuse)


def test_a_house_is_one_page_with_its_photo(scene, client, settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    (tmp_path / "thumbs").mkdir()
    (tmp_path / "thumbs" / "p.jpg").write_bytes(a_picture())
    item = scene.phase("underground").items.filter(photos_needed__gt=0)[0]
    path = f"{scene.link()}lots/{scene.lot.pk}/sheet.pdf"
    before = client.get(path)
    prove(item, who=Who(member=scene.office), now=now())

    after = client.get(path)

    size = rb"/Width %d" % WIDTH
    assert before.headers["Content-Type"] == "application/pdf"
    assert (pages(before.content), size in unpacked(before.content)) == (1, False)
    assert (pages(after.content), size in unpacked(after.content)) == (1, True)


def test_a_street_is_one_page(scene, client):
    scene.house()

    answer = client.get(f"{scene.link()}streets/{scene.place.pk}/sheet.pdf?lang=es")

    assert (answer.status_code, pages(answer.content)) == (200, 1)


def test_the_first_density_that_fits_on_one_page_is_taken():
    long, short = (f"<p>{'word ' * n}</p>" for n in (9000, 10))

    assert pages(sheets._laid_out([long], {})) > 1
    assert pages(sheets._laid_out([long, short], {})) == 1


def test_the_same_sheet_is_laid_out_once(scene, client, monkeypatch):
    address = f"{scene.link()}lots/{scene.lot.pk}/sheet.pdf"
    scene.lot.address = f"{uuid4()} Street"  # the cache may be older than this test
    scene.lot.save()
    made = []
    real = sheets._laid_out
    monkeypatch.setattr(sheets, "_laid_out", lambda *a: made.append(1) or real(*a))

    first, second = client.get(address), client.get(address)
    scene.lot.address = f"{uuid4()} Street"
    scene.lot.save()
    third = client.get(address)

    assert first.content == second.content != third.content
    assert len(made) == 2


def test_another_builders_sheets_are_not_here(scene, other, client):
    house, street = f"lots/{other.lot.pk}/sheet.pdf", f"streets/{other.place.pk}/"
    assert client.get(other.link() + house).status_code == 200

    assert client.get(scene.link() + house).status_code == 404
    assert client.get(f"{scene.link()}{street}sheet.pdf").status_code == 404


@pytest.mark.parametrize(
    "url",
    [
        "http://127.0.0.1:9/x.png",
        "https://example.org/x.png",
        "file:///etc/passwd",
        "own:/photo/bb",
        "own:/photo/../secret",
        "data:image/png;base64,AAAA",
    ],
)
@pytest.mark.usefixtures("_no_network")
def test_a_sheet_loads_only_the_photos_named_to_it(url, tmp_path):
    (tmp_path / "a.jpg").write_bytes(a_picture())
    photo = SimpleNamespace(
        thumb=SimpleNamespace(open=lambda mode: (tmp_path / "a.jpg").open(mode))
    )
    fetcher = OwnFiles({"aa": photo})
    assert fetcher.fetch("own:/photo/aa").read() == a_picture()

    with pytest.raises(ValueError, match="may not load"):
        fetcher.fetch(url)
    # And a page that asks for it is made without it.
    html = f'<p>words</p><img src="{url}"><style>@import url("{url}");</style>'
    made = HTML(string=html, url_fetcher=fetcher, base_url="own:/").write_pdf()
    assert made.startswith(b"%PDF")


@pytest.mark.usefixtures("_no_network")
def test_what_people_wrote_cannot_load_anything(scene, client):
    scene.lot.address = '<img src="http://127.0.0.1:9/x.png">'
    scene.lot.save()

    answer = client.get(f"{scene.link()}lots/{scene.lot.pk}/sheet.pdf")

    assert pages(answer.content) == 1


def test_a_photo_whose_file_is_gone_leaves_the_sheet_whole(scene, client):
    item = scene.phase("underground").items.filter(photos_needed__gt=0)[0]
    prove(item, who=Who(member=scene.office), now=now())
    assert PhotoUse.objects.filter(item=item).exists()

    answer = client.get(f"{scene.link()}lots/{scene.lot.pk}/sheet.pdf")

    assert pages(answer.content) == 1
