"""The outline's table in a real browser: live check, mistakes, keys, keeping."""

import shutil
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright

from phases.models import PlanOutline
from tests.desk.checks_scene import Checked
from tests.factories import make_member

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path=shutil.which("chromium"), args=["--disable-gpu"]
        )
        yield browser
        browser.close()


@pytest.fixture
def scene():
    return Checked()


@pytest.fixture
def page(browser, live_server, scene, db) -> Iterator[Page]:
    make_member("office", username="sadie")
    context = browser.new_context(locale="en-US")
    page = context.new_page()
    broken: list[str] = []
    page.on("pageerror", lambda error: broken.append(str(error)))
    page.goto(f"{live_server.url}/sign-in/?next=/plans/{scene.plan.pk}/outline/")
    page.get_by_label("Sign-in name").fill("sadie")
    page.get_by_label("Password").fill("pass-1234")
    page.get_by_role("button", name="Sign in").click()
    expect(page.locator("[data-line]").first).to_be_visible()
    yield page
    assert broken == []
    context.close()


def row(page, node):
    return page.locator(f'[data-line]:has([data-col="node"][value="{node}"])')


def test_a_mistake_stands_at_its_row_and_goes_when_it_is_mended(page):
    length = row(page, "building-drain").locator('[data-col="length"]')

    length.fill("long")
    told = row(page, "building-drain").locator("[data-told]")
    expect(told).to_have_text("length: 'long' is no number.")
    length.fill("45")

    expect(told).to_have_text("")
    expect(page.locator("#tried img").first).to_be_visible()


def test_a_row_is_added_below_by_enter_and_the_outline_is_kept(page, scene):
    first = row(page, "bath-lavatory").locator('[data-col="node"]')
    first.press("Enter")
    page.keyboard.type("bath-bidet")
    fresh = page.locator("[data-line]:focus-within")
    for name, value in (
        ("fixture", "bidet"), ("size", "1-1/2"), ("length", "3"), ("slope", "1/4"),
        ("vent", "individual"), ("vent_size", "1-1/2"), ("vent_length", "14"),
    ):  # fmt: skip
        fresh.locator(f'[data-col="{name}"]').fill(value)
    expect(page.locator("#tried")).to_contain_text("bath-bidet")

    page.get_by_role("button", name="Keep as a new version").click()

    expect(page.get_by_role("heading", name="Plan check")).to_be_visible()
    last = PlanOutline.objects.latest_first().first()
    assert last.version == scene.outline.version + 1
    assert "arm bath-bidet size=1-1/2 length=3 slope=1/4" in last.text


def test_the_text_holds_what_the_table_was_left_with(page):
    row(page, "sewer").locator('[data-col="length"]').fill("61")

    page.get_by_role("button", name="As text").click()

    expect(page.locator("#id_text")).to_be_visible()
    assert "sewer sewer size=4 length=61" in page.locator("#id_text").input_value()
