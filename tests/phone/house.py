"""One lot of a throw-away server, its people, and their phones in a browser."""

import json
import urllib.request
from pathlib import Path
from random import Random
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.phone import pictures_made
from tests.phone.sim.run import Server

ARGS = [
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--host-resolver-rules=MAP phone.example 127.0.0.1",
]


class House:
    """One lot of its own with its people, and what the server holds of it."""

    def __init__(self, server: Server) -> None:
        self.server = server
        self.world = self.get("__world__")
        self.people = {one["name"][:3]: one for one in self.world["people"]}

    def get(self, path: str) -> dict[str, Any]:
        with urllib.request.urlopen(
            f"http://127.0.0.1:{self.server.port}/{path}", timeout=20
        ) as reply:
            return json.load(reply)

    def truth(self) -> dict[str, Any]:
        ids = ",".join(one["id"] for one in self.world["people"])
        return self.get(f"__truth__?lot={self.world['lot']}&people={ids}")

    def entries(self) -> list[tuple[str, str]]:
        """(answer, who) of each entry on the lot, in server order."""
        names = {one["id"]: name for name, one in self.people.items()}
        return [
            (fact["payload"]["answer"], names[fact["by"]])
            for fact in self.truth()["facts"]
            if fact["kind"] == "entry"
        ]

    def state(self, key: str) -> str:
        return self.truth()["items"][str(self.world["items"][key])][0]

    def office(self, act: str, **what: Any) -> None:
        query = "&".join(f"{name}={value}" for name, value in what.items())
        self.get(f"__office__?act={act}&{query}")

    def code(self, who: str) -> str:
        return self.get(f"__code__?member={self.people[who]['id']}")["code"]

    def phone(self, browser: Browser, host: str = "localhost") -> BrowserContext:
        return browser.new_context(
            viewport={"width": 390, "height": 844},
            has_touch=True,
            base_url=f"http://{host}:{self.server.port}",
        )

    def enrol(self, context: BrowserContext, who: str) -> Page:
        """A page of this person with the lots on it and the worker in charge."""
        page = context.new_page()
        page.goto(f"/phone/#enrol={self.code(who)}")
        page.click("form button[type=submit]")
        page.wait_for_selector("button[data-lot]")
        until(page, "() => navigator.serviceWorker.controller !== null")
        expect(page.locator(".banner.good")).to_contain_text("Complete on this phone")
        return page

    def room(self, page: Page) -> None:
        page.click("button[data-lot]")
        page.click(".list > button.row")

    def row(self, page: Page, key: str):
        return page.locator(f"[data-item='{self.world['items'][key]}']")

    def tick(self, page: Page, key: str) -> None:
        self.row(page, key).locator(".prove").click()


def until(page: Page, true: str, what: Any = None) -> None:
    """Ask again and again: the page's policy forbids how Playwright would poll."""
    for _ in range(150):
        if page.evaluate(true, what):
            return
        page.wait_for_timeout(100)
    raise AssertionError(true)


def chip(page: Page, state: str) -> None:
    expect(page.locator(f".chip[data-state={state}]")).to_be_visible(timeout=25_000)


def arrived(page: Page, house: House, *entries: tuple[str, str]) -> None:
    """Wait until the server holds exactly these entries and the page says sent."""
    for _ in range(600):  # within the minute that is promised, and mostly at once
        if len(house.entries()) >= len(entries):
            break
        page.wait_for_timeout(100)
    assert sorted(house.entries()) == sorted(entries)
    chip(page, "sent")


def snap(page: Page, house: House, tmp_path: Path, seed: int = 1, more: int = 0) -> str:
    """Take a photo of the tub valve with the camera; answers its hash.

    `more` bytes behind the picture's end make it as large as a real one.
    """
    data = pictures_made.jpeg(seed=seed, size=(640, 480))
    data += Random(seed).randbytes(more)
    file = tmp_path / "IMG_0001.jpg"
    file.write_bytes(data)
    with page.expect_file_chooser() as chooser:
        house.tick(page, "tub-valve")
    chooser.value.set_files(file)
    return pictures_made.sha(data)
