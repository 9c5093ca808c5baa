"""What every test shares."""

import os

import pytest

# Playwright's event loop runs in the test's own thread; the browser tests reach the
# database from there, one at a time.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")

SERVED = {"db", "transactional_db", "live_server", "client", "admin_client"}
_skipped: list[str] = []


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark `data` whatever touches database, cache or queue: it runs on both sides."""
    for item in items:
        fixtures = set(getattr(item, "fixturenames", ()))
        touches = item.get_closest_marker("django_db") or fixtures & SERVED
        if touches or item.get_closest_marker("redis"):
            item.add_marker("data")


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    if report.skipped:
        _skipped.append(report.nodeid)


def pytest_collectreport(report: pytest.CollectReport) -> None:
    if report.skipped:
        _skipped.append(report.nodeid)


def pytest_sessionfinish(session: pytest.Session) -> None:
    """A check that did not run is no passed check."""
    if _skipped and session.exitstatus == pytest.ExitCode.OK:
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    for name in _skipped:
        terminalreporter.write_line(f"SKIPPED, which counts as failed: {name}")
