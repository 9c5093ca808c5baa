"""The phone page in a real browser against a real server."""

import json
import shutil
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

from tests.phone import pictures_made
from tests.phone.sim.run import Server

pytestmark = [pytest.mark.browser, pytest.mark.service]
ARGS = [
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--host-resolver-rules=MAP phone.example 127.0.0.1",
]


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
        page.wait_for_function("navigator.serviceWorker.controller !== null")
        expect(page.locator(".banner.good")).to_contain_text("Complete on this phone")
        return page

    def room(self, page: Page) -> None:
        page.click("button[data-lot]")
        page.click(".list > button.row")

    def row(self, page: Page, key: str):
        return page.locator(f"[data-item='{self.world['items'][key]}']")

    def tick(self, page: Page, key: str) -> None:
        self.row(page, key).locator(".prove").click()


@pytest.fixture
def house(server) -> House:
    return House(server)


def chip(page: Page, state: str) -> None:
    expect(page.locator(f".chip[data-state={state}]")).to_be_visible(timeout=25_000)


def arrived(page: Page, house: House, *entries: tuple[str, str]) -> None:
    """Wait until the server holds exactly these entries and the page says sent."""
    for _ in range(250):
        if len(house.entries()) >= len(entries):
            break
        page.wait_for_timeout(100)
    assert sorted(house.entries()) == sorted(entries)
    chip(page, "sent")


def snap(page: Page, house: House, tmp_path: Path, seed: int = 1) -> str:
    """Take a photo of the tub valve with the camera; answers its hash."""
    data = pictures_made.jpeg(seed=seed, size=(640, 480))
    file = tmp_path / "IMG_0001.jpg"
    file.write_bytes(data)
    with page.expect_file_chooser() as chooser:
        house.tick(page, "tub-valve")
    chooser.value.set_files(file)
    return pictures_made.sha(data)


def test_a_bathroom_ticked_without_signal_survives_closing_and_arrives(
    browser, house, tmp_path
):
    context = house.phone(browser)
    page = house.enrol(context, "Ann")
    house.room(page)
    context.set_offline(True)

    house.tick(page, "closet-drain")
    sha = snap(page, house, tmp_path)
    expect(house.row(page, "tub-valve").locator(".mark")).to_have_text("On this phone")
    expect(page.locator(".chip")).to_have_text("2 on this phone")
    assert house.entries() == []

    page.close()
    page = context.new_page()
    page.goto("/phone/")  # still no signal: the worker has the files
    expect(page.locator(".chip")).to_have_text("2 on this phone")
    expect(page.locator("h1")).to_have_text("Bath 2")  # back where it was
    house.row(page, "tub-valve").locator(".words").click()
    expect(page.locator(f"img[data-sha='{sha}']")).to_have_js_property(
        "naturalWidth", 640
    )
    page.click("button.back")

    context.set_offline(False)
    arrived(page, house, ("tick", "Ann"), ("photo", "Ann"))
    assert (house.state("closet-drain"), house.state("tub-valve")) == (
        "proven",
        "proven",
    )
    assert (sha in house.truth()["photos"], house.truth()["half"]) == (True, [])
    expect(house.row(page, "tub-valve").locator(".state")).to_contain_text("Proven")
    context.close()


def test_a_reply_lost_after_commit_has_one_effect(browser, house):
    context = house.phone(browser)
    page = house.enrol(context, "Ann")
    house.room(page)
    lost = []

    def lose(route):
        if len(lost) < 3:
            lost.append(route.fetch().json()["receipts"][0]["result"])
            route.abort()
        else:
            route.continue_()

    page.route("**/api/v1/operations/", lose)
    house.tick(page, "closet-drain")

    expect(page.locator(".chip")).to_have_text("1 on this phone")
    for _ in range(3):
        page.evaluate("window.dispatchEvent(new Event('online'))")
        page.wait_for_timeout(100)
    arrived(page, house, ("tick", "Ann"))
    assert lost == ["applied", "had", "had"]
    context.close()


@pytest.mark.parametrize(
    "lie",
    [
        {"status": 200, "content_type": "text/html", "body": "<html>Wi-Fi</html>"},
        {"status": 302, "headers": {"Location": "https://phone.example/wifi"}},
        {"status": 413, "content_type": "text/html", "body": "too large"},
        {"status": 200, "content_type": "application/json", "body": '{"ok": true}'},
        {"status": 500, "content_type": "text/html", "body": "oh"},
    ],
    ids=["page", "redirect", "too-large", "other-json", "fault"],
)
def test_a_lying_proxy_is_never_taken_for_the_server(browser, house, lie):
    context = house.phone(browser)
    page = house.enrol(context, "Ann")
    house.room(page)
    page.route("**/api/v1/**", lambda route: route.fulfill(**lie))

    house.tick(page, "closet-drain")

    page.wait_for_timeout(400)
    expect(page.locator(".chip")).to_have_text("1 on this phone")
    assert house.entries() == []
    page.unroute("**/api/v1/**")
    arrived(page, house, ("tick", "Ann"))
    context.close()


