import pytest
from django.core.cache import cache

from tests.status.scene import Scene


@pytest.fixture(autouse=True)
def _forget_tries():
    cache.clear()


@pytest.fixture
def scene(db):
    return Scene()


@pytest.fixture
def other(db):
    """Another builder, with a house of his own."""
    return Scene()
