"""Pins that hold now: listed, lifted, and shown on a plan that came before them."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from tests.factories import make_member, phase_of
from tests.planning.scene import MORNING, day, owner, planned, street, two_crews
from tracker.planning.actions.drafts import set_pin
from tracker.planning.actions.publishing import publish
from tracker.planning.models import Pin, PlanVersion

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def clock(monkeypatch):
    at = [MORNING]
    monkeypatch.setattr(timezone, "now", lambda: at[0])
    return at


@pytest.fixture
def who():
    return owner()


@pytest.fixture
def page(client, who):
    client.force_login(who.member)
    return client


@pytest.fixture
def lot(who):
    """A lot whose underground is published for day 0, then pinned to day 3."""
    (made,) = street(who)
    ditch, frame = two_crews()
    version = publish(planned(who), who=who, now=MORNING)
    job = version.plan["jobs"][0]
    crew = frame if job["crew"] == ditch.name else ditch
    phase = phase_of(made, "underground")
    set_pin(phase, crew=crew, day=day(3), who=who, now=MORNING)
    return made


def board(client, language="en", **asked):
    client.cookies["django_language"] = language
    answer = client.get(reverse("desk:look-ahead"), asked)
    assert answer.status_code == 200
    return answer.content.decode()


def panel(html):
    """The list of pins as text."""
    if 'id="pins"' not in html:
        return ""
    cut = html[html.index('id="pins"') :].partition("</details>")[0]
    return " ".join(re.sub(r"<[^>]+>", " ", cut).split())


def test_a_published_plan_shows_a_pin_that_came_after_it(page, who, lot):
    pin = Pin.objects.get()

    html = board(page)

    said = panel(html)
    assert f"{pin.crew} , Thu 5 Mar" in said
    job = PlanVersion.objects.get().plan["jobs"][0]
    strip = page.get(
        reverse("desk:look-ahead-job", args=[PlanVersion.objects.get().pk]), job
    )
    assert "pinned since this plan was made" in strip.content.decode()
    assert f"{who.name}, Mon 2 Mar 06:00" in said
    assert "not in this plan: 1" in said
    assert "otherwise" in said
    marks = re.findall(
        r'<i class="pin-to" style="--a:(\d+);--n:4" title="(.*?)">', html
    )
    assert [int(at) for at, _ in marks] == [12]
    assert "underground w4 pinned" not in html  # not where the plan has it
    assert f"pinned since to {pin.crew}, Thu 5 Mar" in marks[0][1]
    assert f"<b>{lot.label}</b>" in html[html.index('class="pin-to"') :]
    assert board(page, by="lot").count('class="pin-to"') == 1
    assert "fijado después a" in board(page, "es")
    assert "Fijaciones vigentes" in board(page, "es")


def test_a_plan_made_with_it_has_it_as_pinned(page, who, lot):
    draft = planned(who)

    html = board(page, plan=draft.pk)

    assert "as pinned" in panel(html)
    assert "not in this plan" not in panel(html)
    assert 'class="pin-to"' not in html
    assert "underground w4 pinned" in html


def test_it_is_lifted_from_the_list_and_the_board_forgets_it(page, who, lot):
    draft = planned(who)
    pin = Pin.objects.get()

    said = page.post(
        reverse("desk:look-ahead-pin-removal", args=[pin.pk]), follow=True
    ).content.decode()

    pin.refresh_from_db()
    assert (pin.lifted_by, pin.lifted_at) == (who.name, MORNING)
    assert "Lifted. Plan again to see what it changes." in said
    assert panel(said) == ""
    strips = re.findall(r'class="strip[^"]*"', board(page, plan=draft.pk))
    assert strips
    assert not any(" pinned" in one for one in strips)


def test_a_lead_sees_the_mark_but_neither_list_nor_button(client, lot):
    client.force_login(make_member("lead", crew=Pin.objects.get().crew))

    html = board(client)

    assert 'class="pin-to"' in html
    assert panel(html) == ""
    removal = reverse("desk:look-ahead-pin-removal", args=[Pin.objects.get().pk])
    assert client.post(removal).status_code == 403


def test_a_pin_of_a_day_gone_by_is_said_to_bind_nobody(page, lot, clock):
    clock[0] = MORNING + timedelta(days=4)

    assert "past, binds nobody" in panel(board(page))


def test_the_pin_button_says_that_it_holds_from_now_on_and_leaving_lifts_nothing(
    page, who, lot
):
    draft = planned(who)
    job = next(one for one in draft.plan["jobs"] if one["phase"] == "trim")
    move = {name: job[name] for name in ("lot", "phase", "crew")}
    move |= {"half": job["start_quarter"] // 2 + 2, "revision": draft.revision}

    tried = page.post(reverse("desk:look-ahead-trial", args=[draft.pk]), move)
    strip = page.get(reverse("desk:look-ahead-job", args=[draft.pk]), move)
    page.post(reverse("desk:look-ahead-pins", args=[draft.pk]), move)
    left = page.post(reverse("desk:look-ahead-removal", args=[draft.pk]), follow=True)

    for answer in (tried, strip):
        assert "A pin holds from now on, in every plan" in answer.content.decode()
    assert PlanVersion.objects.get(pk=draft.pk).status == "left"
    said = left.content.decode()
    assert "Pins set since it was begun still hold: " in said
    assert "Trim" in panel(said)
