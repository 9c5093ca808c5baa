"""Opens a page and says what is wrong with it: axe, width, console, failed requests."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page, sync_playwright

AXE = (Path(__file__).parents[1] / "vendor" / "axe.min.js").read_text("utf-8")
ARGS = [
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
PHONE, DESK = (390, 844), (1440, 900)
LOCALES = {"en": "en-US", "es": "es-US"}
RUN = """async () => (await axe.run(document, {resultTypes: ["violations"]}))
  .violations.flatMap(rule => rule.nodes.map(
    node => `${rule.id}: ${node.target.join(" ")}`))"""
# Drawings that point to nothing, and pictures that did not come.
EMPTY = """() => [...document.querySelectorAll("use")]
  .map(one => one.getAttribute("href"))
  .filter(href => !document.getElementById(href.slice(1)))
  .concat([...document.images].filter(one => one.complete && !one.naturalWidth)
    .map(one => one.src))"""
WIDER = "document.documentElement.scrollWidth - document.documentElement.clientWidth"


@contextmanager
def chromium() -> Iterator[Browser]:
    with sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path=shutil.which("chromium"), args=ARGS
        )
        yield browser
        browser.close()


class Looker:
    """One signed-in person's browser in one language; `found` collects faults."""

    def __init__(
        self, browser: Browser, base_url: str, language: str, cookies: Any = ()
    ) -> None:
        self.language = language
        self.context = browser.new_context(
            base_url=base_url, locale=LOCALES[language], has_touch=False
        )
        if cookies:
            self.context.add_cookies(list(cookies))
        self.page: Page = self.context.new_page()
        self.found: list[str] = []
        self.pages: list[str] = []
        self.name, self.expected = "", 200
        self.page.on("console", self._console)
        self.page.on("pageerror", lambda error: self._say(f"script: {error}"))
        self.page.on("response", self._response)

    def _say(self, what: str) -> None:
        self.found.append(f"{self.language} {self.name}: {what}")

    def _console(self, message: Any) -> None:
        # A page that is meant to be a 404 is told of in the console as well.
        if message.type == "error" and self.expected < 400:
            self._say(f"console: {message.text[:160]}")

    def _response(self, response: Any) -> None:
        if response.status >= 400 and response.status != self.expected:
            self._say(f"{response.status} from {response.url}")

    def open(self, path: str, *, expected: int = 200) -> None:
        """Go there and look at it at both sizes."""
        self.name, self.expected = path, expected
        self.page.set_viewport_size({"width": DESK[0], "height": DESK[1]})
        answer = self.page.goto(path)
        if answer is None or answer.status != expected:
            self._say(f"answers {answer and answer.status}")
        self.look(path)

    def look(self, name: str, sizes: Any = (DESK, PHONE)) -> None:
        """Look at what is shown now, at both sizes."""
        self.name = name
        for width, height in sizes:
            self.page.set_viewport_size({"width": width, "height": height})
            if self.page.evaluate("typeof axe") == "undefined":
                self.page.evaluate(AXE)
            for finding in self.page.evaluate(RUN):
                self._say(f"{width}: {finding}")
            for what in sorted(set(self.page.evaluate(EMPTY))):
                self._say(f"{width}: nothing is shown for {what}")
            if (more := self.page.evaluate(WIDER)) > 0:
                self._say(f"{width}: {more} px too wide")
        self.pages.append(name)

    def close(self) -> None:
        self.context.close()
