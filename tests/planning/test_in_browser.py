"""A strip of a draft moved by keys and by hand, with the judge's word at once."""

import re
import subprocess

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from phases.actions.dates import say_date
from phases.actions.work import say_part
from phases.log import Who
from phases.models import ReadyPart
from tests.browser.looking import chromium
from tests.factories import make_crew, make_lot, make_member, make_plan, phase_of
from tracker.desk.doing import office_today
from tracker.planning.actions.drafts import start_draft
from tracker.planning.actions.publishing import publish
from tracker.planning.actions.running import ask_run, work_on
from tracker.planning.models import PlanVersion

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def draft():
    who, now = Who(member=make_member("owner")), timezone.now()
    lot = make_lot(plan=make_plan(), by=who.member, now=now)
    first = phase_of(lot, "underground")
    say_date(lot, phase=first, what="ready", date=now.date(), who=who, now=now)
    for part in ReadyPart.objects.filter(kind=first.kind):
        say_part(first, part.code, ready=True, who=who, now=now)
    make_crew(name="Ditch")
    make_crew(name="Frame")
    made = start_draft(who=who, now=now, today=office_today(now))
    run = ask_run(made, who=who, now=now, seconds=None, iterations=200, queue=False)
    assert work_on(run.pk, clock=lambda: now) == "done"
    made.refresh_from_db()
    return made


@pytest.fixture
def page(draft, live_server):
    client = Client()
    client.force_login(draft.made_by)
    cookie = {"name": "sessionid", "url": live_server.url}
    cookie["value"] = client.cookies["sessionid"].value
    with chromium() as browser:
        context = browser.new_context(viewport={"width": 1440, "height": 900})
        context.add_cookies([cookie])
        opened = context.new_page()
        opened.set_default_timeout(10_000)
        path = reverse("desk:look-ahead")
        opened.goto(f"{live_server.url}{path}?plan={draft.pk}&days=60")
        yield opened


def job(draft, phase):
    draft = PlanVersion.objects.get(pk=draft.pk)
    return next(one for one in draft.plan["jobs"] if one["phase"] == phase)


def test_a_strip_is_moved_by_keys_and_kept_by_enter(page, draft):
    before = job(draft, "trim")
    strip = page.locator(".strip.p-trim")
    strip.focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    page.wait_for_selector("#verdict:has-text('Every rule is kept')")

    page.keyboard.press("Enter")
    page.wait_for_selector(".notice.success")

    after = job(draft, "trim")
    assert after["start_quarter"] // 2 == before["start_quarter"] // 2 + 2


def test_a_breach_is_told_at_once_and_escape_puts_the_strip_back(page, draft):
    strip = page.locator(".strip.p-rough")
    style = strip.get_attribute("style")
    strip.focus()
    page.keyboard.press("ArrowLeft")
    page.wait_for_selector("#verdict.bad:has-text('The phase before must pass')")
    assert strip.get_attribute("style") != style

    page.keyboard.press("Escape")

    assert strip.get_attribute("style") == style
    assert page.locator("#verdict").count() == 0
    assert job(draft, "rough") == next(
        one for one in draft.plan["jobs"] if one["phase"] == "rough"
    )


def test_a_strip_is_dragged_to_another_crew(page, draft):
    strip = page.locator(".strip.p-trim")
    home = strip.evaluate("node => node.dataset.crew")
    other = "Frame" if home == "Ditch" else "Ditch"
    strip.scroll_into_view_if_needed()
    from_, to = (
        strip.bounding_box(),
        page.locator(f"[data-line='{other}']").bounding_box(),
    )
    x = from_["x"] + 12
    page.mouse.move(x, from_["y"] + 10)
    page.mouse.down()
    page.mouse.move(x, to["y"] + 20, steps=5)
    page.mouse.up()
    page.wait_for_selector(f"#verdict:has-text('{other}')")

    page.click("[data-keep]")
    page.wait_for_selector(".notice.success")

    assert job(draft, "trim")["crew"] == other


WORDS_CUT_OFF = """() => [...document.querySelectorAll("time.rain")].flatMap(day => {
  const box = day.getBoundingClientRect(), text = document.createRange();
  text.selectNodeContents(day.querySelector(".wet"));
  const word = text.getBoundingClientRect();
  const whole = word.width > 0 && word.right <= box.right && word.bottom <= box.bottom;
  return whole ? [] : [`${text}: ${word.right} ${box.right}`];
})"""


def test_rain_is_read_whole_in_the_head_of_its_day(page, draft):
    problem = {**draft.problem, "rain_days": [0, 1, 6]}
    PlanVersion.objects.filter(pk=draft.pk).update(problem=problem)
    for word in ("rain", "lluvia"):
        for days, width in ((10, 1440), (20, 1440), (60, 1440), (20, 390)):
            page.set_viewport_size({"width": width, "height": 900})
            page.goto(re.sub(r"days=\d+", f"days={days}", page.url))
            assert page.locator("time.rain .wet").all_inner_texts() == [word] * 3
            assert page.evaluate(WORDS_CUT_OFF) == [], (word, days, width)
        page.set_viewport_size({"width": 1440, "height": 900})
        if word == "rain":
            page.get_by_role("button", name="Español").click()
            page.wait_for_selector("html[lang=es]")


def test_a_strip_tells_about_itself_and_is_moved_by_buttons(page, draft):
    before = job(draft, "trim")
    page.locator(".strip.p-trim").click()
    page.wait_for_selector("#job .why:has-text('trim passes')")

    page.click("#job [data-step='1']")
    page.wait_for_selector("#verdict:has-text('Every rule is kept')")
    page.click("#verdict [data-step='1']")
    page.wait_for_selector("#verdict:has-text('Every rule is kept')")
    page.wait_for_timeout(300)
    page.click("[data-keep]")
    page.wait_for_selector(".notice.success")

    after = job(draft, "trim")
    assert after["start_quarter"] // 2 == before["start_quarter"] // 2 + 2


def test_the_board_of_thirty_crews_prints_on_one_page(page, draft):
    for number in range(28):
        make_crew(name=f"Crew {number}")
    now = timezone.now()
    who = Who(member=draft.made_by)
    run = ask_run(draft, who=who, now=now, seconds=None, iterations=200, queue=False)
    assert work_on(run.pk, clock=lambda: now) == "done"
    draft.refresh_from_db()
    publish(draft, who=who, now=now)

    page.reload()
    made = page.pdf(prefer_css_page_size=True)

    said = subprocess.run(
        ["pdftotext", "-layout", "-", "-"], input=made, capture_output=True, check=True
    ).stdout.decode()
    sheets = [sheet for sheet in said.split("\f") if sheet.strip()]
    assert [len(set(re.findall(r"Crew \d+", sheet))) for sheet in sheets] == [28]
