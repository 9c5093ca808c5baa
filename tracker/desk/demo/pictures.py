"""Photos that the demo draws itself: a framed wall with pipe, and what it shows."""

import hashlib
import io
import random
from functools import lru_cache

from PIL import Image, ImageDraw, ImageFont

SIZE = (480, 360)
COLOURS = {
    "hot": "#a8402f",
    "cold": "#2d5d8a",
    "gas": "#c9a227",
    "drain": "#e9e6dc",
    "vent": "#d9d6cc",
}


@lru_cache(maxsize=60)
def _wall(kind: str) -> Image.Image:
    """Studs, plates and the pipes of one kind of fixture; the same kind looks alike."""
    rng = random.Random(kind)
    image = Image.new("RGB", SIZE, "#8f7a58")
    draw = ImageDraw.Draw(image)
    for x in range(0, SIZE[0], 96):
        draw.rectangle((x, 0, x + 20, SIZE[1]), fill="#cfae79", outline="#a58653")
    draw.rectangle((0, SIZE[1] - 30, SIZE[0], SIZE[1]), fill="#b9935c")
    for outlet in rng.sample(sorted(COLOURS), 4):
        x, y = rng.randrange(40, 440), rng.randrange(80, 290)
        width = 16 if outlet in ("drain", "vent") else 8
        draw.line((x, SIZE[1], x, y), fill=COLOURS[outlet], width=width)
        if rng.random() < 0.6:
            draw.line((x, y, x + 84, y), fill=COLOURS[outlet], width=width)
        draw.ellipse((x - 11, y - 11, x + 11, y + 11), fill="#3b3f45")
    return image


@lru_cache(maxsize=4)
def _font(size: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    return ImageFont.load_default(size)


@lru_cache(maxsize=4)
def _tag(title: str) -> Image.Image:
    """The card at the top of a photo: all photos of one lot show the same title."""
    image = Image.new("RGB", (462, 50))
    draw = ImageDraw.Draw(image)
    draw.rectangle((0, 0, 461, 49), fill="#fdfcf8", outline="#3b3f45", width=2)
    draw.text((8, 3), title[:44], fill="#22262b", font=_font(19))
    return image


def picture(kind: str, title: str, line: str) -> tuple[str, bytes, bytes]:
    """(sha256, JPEG, thumbnail JPEG) of a wall with two lines of text on a tag."""
    image = _wall(kind).copy()
    image.paste(_tag(title), (9, 9))
    draw = ImageDraw.Draw(image)
    draw.text((17, 36), line[:62], fill="#22262b", font=_font(13))
    data = _jpeg(image)
    return hashlib.sha256(data).hexdigest(), data, _thumbnail(kind)


@lru_cache(maxsize=60)
def _thumbnail(kind: str) -> bytes:
    """Too small for the words on a tag, so all of one kind share it."""
    return _jpeg(_wall(kind).reduce(2))


def _jpeg(image: Image.Image) -> bytes:
    file = io.BytesIO()
    image.save(file, "JPEG", quality=60)
    return file.getvalue()