def test_two_tabs_that_send_at_once_have_one_effect(browser, house):
    context = house.phone(browser)
    page = house.enrol(context, "Ann")
    other = context.new_page()
    other.goto("/phone/")
    other.wait_for_selector("button[data-lot]")
    house.room(page)
    context.set_offline(True)
    for key in ("closet-drain", "lavatory-drain"):
        house.tick(page, key)

    context.set_offline(False)
    other.evaluate("window.dispatchEvent(new Event('online'))")

    arrived(page, house, ("tick", "Ann"), ("tick", "Ann"))
    context.close()


def test_an_upload_cut_off_in_the_middle_goes_on(browser, house, tmp_path):
    context = house.phone(browser)
    page = house.enrol(context, "Ann")
    house.room(page)
    cut = []

    def once(route):
        if not cut:
            cut.append(route.request.url)
            route.abort()
        else:
            route.continue_()

    page.route("**/api/v1/uploads/*/?offset*", once)
    sha = snap(page, house, tmp_path, seed=2)

    arrived(page, house, ("photo", "Ann"))
    assert (len(cut), sha in house.truth()["photos"]) == (1, True)
    context.close()


def test_two_people_tick_and_untick_one_item_and_nobody_sees_an_error(browser, house):
    ann, ben = house.phone(browser), house.phone(browser)
    pages = house.enrol(ann, "Ann"), house.enrol(ben, "Ben")
    for page in pages:
        house.room(page)
        page.context.set_offline(True)
        house.tick(page, "closet-drain")
    house.row(pages[0], "closet-drain").locator(".prove").click()  # opens the item
    pages[0].get_by_role("button", name="Undo").click()

    for page in pages:
        page.context.set_offline(False)
        chip(page, "sent")

    assert sorted(house.entries()) == [
        ("tick", "Ann"),
        ("tick", "Ben"),
        ("undo", "Ann"),
    ]
    assert house.state("closet-drain") == "proven"
    ann.close()
    ben.close()


def test_an_item_removed_while_ticked_offline_is_shown_with_its_reason(browser, house):
    context = house.phone(browser)
    page = house.enrol(context, "Ann")
    house.room(page)
    context.set_offline(True)
    house.tick(page, "closet-drain")
    house.office("remove", item=house.world["items"]["closet-drain"])

    context.set_offline(False)

    chip(page, "refused")
    page.click(".chip")
    entry = page.locator(".entry.refused")
    expect(entry).to_contain_text("The office took this item off the list")
    page.get_by_role("button", name="Español").click()
    expect(page.locator(".entry.refused")).to_contain_text(
        "La oficina quitó este punto"
    )
    assert len(house.truth()["aside"]) == 1
    context.close()


def test_work_waits_while_the_token_is_gone_and_goes_after_signing_in(browser, house):
    context = house.phone(browser)
    page = house.enrol(context, "Ann")
    house.room(page)
    house.office("expire", member=house.people["Ann"]["id"])

    house.tick(page, "closet-drain")

    expect(page.locator(".banner.bad")).to_contain_text("let this phone in again")
    expect(page.locator(".chip")).to_have_text("1 on this phone")
    page.locator(".banner.bad button").click()
    page.fill("input[name=code]", house.code("Ann"))
    page.click("form button[type=submit]")
    arrived(page, house, ("tick", "Ann"))
    context.close()


def test_a_disabled_persons_work_is_set_aside_not_dropped(browser, house):
    context = house.phone(browser)
    page = house.enrol(context, "Ann")
    house.room(page)
    house.office("disable", member=house.people["Ann"]["id"])

    house.tick(page, "closet-drain")

    chip(page, "refused")
    assert (house.entries(), len(house.truth()["aside"])) == ([], 1)
    context.close()


def test_on_a_shared_phone_nothing_is_sent_as_another_person(browser, house):
    context = house.phone(browser)
    page = house.enrol(context, "Ann")
    house.room(page)
    page.route("**/api/v1/operations/", lambda route: route.abort())
    house.tick(page, "closet-drain")
    page.click(".chip")
    page.on("dialog", lambda dialog: dialog.accept())
    page.get_by_role("button", name="Sign out").click()
    page.fill("input[name=code]", house.code("Ben"))
    page.click("form button[type=submit]")
    page.wait_for_selector("button[data-lot]")
    house.room(page)
    house.tick(page, "lavatory-drain")
    page.unroute("**/api/v1/operations/")
    page.evaluate("window.dispatchEvent(new Event('online'))")

    for _ in range(100):
        if house.entries():
            break
        page.wait_for_timeout(100)
    expect(page.locator(".chip")).to_have_text("1 of another person", timeout=25_000)
    assert house.entries() == [("tick", "Ben")]

    page.click(".chip")
    page.get_by_role("button", name="Another person", exact=True).click()
    page.fill("input[name=code]", house.code("Ann"))
    page.click("form button[type=submit]")
    arrived(page, house, ("tick", "Ben"), ("tick", "Ann"))
    context.close()


