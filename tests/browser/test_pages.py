"""Every page, in both languages, at both sizes: nothing for axe, nothing too wide,
nothing in the console."""

import pytest
from django.test import Client
from django.urls import reverse

from phases.models import CheckItem
from tests.access.table import BUILDER, DESK, OPEN
from tests.access.world import NO_PK, World, enrol_code, make_world
from tests.browser.looking import Looker, chromium

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

# Pages of the table that are no HTML, or that are looked at apart.
NO_PAGE = {
    *("healthz", "phone:manifest", "phone:worker", "phone:page", "desk:sign-in"),
    *("desk:photo", "desk:thumbnail", "desk:sheet-file", "desk:ready-lots"),
    *("desk:stop-notice", "desk:sheet", "desk:calendar", "desk:lot-pick-list"),
    "desk:look-ahead-run",  # a part of a page
    *("desk:plan-diagram", "desk:plan-calculation", "desk:plan-materials-file"),
    *("desk:lot-materials-file", "desk:materials-file"),
    *("desk:import-errors-csv", "desk:import-errors-xlsx"),
    *("desk:money-charges-csv", "desk:money-pay-csv"),
    *("status:calendar", "status:street-sheet", "status:lot-sheet", "status:photo"),
}
# Forms that open on the page by its address.
MORE = {
    "desk:look-ahead": ("?by=lot&days=60",),
    "desk:plan": ("?part=rooms", "?part=fixtures", "?part=options", "?part=plan"),
    "desk:catalogue": ("?table=fixture_kinds",),
    "desk:streets": ("?q=nothing-has-this-name",),
    "desk:lots": ("?q=nothing-has-this-name",),
}


def addresses(world: World, rows, role: str):
    for row in rows:
        if row.route in NO_PAGE or row.answers.get("GET") != 200:
            continue
        at = dict(world.things[row.thing]["own"])
        if role in world.secrets:
            at["secret"] = world.secrets[role]
        path = reverse(row.route, kwargs=at)
        yield path
        yield from (path + more for more in MORE.get(row.route, ()))


def session(live_server, member):
    client = Client()
    client.force_login(member)
    value = client.cookies["sessionid"].value
    return [{"name": "sessionid", "value": value, "url": live_server.url}]


@pytest.fixture(scope="module")
def browser():
    with chromium() as browser:
        yield browser


@pytest.fixture
def look_as(browser, live_server):
    """A browser of one of the people, or of nobody."""
    opened = []

    def start(language, member=None) -> Looker:
        cookies = session(live_server, member) if member else ()
        opened.append(Looker(browser, live_server.url, language, cookies))
        return opened[-1]

    yield start
    for looker in opened:
        looker.close()


@pytest.mark.parametrize("language", ["en", "es"])
def test_no_page_of_the_office_has_a_fault(look_as, language):
    world = make_world()
    paths = list(addresses(world, (*OPEN, *DESK), "owner"))
    paths.append(reverse("desk:ready-lots") + f"?crew={world.own.crew.pk}")

    owner = look_as(language, world.people["owner"])
    for path in paths:
        owner.open(path)
    owner.open(f"/lots/{NO_PK}/", expected=404)

    assert owner.found == []
    assert len(owner.pages) == len(paths) + 1
    assert f"/lots/{world.own.lot.pk}/" in owner.pages


@pytest.mark.parametrize("language", ["en", "es"])
def test_no_page_of_a_crew_a_builder_or_a_stranger_has_a_fault(look_as, language):
    world = make_world()
    plumber = look_as(language, world.people["plumber"])
    plumber.open("/people/", expected=403)
    for route in ("desk:lot", "desk:lot-tests"):
        plumber.open(reverse(route, kwargs=world.things["lot"]["own"]))

    stranger = look_as(language)
    stranger.open("/sign-in/")
    stranger.open(f"/b/{world.secrets['unknown link']}/", expected=404)
    for link in ("shared link", "personal link"):
        for path in addresses(world, BUILDER, link):
            stranger.open(path)

    assert plumber.found + stranger.found == []
    assert (len(plumber.pages), len(stranger.pages)) == (3, 6)


@pytest.mark.parametrize("language", ["en", "es"])
def test_no_screen_of_the_phone_has_a_fault(look_as, language):
    world = make_world()
    world.people["lead"].language = language
    world.people["lead"].save()
    looker = look_as(language)
    page = looker.page
    page.set_default_timeout(10_000)

    def tap(what: str, name: str) -> None:
        page.set_viewport_size({"width": 390, "height": 844})
        page.locator(what).first.click()
        looker.look(name)

    looker.open("/phone/")
    page.goto("about:blank")
    looker.open(f"/phone/#enrol={enrol_code(world, 'lead')}")
    page.click("form button[type=submit]")
    page.wait_for_selector("button[data-lot]")
    looker.look("lots")
    tap("[data-days]", "days")
    tap("button.back", "lots from days")
    tap("button[data-lot]", "lot")
    tap("[data-put-up]", "test to put up")
    tap(".sheet [data-system=gas]", "gas test")
    page.click(".sheet [data-save]")
    tap("[data-test] .acts button:nth-child(2)", "gauge")
    page.keyboard.press("Escape")
    tap("[data-result]", "result")
    tap(".sheet [data-result=failed]", "failed result")
    page.keyboard.press("Escape")
    measured = CheckItem.objects.get(**world.things["measure"]["own"])
    room = measured.spec[f"room_{language}"]
    tap(f".list > button.row:has-text('{room}')", "room")
    tap(".row.item .words", "item")
    tap("button.back", "room again")
    tap(f"[data-item='{measured.pk}'] .prove", "pad")
    page.keyboard.press("Escape")
    tap(".chip", "waiting")
    tap("button.back", "lots again")
    page.click("button[data-lot]")
    walk = {"en": "Walk", "es": "Recorrido"}[language]
    tap(f"button:has-text('{walk}')", "walk")
    tap(".row.walk .acts button:last-child", "reason")
    tap(".sheet [data-owed=us]", "reason with photo")

    assert looker.found == []
    assert page.locator("html").get_attribute("lang") == language


def test_faults_are_seen(look_as, live_server):
    """A page with a fault of each sort."""
    bad = """<html lang="en"><title>Bad</title><main><h1>Bad</h1><input>
      <svg aria-hidden="true"><use href="#gone"/></svg>
      <div style="width:600px;height:9px;background:#000"></div></main>
      <script>console.error("oh"); throw new Error("ah")</script></html>"""
    looker = look_as("en")
    looker.page.route(
        "**/bad/", lambda route: route.fulfill(body=bad, content_type="text/html")
    )

    looker.open("/bad/")

    assert looker.found == [
        "en /bad/: console: oh",
        "en /bad/: script: ah",
        "en /bad/: 1440: label: input",
        "en /bad/: 1440: nothing is shown for #gone",
        "en /bad/: 390: label: input",
        "en /bad/: 390: nothing is shown for #gone",
        "en /bad/: 390: 218 px too wide",
    ]
