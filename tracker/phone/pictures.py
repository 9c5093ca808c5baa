"""A received photo, decoded and made again. Pure: bytes in, JPEG bytes out.

The picture is turned upright, at most 1600 px long, and carries no metadata: where a
photo was taken stays with the crew. When it was taken is read before that.
"""

import io
import warnings
from dataclasses import dataclass
from datetime import datetime, tzinfo

import pillow_heif
from PIL import ExifTags, Image, ImageFile, ImageOps, UnidentifiedImageError

LONGEST, THUMB = 1600, 240
FORMATS = ("JPEG", "PNG", "WEBP", "HEIF")
# A JPEG is scaled down while it is read; the others are unpacked whole.
MOST_PIXELS, MOST_JPEG_PIXELS = 64_000_000, 220_000_000

pillow_heif.register_heif_opener()


class NotAPhoto(Exception):
    """`code` is a sentence of `tracker.phone.words`."""

    def __init__(self, code: str) -> None:
        super().__init__(code)
        self.code = code


@dataclass(frozen=True)
class Picture:
    jpeg: bytes
    thumb: bytes
    width: int
    height: int
    taken_at: datetime | None


def make_picture(data: bytes, *, zone: tzinfo) -> Picture:
    """Decode and encode again; `zone` is for cameras that tell no time zone.

    Raises NotAPhoto for what is no picture, cut short, or too large to unpack.
    """
    # WeasyPrint, once imported, lets Pillow read files that are cut short.
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    try:
        with warnings.catch_warnings():
            # Our own limits stand below, before any pixel is unpacked.
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            image = Image.open(io.BytesIO(data), formats=FORMATS)
            _check_size(image)
            taken_at = _taken_at(image.getexif(), zone)
            upright = _small(image)
    except NotAPhoto:
        raise
    except Image.DecompressionBombError:
        raise NotAPhoto("too_large") from None
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, EOFError):
        raise NotAPhoto("not_an_image") from None
    except (KeyError, IndexError, TypeError, OverflowError, MemoryError, RuntimeError):
        # Decoders answer odd files in odd ways.
        raise NotAPhoto("not_an_image") from None
    thumb = upright.copy()
    thumb.thumbnail((THUMB, THUMB))
    return Picture(
        _jpeg(upright), _jpeg(thumb), upright.width, upright.height, taken_at
    )


def _check_size(image: Image.Image) -> None:
    most = MOST_JPEG_PIXELS if image.format == "JPEG" else MOST_PIXELS
    if image.width * image.height > most:
        raise NotAPhoto("too_large")
    if min(image.size) < 8:
        raise NotAPhoto("not_an_image")


def _small(image: Image.Image) -> Image.Image:
    if image.format == "JPEG":
        image.draft("RGB", (LONGEST, LONGEST))
    upright = ImageOps.exif_transpose(image)
    if upright.mode in ("RGBA", "LA", "P", "PA"):
        with_alpha = upright.convert("RGBA")
        upright = Image.new("RGB", upright.size, "white")
        upright.paste(with_alpha, mask=with_alpha)
    upright = upright.convert("RGB")
    upright.thumbnail((LONGEST, LONGEST), Image.Resampling.LANCZOS)
    # New pixels in a new image: nothing of the old file's metadata goes along.
    clean = Image.new("RGB", upright.size)
    clean.paste(upright)
    return clean


def _jpeg(image: Image.Image) -> bytes:
    out = io.BytesIO()
    image.save(out, "JPEG", quality=82, optimize=True)
    return out.getvalue()


def _taken_at(exif: Image.Exif, zone: tzinfo) -> datetime | None:
    """When the camera says it was taken (EXIF 2.32: DateTimeOriginal, its offset)."""
    details = exif.get_ifd(ExifTags.IFD.Exif)
    stamp = details.get(ExifTags.Base.DateTimeOriginal) or exif.get(
        ExifTags.Base.DateTime
    )
    offset = details.get(ExifTags.Base.OffsetTimeOriginal)
    if not isinstance(stamp, str):
        return None
    try:
        taken = datetime.strptime(stamp.strip("\0 "), "%Y:%m:%d %H:%M:%S")  # noqa: DTZ007
    except ValueError:
        return None
    if isinstance(offset, str):
        try:
            return datetime.strptime(
                f"{taken:%Y-%m-%dT%H:%M:%S}{offset.strip()}", "%Y-%m-%dT%H:%M:%S%z"
            )
        except ValueError:
            pass
    return taken.replace(tzinfo=zone)