@pytest.mark.parametrize(
    ("what", "at"), [("X-Kill-Sql", 12), ("X-Kill-Sql", 30), ("X-Kill-File", 4)]
)
def test_a_server_that_dies_in_the_middle_loses_nothing(
    browser, migrated, tmp_path, what, at
):
    folder = tmp_path / "dies"
    folder.mkdir()
    shutil.copy(migrated, folder / "sim.sqlite3")
    with Server(folder) as server:
        house = House(server)
        context = house.phone(browser)
        page = house.enrol(context, "Ann")
        house.room(page)
        died = []

        def deadly(route):
            headers = {**route.request.headers, what: str(at), "X-Exit": "1"}
            died.append(route.request.url)
            page.unroute("**/api/v1/**", deadly)
            route.continue_(headers=headers)

        address = "uploads/*/?offset*" if what == "X-Kill-File" else "operations/"
        page.route(f"**/api/v1/{address}", deadly)
        sha = snap(page, house, tmp_path)
        for _ in range(200):  # the page goes on meanwhile, and so must its routes
            if server.process.poll() is not None:
                break
            page.wait_for_timeout(100)
        assert server.process.returncode == 9
        house.tick(page, "closet-drain")
        server.start()

        arrived(page, house, ("photo", "Ann"), ("tick", "Ann"))
        truth = house.truth()
        assert (sha in truth["photos"], truth["half"]) == (True, [])
        context.close()


def test_the_page_says_in_words_that_its_address_is_not_secure(browser, house):
    context = house.phone(browser, host="phone.example")
    page = context.new_page()
    page.goto("/phone/")

    expect(page.locator(".banner.bad")).to_contain_text("not secure (no https)")
    context.close()


WALK = {
    "plumber": ["button[data-lot]", ".list > button.row", ".row.item .words >> nth=2"],
    "lead": ["button[data-lot]", "button.wide"],
}


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("who", ["Ann", "Lea"])
def test_every_target_is_large_enough_for_gloves(browser, house, who, language):
    context = house.phone(browser)
    page = house.enrol(context, who)
    if language == "es":
        page.get_by_role("button", name="Español").click()
    steps = WALK["plumber" if who == "Ann" else "lead"]
    seen = 0
    for step in [None, *steps, ".chip"]:
        if step:
            page.click(step)
        page.wait_for_timeout(100)
        small, count = page.evaluate(MEASURE)
        assert small == [], step
        seen += count
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= 390, step
    assert seen > 15
    context.close()


MEASURE = """() => {
  const small = [];
  const all = [...document.querySelectorAll("button, input, textarea, .row")]
    .filter((one) => !one.matches(".camera"));
  for (const one of all) {
    const { width, height } = one.getBoundingClientRect();
    const least = one.matches(".row") ? 96 : 72;
    if (height < least || width < 72) small.push([one.className, width, height]);
  }
  return [small, all.length];
}"""


def test_the_pad_takes_sixteenths_and_asks_why_when_out_of_tolerance(browser, house):
    context = house.phone(browser)
    page = house.enrol(context, "Ann")
    house.room(page)
    house.tick(page, "shower-head")
    sheet = page.locator("dialog.sheet")

    for digit in "78":
        sheet.get_by_role("button", name=digit, exact=True).click()
    sheet.get_by_role("button", name="1/2", exact=True).click()
    expect(sheet.locator(".reading")).to_have_text("78 1/2 in.")
    expect(sheet.locator(".verdict")).to_have_text("Out of tolerance by -1 1/4 in.")
    sheet.locator("[data-save]").click()
    expect(sheet.locator(".verdict")).to_have_text(
        "Give a reason or send a correction."
    )
    sheet.locator("textarea").fill("beam above")
    sheet.locator("[data-save]").click()

    arrived(page, house, ("measure", "Ann"))
    fact = house.truth()["facts"][-1]
    assert (fact["payload"]["value"], fact["payload"]["reason"]) == (1256, "beam above")
    assert house.state("shower-head") == "failed"
    context.close()


def test_the_worker_keeps_files_only_never_data(browser, house):
    context = house.phone(browser)
    page = house.enrol(context, "Ann")
    names = page.evaluate("caches.keys()")
    assert len(names) == 1
    assert names[0].startswith("phone-files-")
    kept = page.evaluate(
        """async (name) => (await (await caches.open(name)).keys())
             .map((one) => new URL(one.url).pathname)""",
        names[0],
    )
    assert "/phone/" in kept
    assert [one for one in kept if "/api/" in one] == []
    context.close()
