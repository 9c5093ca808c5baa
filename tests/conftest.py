"""What every test shares."""

import os

import pytest

# Playwright's event loop runs in the test's own thread; the browser tests reach the
# database from there, one at a time.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")

SERVED = {"db", "transactional_db", "live_server", "client", "admin_client"}


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark `data` whatever touches database, cache or queue: it runs on both sides."""
    for item in items:
        fixtures = set(getattr(item, "fixturenames", ()))
        touches = item.get_closest_marker("django_db") or fixtures & SERVED
        if touches or item.get_closest_marker("redis"):
            item.add_marker("data")
