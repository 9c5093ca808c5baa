"""Drawing sheets in a real browser: opened without signal, and announced when newer."""

import pytest
from playwright.sync_api import expect

from tests.phone.house import arrived

pytestmark = pytest.mark.browser


def test_a_drawing_opens_without_signal_and_a_newer_one_is_announced(browser, house):
    lot = house.world["lot"]
    house.office("sheet", lot=lot, dated="2026-01-05")
    context = house.phone(browser)
    page = house.enrol(context, "Ann")
    house.room(page)
    house.tick(page, "closet-drain")
    arrived(page, house, ("tick", "Ann"))  # work has begun
    page.click("button.back")
    context.set_offline(True)
    row = page.locator("button.row", has_text="Plumbing")
    expect(row).to_contain_text("2026-01-05")
    with context.expect_page() as opened:
        row.click()
    expect(opened.value.locator("img")).to_have_js_property("naturalWidth", 320)
    opened.value.close()

    context.set_offline(False)
    house.office("sheet", lot=lot, dated="2026-02-09")
    page.evaluate("window.dispatchEvent(new Event('online'))")

    expect(page.locator(".banner.news")).to_contain_text(
        "A newer sheet came after work began: Plumbing", timeout=20_000
    )
    expect(row).to_contain_text("2026-02-09")
    context.set_offline(True)
    with context.expect_page() as opened:
        row.click()
    expect(opened.value.locator("img")).to_have_js_property("naturalWidth", 320)
    context.close()
