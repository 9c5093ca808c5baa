import shutil

import pytest

from tests.deploy.house import manage


@pytest.fixture(scope="session")
def empty_house(tmp_path_factory):
    """A data folder that is migrated and has its static files, made once."""
    folder = tmp_path_factory.mktemp("house") / "data"
    manage(folder, "serve", "--prepare", "--empty")
    return folder


@pytest.fixture
def prepared(empty_house, tmp_path):
    """A copy of the empty house that a test may do anything with."""
    return shutil.copytree(empty_house, tmp_path / "house")
