"""The phone page in a real browser against a real server: no signal, lies, deaths."""

import shutil

import pytest
from playwright.sync_api import expect

from tests.phone.house import House, arrived, snap
from tests.phone.sim.run import Server

pytestmark = pytest.mark.browser


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


def test_an_old_connection_that_still_writes_never_mixes_with_the_new_one(
    browser, house, tmp_path
):
    """The page is loaded anew while the server still writes its first chunk."""
    context = house.phone(browser)
    page = house.enrol(context, "Ann")
    house.room(page)
    answers = []
    page.on("response", lambda one: answers.append((one.request.method, one.status)))

    def hold_first(route):
        route.continue_(headers={**route.request.headers, "X-Hold": "4"})

    page.route("**/api/v1/uploads/*/?offset*", hold_first, times=1)
    with page.expect_request("**/api/v1/uploads/*/?offset*"):
        sha = snap(page, house, tmp_path, seed=5, more=700_000)
    page.wait_for_timeout(300)
    page.reload()

    arrived(page, house, ("photo", "Ann"))
    assert ("PATCH", 409) in answers
    truth = house.truth()
    assert (sha in truth["photos"], truth["half"]) == (True, [])
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
