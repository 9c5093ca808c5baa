"""My days in a real browser: what the plan changed, and "I have seen it"."""

import pytest
from playwright.sync_api import expect

from tests.phone.house import arrived, chip

pytestmark = pytest.mark.browser


def test_a_lead_says_without_signal_that_he_has_seen_the_changed_plan(browser, house):
    house.office("notify", lot=house.world["lot"])
    context = house.phone(browser)
    page = house.enrol(context, "Lea")
    expect(page.locator("[data-days]")).to_contain_text("Your days changed")
    context.set_offline(True)
    page.click("[data-days]")
    news = page.locator("[data-news]")
    expect(news.locator("li")).to_contain_text("→")
    page.get_by_role("button", name="I have seen it").click()
    expect(news.locator(".mark")).to_have_text("On this phone")

    page.close()
    page = context.new_page()
    page.goto("/phone/")  # still no signal
    expect(page.locator("[data-news] .mark")).to_have_text("On this phone")
    expect(page.locator(".chip")).to_have_text("1 on this phone")
    assert [who for _, who in house.truth()["notices"]] == [""]

    context.set_offline(False)
    chip(page, "sent")
    expect(page.locator("[data-news]")).to_have_count(0, timeout=25_000)
    assert [who for _, who in house.truth()["notices"]] == [house.people["Lea"]["name"]]
    page.click("button.back")
    expect(page.locator("[data-days]")).to_contain_text("Jobs on the plan: 1")
    context.close()


def test_a_plumber_reads_what_changed_in_spanish_and_has_no_button(browser, house):
    context = house.phone(browser)
    page = house.enrol(context, "Ann")
    page.get_by_role("button", name="Español").click()
    house.office("notify", lot=house.world["lot"])
    # The plan is published while the page is open: it comes by itself.
    page.evaluate("window.dispatchEvent(new Event('online'))")

    expect(page.locator("[data-days]")).to_contain_text("Cambiaron sus días")
    page.click("[data-days]")

    expect(page.locator("[data-news]")).to_contain_text("Su encargado le dice")
    expect(page.locator(".seen")).to_have_count(0)
    page.click(f"[data-job='{house.world['lot']}']")
    expect(page.locator("h1")).to_contain_text("Lote")
    page.click("button.back")
    expect(page.locator("h1")).to_have_text("Mis días")
    context.close()


@pytest.mark.parametrize(("hours", "words"), [(-3, "3 h slow"), (3, "3 h fast")])
def test_a_wrong_clock_is_said_and_times_are_put_right(browser, house, hours, words):
    context = house.phone(browser)
    page = context.new_page()
    # What the phone's own clock says, and nothing else, is off.
    page.add_init_script(
        f"const real = Date.now; Date.now = () => real() + {hours} * 3600e3;"
    )
    page.goto(f"/phone/#enrol={house.code('Ann')}")
    page.click("form button[type=submit]")
    page.wait_for_selector("button[data-lot]")
    expect(page.locator(".banner.bad")).to_contain_text(words)

    house.room(page)
    house.tick(page, "closet-drain")
    arrived(page, house, ("tick", "Ann"))

    [fact] = [one for one in house.truth()["facts"] if one["kind"] == "entry"]
    assert abs(fact["behind"]) < 60  # seconds between the act and its record
    context.close()
