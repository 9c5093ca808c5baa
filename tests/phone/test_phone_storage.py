"""A full phone, a dead database, and a phone whose browser cleared everything."""

import pytest
from playwright.sync_api import expect

from tests.phone.house import House, arrived, snap

pytestmark = pytest.mark.browser


def origin(house: House) -> str:
    return f"http://localhost:{house.server.port}"


def test_on_a_full_phone_the_photo_is_refused_in_words_and_ticks_still_save(
    browser, house, tmp_path
):
    context = house.phone(browser)
    devtools = context.new_cdp_session(context.new_page())
    # Before the database is first opened: the browser remembers what it has room for.
    small = {"origin": origin(house), "quotaSize": 5_000_000}
    devtools.send("Storage.overrideQuotaForOrigin", small)
    page = house.enrol(context, "Ann")
    house.room(page)
    context.set_offline(True)

    sha = snap(page, house, tmp_path, seed=8, more=6_000_000)
    expect(page.locator(".banner.bad")).to_contain_text("The phone is full")
    house.tick(page, "closet-drain")

    expect(page.locator(".chip")).to_have_text("1 on this phone")
    # Nothing half kept: a smaller one fits, and both go out.
    small = snap(page, house, tmp_path, seed=8)
    expect(page.locator(".chip")).to_have_text("2 on this phone")
    context.set_offline(False)
    arrived(page, house, ("tick", "Ann"), ("photo", "Ann"))
    assert (sha in house.truth()["photos"], small in house.truth()["photos"]) == (
        False,
        True,
    )
    context.close()


def test_a_database_that_stays_dead_is_loud_and_takes_nothing_in(browser, house):
    context = house.phone(browser)
    page = house.enrol(context, "Ann")
    house.room(page)
    context.set_offline(True)
    house.tick(page, "closet-drain")
    expect(page.locator(".chip")).to_have_text("1 on this phone")
    page.evaluate(
        """() => { IDBDatabase.prototype.transaction = () => {
             throw new DOMException("closing", "InvalidStateError"); }; }"""
    )

    # The page may notice by itself before the touch.
    house.row(page, "lavatory-drain").locator(".prove").dispatch_event("click")

    expect(page.locator(".banner.bad")).to_contain_text("cannot save now")
    expect(house.row(page, "lavatory-drain").locator(".prove")).to_be_disabled()
    page.reload()  # the handle is a new one
    context.set_offline(False)
    arrived(page, house, ("tick", "Ann"))
    context.close()


def test_a_phone_that_was_cleared_is_let_in_again_and_the_office_knows_what_is_gone(
    browser, house
):
    context = house.phone(browser)
    page = house.enrol(context, "Ann")
    house.room(page)
    page.route("**/api/v1/operations/", lambda route: route.abort())
    for key in ("closet-drain", "lavatory-drain"):
        house.tick(page, key)
    # Pulling still works, so the server hears what is on the phone.
    with page.expect_response("**/api/v1/feed/**"):
        page.evaluate("window.dispatchEvent(new Event('online'))")
    page.goto("about:blank")
    devtools = context.new_cdp_session(page)
    devtools.send(
        "Storage.clearDataForOrigin", {"origin": origin(house), "storageTypes": "all"}
    )

    page.goto("/phone/")
    expect(page.locator("h1")).to_have_text("Let this phone in")
    page.fill("input[name=code]", house.code("Ann"))
    page.click("form button[type=submit]")
    page.wait_for_selector("button[data-lot]")

    session = house.get("__session__")["session"]
    office = browser.new_context(base_url=origin(house))
    office.add_cookies([{"name": "sessionid", "value": session, "url": origin(house)}])
    people = office.new_page()
    people.goto("/people/")
    row = people.locator("#phones tr", has_text=house.people["Ann"]["name"])
    expect(row.filter(has_text="2 entries were still on it")).to_have_count(1)
    office.close()
    context.close()
