"""Small pictures in the formats that phones send."""

import hashlib
import io

import pillow_heif
from PIL import ExifTags, Image

PLACE = {1: "N", 2: (30.0, 15.0, 0.0), 3: "W", 4: (97.0, 45.0, 0.0)}


def drawn(width: int = 320, height: int = 200, seed: int = 0) -> Image.Image:
    """A red left half and a gradient, so that turning it shows."""
    image = Image.linear_gradient("L").resize((width, height)).convert("RGB")
    image.paste((200, 20 + seed % 200, 20), (0, 0, width // 2, height))
    return image


def exif(*, orientation: int = 1, offset: str | None = "-06:00") -> Image.Exif:
    made = Image.Exif()
    made[ExifTags.Base.Orientation] = orientation
    made[ExifTags.Base.Make] = "A phone"
    details = made.get_ifd(ExifTags.IFD.Exif)
    details[ExifTags.Base.DateTimeOriginal] = "2026:03:04 08:30:00"
    if offset:
        details[ExifTags.Base.OffsetTimeOriginal] = offset
    made.get_ifd(ExifTags.IFD.GPSInfo).update(PLACE)
    return made


def jpeg(**how) -> bytes:
    size = how.pop("size", (320, 200))
    seed = how.pop("seed", 0)
    out = io.BytesIO()
    drawn(*size, seed=seed).save(out, "JPEG", quality=90, exif=exif(**how))
    return out.getvalue()


def heic() -> bytes:
    out = io.BytesIO()
    picture = pillow_heif.from_pillow(drawn())
    picture.save(out, quality=60, exif=exif().tobytes())
    return out.getvalue()


def png() -> bytes:
    out = io.BytesIO()
    drawn().convert("RGBA").save(out, "PNG")
    return out.getvalue()


def bomb() -> bytes:
    """A tiny file that claims and unpacks to 120 million pixels."""
    out = io.BytesIO()
    Image.new("1", (12_000, 10_000)).save(out, "PNG")
    return out.getvalue()


def sha(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
