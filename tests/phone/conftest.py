"""A migrated database file that servers of their own start from."""

import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

from tests.phone.house import ARGS, House
from tests.phone.sim.run import ROOT, Server, own_environment


@pytest.fixture(scope="session")
def migrated(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("migrated")
    subprocess.run(
        [sys.executable, "-m", "tests.phone.sim.serve", str(folder), "0"],
        cwd=ROOT,
        env=own_environment(),
        stdin=subprocess.DEVNULL,
        capture_output=True,
        timeout=120,
        check=True,
    )
    return folder / "sim.sqlite3"


@pytest.fixture
def serve(migrated, tmp_path):
    """Start the throw-away server, with a planted bug when one is named."""
    started: list[Server] = []

    def start(plant: str = "") -> Server:
        folder = tmp_path / f"server{len(started)}"
        folder.mkdir()
        shutil.copy(migrated, folder / "sim.sqlite3")
        server = Server(folder, plant)
        server.start()
        started.append(server)
        return server

    yield start
    for server in started:
        server.stop()


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path=shutil.which("chromium"), args=ARGS
        )
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def server(migrated, tmp_path_factory) -> Iterator[Server]:
    folder = tmp_path_factory.mktemp("browser")
    shutil.copy(migrated, folder / "sim.sqlite3")
    with Server(folder) as server:
        yield server


@pytest.fixture
def house(server) -> House:
    return House(server)
