"""The office pages in a real browser: keys, the list that changes live, letting in."""

import shutil
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright

from phases.actions.work import start_work
from tests.desk.scene import NOW, Street
from tests.factories import make_member
from tracker.people.models import EnrolCode

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
SIZES = [{"width": 390, "height": 844}, {"width": 1440, "height": 900}]


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path=shutil.which("chromium"), args=["--disable-gpu"]
        )
        yield browser
        browser.close()


@pytest.fixture
def street():
    street = Street(lots=0)
    street.lots = [street.lot(label=label) for label in ("1A", "2A", "3A")]
    return street


@pytest.fixture
def page(browser, live_server, street, db) -> Iterator[Page]:
    """Signed in as the office, on Streets; a script that breaks fails the test."""
    make_member("office", username="sadie")
    context = browser.new_context(locale="en-US", viewport=SIZES[1])
    page = context.new_page()
    broken: list[str] = []
    page.on("pageerror", lambda error: broken.append(str(error)))
    page.goto(f"{live_server.url}/sign-in/?next=/streets/")
    page.get_by_label("Sign-in name").fill("sadie")
    page.get_by_label("Password").fill("pass-1234")
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", name="Streets")).to_be_visible()
    yield page
    assert broken == []
    context.close()


def test_a_street_is_walked_by_keys_alone(page, street):
    start_work(street.phase("underground", 1), who=street.lead, now=NOW)
    page.get_by_role("link", name=street.subdivision.name).click()
    expect(page.get_by_label("Search")).to_be_visible()
    page.wait_for_load_state("load")

    page.keyboard.press("?")
    expect(page.get_by_role("dialog", name="Keyboard")).to_be_visible()
    page.keyboard.press("Escape")
    page.keyboard.press("/")
    expect(page.get_by_label("Search")).to_be_focused()
    page.get_by_label("Search").blur()
    for _ in range(2):
        page.keyboard.press("j")
    page.keyboard.press("k")
    page.keyboard.press("j")
    page.keyboard.press("Enter")

    expect(page.get_by_role("heading", level=1)).to_contain_text(street.lots[1].label)
    expect(page.get_by_text("Finish the work")).to_be_visible()


def test_a_filter_is_applied_when_it_is_changed(page, street):
    start_work(street.phase("underground", 1), who=street.lead, now=NOW)
    page.get_by_role("link", name=street.subdivision.name).click()

    page.get_by_label("State").select_option("working")

    expect(page.get_by_text("1 of 3 lots")).to_be_visible()


def test_the_stub_out_list_changes_live(page, street, live_server):
    page.goto(f"{live_server.url}/plans/{street.plan.pk}/")
    count = page.locator("#stub-out .count").first
    before = int(count.inner_text())

    page.get_by_role("link", name="New fixture").click()
    page.get_by_label("Key", exact=True).fill("lav")
    page.get_by_label("Fixture", exact=True).select_option("lavatory")
    page.get_by_label("Wall", exact=True).select_option("left")
    page.get_by_role("button", name="Save").first.click()

    expect(page.get_by_text("What changed on the list:")).to_be_visible()
    assert int(count.inner_text()) > before
    assert page.url.endswith(f"/plans/{street.plan.pk}/")


def test_a_fixture_that_cannot_be_stays_in_the_form(page, street, live_server):
    page.goto(f"{live_server.url}/plans/{street.plan.pk}/?part=fixtures")

    page.get_by_label("Key", exact=True).fill("lav")
    page.get_by_label("More").fill("wings=2")
    page.get_by_role("button", name="Save").first.click()

    expect(page.get_by_text("wings=2 is not known here.")).to_be_visible()
    expect(page.get_by_label("Key", exact=True)).to_have_value("lav")


def test_a_phone_is_let_in_by_a_code_that_is_shown_once(page, live_server, street):
    page.goto(f"{live_server.url}/people/")

    row = page.get_by_role("row").filter(has_text=street.lead.member.username)
    row.get_by_role("button", name="Let a phone in").click()

    box = page.get_by_role("dialog", name="Let a phone in")
    expect(box.get_by_alt_text("QR")).to_be_visible()
    expect(box.get_by_role("link")).to_contain_text("/phone/#enrol=")
    assert EnrolCode.objects.get().member == street.lead.member


@pytest.mark.parametrize("size", SIZES, ids=["phone", "desk"])
@pytest.mark.parametrize("language", ["en", "es"])
def test_no_page_is_wider_than_its_window_or_names_two_things_alike(
    page, street, live_server, size, language
):
    page.set_viewport_size(size)
    page.context.add_cookies(
        [{"name": "django_language", "value": language, "url": live_server.url}]
    )
    lot, plan = street.lots[0].pk, street.plan.pk
    wide, twins = {}, {}

    for path in (
        *("/", "/streets/", f"/streets/{street.subdivision.pk}/", "/lots/"),
        *(f"/lots/{lot}/?phase=all", f"/lots/{lot}/record/", "/plans/"),
        *(f"/plans/{plan}/?part=fixtures", "/catalogue/", "/people/", "/record/"),
    ):
        page.goto(f"{live_server.url}{path}")
        page.evaluate(
            "document.querySelectorAll('details').forEach(d => d.open = true)"
        )
        wide[path] = page.evaluate(
            "document.documentElement.scrollWidth - window.innerWidth"
        )

        twins[path] = page.evaluate(
            "[...document.querySelectorAll('[id]')].map(e => e.id)"
            ".filter((id, n, all) => all.indexOf(id) !== n)"
        )

    assert set(wide.values()) == {0}, wide
    assert [path for path, ids in twins.items() if ids] == [], twins
