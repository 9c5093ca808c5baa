from uuid import uuid4

import pytest

from tests.status.scene import Scene
from tracker.status import guard


@pytest.fixture(autouse=True)
def _own_tries(monkeypatch):
    """Each test counts for itself (the cache may be shared), in one long window."""
    monkeypatch.setattr(guard, "TRIES_KEY", f"tries-{uuid4()}")
    monkeypatch.setattr(guard, "WINDOW_SECONDS", 10**8)


@pytest.fixture
def scene(db):
    return Scene()


@pytest.fixture
def other(db):
    """Another builder, with a house of his own."""
    return Scene()
