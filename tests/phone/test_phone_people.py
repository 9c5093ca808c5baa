"""The phone page in a real browser: several people, shared phones, shut-out ones."""

import pytest
from playwright.sync_api import expect

from tests.phone.house import arrived, chip

pytestmark = pytest.mark.browser


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


def test_a_code_half_typed_outlives_what_comes_in_the_background(browser, house):
    context = house.phone(browser)
    page = house.enrol(context, "Ann")
    page.click(".chip")
    page.get_by_role("button", name="Another person", exact=True).click()
    page.fill("input[name=code]", "half a co")

    for _ in range(3):
        with page.expect_response("**/api/v1/feed/**"):
            page.evaluate("window.dispatchEvent(new Event('online'))")
        page.wait_for_timeout(200)

    expect(page.locator("input[name=code]")).to_have_value("half a co")
    context.close()
