"""Received photos are turned upright, made small and stripped of where they were."""

import io
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from PIL import Image, ImageFile

from tests.phone import pictures_made as made
from tracker.phone.pictures import NotAPhoto, make_picture

CHICAGO = ZoneInfo("America/Chicago")


def opened(data: bytes) -> Image.Image:
    return Image.open(io.BytesIO(data))


@pytest.mark.parametrize("data", [made.jpeg(), made.png(), made.heic()])
def test_every_usual_format_becomes_a_jpeg_without_metadata(data):
    picture = make_picture(data, zone=CHICAGO)

    image = opened(picture.jpeg)
    assert (image.format, image.size, dict(image.getexif())) == ("JPEG", (320, 200), {})
    assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert b"Exif" not in picture.jpeg
    assert opened(picture.thumb).size == (240, 150)


def test_the_source_picture_did_carry_a_place():
    assert opened(made.jpeg()).getexif().get_ifd(0x8825)[3] == "W"


def test_a_large_photo_is_1600_pixels_long_afterwards():
    picture = make_picture(made.jpeg(size=(3200, 2000)), zone=CHICAGO)

    assert (picture.width, picture.height) == opened(picture.jpeg).size == (1600, 1000)


def test_a_photo_held_sideways_is_turned_upright_once():
    picture = make_picture(made.jpeg(orientation=6), zone=CHICAGO)

    image = opened(picture.jpeg)
    assert image.size == (200, 320)
    # The red left half of the sensor is the top half once it is turned.
    assert image.getpixel((100, 20))[0] > 180 > image.getpixel((100, 20))[1]


@pytest.mark.parametrize(
    ("offset", "taken"),
    [
        ("-06:00", datetime(2026, 3, 4, 14, 30, tzinfo=UTC)),
        ("+01:00", datetime(2026, 3, 4, 7, 30, tzinfo=UTC)),
        (None, datetime(2026, 3, 4, 14, 30, tzinfo=UTC)),
    ],
)
def test_the_time_it_was_taken_is_kept(offset, taken):
    assert make_picture(made.jpeg(offset=offset), zone=CHICAGO).taken_at == taken


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"<html>sign in to the hotspot</html>",
        b"%PDF-1.4 no picture",
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        made.jpeg()[:2000],
        made.png()[:-40],
        made.heic()[:600],
        b"GIF89a" + b"\0" * 100,
    ],
)
def test_what_is_no_whole_photo_is_refused(data):
    with pytest.raises(NotAPhoto) as refused:
        make_picture(data, zone=CHICAGO)
    assert refused.value.code == "not_an_image"


def test_a_picture_that_would_unpack_too_large_is_refused_before_it_does():
    with pytest.raises(NotAPhoto) as refused:
        make_picture(made.bomb(), zone=CHICAGO)
    assert refused.value.code == "too_large"


def test_a_photo_that_is_cut_short_is_refused_after_a_sheet_was_printed(monkeypatch):
    # WeasyPrint sets this for the whole process when it is imported.
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)

    with pytest.raises(NotAPhoto):
        make_picture(made.jpeg()[:2000], zone=CHICAGO)
