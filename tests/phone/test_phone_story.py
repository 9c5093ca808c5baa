"""From the wall to the builder: one bathroom, proven without signal, seen by all.

Each step leaves a picture, and each browser its trace, in the test's own folder.
"""

from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.phone.house import House, arrived, chip, snap, until

pytestmark = pytest.mark.browser


class Recorder:
    """Pictures of each step in order, and a trace of each browser."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.steps = folder, 0

    def start(self, context: BrowserContext) -> None:
        context.tracing.start(screenshots=True, snapshots=True)

    def see(self, page: Page, what: str) -> None:
        self.steps += 1
        page.screenshot(path=self.folder / f"{self.steps:02d}-{what}.png")

    def stop(self, context: BrowserContext, who: str) -> None:
        context.tracing.stop(path=self.folder / f"{who}.zip")
        context.close()


def other_eyes(browser: Browser, house: House) -> tuple[Page, Page]:
    """The lot as the office sees it, and as the builder sees it by his link."""
    address = f"http://localhost:{house.server.port}"
    size = {"width": 1440, "height": 900}
    office, builder = (
        browser.new_context(viewport=size, base_url=address) for _ in range(2)
    )
    session = house.get("__session__")["session"]
    office.add_cookies([{"name": "sessionid", "value": session, "url": address}])
    at_office, at_builder = office.new_page(), builder.new_page()
    lot = house.world["lot"]
    at_office.goto(f"/lots/{lot}/?phase=topout")
    at_builder.goto(f"/b/{house.get('__link__')['secret']}/lots/{lot}/")
    return at_office, at_builder


def seen_whole(page: Page, picture: str) -> None:
    """A picture that lies below the fold and came as a picture."""
    image = page.locator(picture)
    image.scroll_into_view_if_needed()
    expect(image).to_be_visible()
    until(page, "one => one.naturalWidth > 0", image.element_handle())


def prove_bathroom(page: Page, house: House, tmp_path: Path) -> str:
    """Every item of the room as a plumber proves it; answers the photo's hash."""
    for key in ("closet-drain", "lavatory-drain"):
        house.tick(page, key)
    house.tick(page, "shower-head")
    sheet = page.locator("dialog.sheet")
    for digit in "80":
        sheet.locator(".digits").get_by_text(digit, exact=True).click()
    sheet.locator("[data-save]").click()
    expect(sheet).to_have_count(0)
    sha = snap(page, house, tmp_path)
    house.tick(page, "water-test")
    page.get_by_role("button", name="Test holds").click()
    expect(page.locator(".chip")).to_have_text("5 on this phone")
    page.click("button.back")
    return sha


def test_a_bathroom_proven_without_signal_is_seen_by_office_and_builder(
    browser, house, tmp_path
):
    record = Recorder(tmp_path)
    at_office, at_builder = other_eyes(browser, house)
    proofs = at_builder.locator("dt:has-text('Last proof') + dd")
    expect(proofs.nth(2)).to_have_text("no proof yet")
    expect(at_office.locator("#items .band")).to_contain_text("0 / 5")
    phone = house.phone(browser)
    for context in (phone, at_office.context, at_builder.context):
        record.start(context)

    page = house.enrol(phone, "Ann")
    house.room(page)
    record.see(page, "before")
    phone.set_offline(True)
    sha = prove_bathroom(page, house, tmp_path)
    record.see(page, "proven-without-signal")
    page.close()
    page = phone.new_page()
    page.goto("/phone/")
    expect(page.locator("h1")).to_have_text("Bath 2")
    expect(page.locator(".chip")).to_have_text("5 on this phone")
    record.see(page, "opened-again-without-signal")
    for eyes in (at_office, at_builder):
        eyes.reload()
    expect(at_office.locator("#items .band")).to_contain_text("0 / 5")
    expect(proofs.nth(2)).to_have_text("no proof yet")

    phone.set_offline(False)
    chip(page, "sent")
    record.see(page, "sent")
    entries = ("tick", "tick", "measure", "photo", "test")
    arrived(page, house, *((kind, "Ann") for kind in entries))

    at_office.reload()
    expect(at_office.locator("#items .band")).to_contain_text("5 / 5")
    shower = at_office.locator("#items tr", has_text="shower head")
    expect(shower).to_contain_text("80")
    expect(shower).to_contain_text("Ann")
    seen_whole(at_office, f"#items img[src*='{sha}']")
    record.see(at_office, "office")
    at_builder.reload()
    expect(proofs.nth(2)).not_to_have_text("no proof yet")
    seen_whole(at_builder, f"img[src*='{sha}']")
    record.see(at_builder, "builder")
    # No name of the crew reaches the builder, and no price.
    expect(at_builder.locator("body")).not_to_contain_text("Ann")

    for who, seen in (("phone", page), ("office", at_office), ("builder", at_builder)):
        record.stop(seen.context, who)
    assert len(list(tmp_path.glob("*.png"))) == record.steps
