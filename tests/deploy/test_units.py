"""The unit files name programs and parts that there are."""

import shlex
from configparser import ConfigParser

import pytest

from tests.deploy.house import TOP
from tracker.parts import PARTS

UNITS = sorted((TOP / "deploy" / "units").glob("*.service"))


def unit(path) -> dict[str, str]:
    parser = ConfigParser(strict=False, interpolation=None)
    parser.optionxform = str
    parser.read(path)
    return dict(parser["Service"])


@pytest.mark.parametrize("path", UNITS, ids=lambda path: path.name)
def test_a_unit_starts_something_that_is_there_as_its_own_user(path):
    service = unit(path)
    program, *words = shlex.split(service["ExecStart"])

    assert service["User"] == "plumbrow"
    assert service["WorkingDirectory"] == "/opt/plumbrow"
    assert (TOP / words[0]).exists()
    if words[0] == "manage.py":
        assert program == "/opt/plumbrow/.venv/bin/python"
        assert words[1:] in (["serve", "--empty"], *(["serve", part] for part in PARTS))


def test_every_part_has_a_unit():
    named = {path.stem.removeprefix("plumbrow-") for path in UNITS}

    assert named >= set(PARTS)
