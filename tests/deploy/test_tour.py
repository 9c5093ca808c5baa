"""The pictures that README.md shows are there, in the size and weight of a page."""

import re
from pathlib import Path

from PIL import Image

from deploy.tour import DESK, FOLDER, MOST_BYTES, NAMES, PHONE

README = Path(__file__).parents[2] / "README.md"


def test_each_picture_of_the_readme_is_taken_by_the_tour():
    shown = re.findall(r"!\[[^\]]+\]\(deploy/tour/([a-z-]+)\.png\)", README.read_text())

    assert sorted(shown) == sorted(NAMES)


def test_the_pictures_are_whole_light_and_no_blank_page():
    found = {}
    for name in NAMES:
        file = FOLDER / f"{name}.png"
        with Image.open(file) as picture:
            colours = len(picture.convert("RGB").getcolors(1 << 20))
            found[name] = (picture.size, file.stat().st_size <= MOST_BYTES, colours > 8)

    sizes = {name: PHONE if name == "phone" else DESK for name in NAMES}
    assert found == {name: (size, True, True) for name, size in sizes.items()}
