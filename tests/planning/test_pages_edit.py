"""What is written on the pages of the look-ahead."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from tests.factories import make_member
from tests.planning.scene import (
    MORNING,
    day,
    owner,
    planned,
    street,
    two_crews,
)
from tracker.people.models import CrewDayOff
from tracker.planning.actions.publishing import publish
from tracker.planning.actions.running import ask_run, work_on
from tracker.planning.models import (
    CrewNotice,
    Pin,
    PlanningRules,
    PlanVersion,
    RainDay,
    SolveRun,
)

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def morning(monkeypatch):
    monkeypatch.setattr(timezone, "now", lambda: MORNING)


@pytest.fixture
def who():
    return owner()


@pytest.fixture
def page(client, who):
    client.force_login(who.member)
    return client


def address(name, *args):
    return reverse(f"desk:{name}", args=args)


def shown(client, path):
    answer = client.get(path)
    assert answer.status_code == 200
    return answer.content.decode()


def asked(client, path):
    with CaptureQueriesContext(connection) as caught:
        shown(client, path)
    return len(caught)


@pytest.mark.parametrize(
    "path", ["look-ahead", "look-ahead?by=lot", "season", "load", "look-ahead-why"]
)
def post(client, name, draft, **data):
    return client.post(address(name, draft.pk), data)


def move_of(draft, place=0, **more):
    job = draft.plan["jobs"][place]
    return {
        "lot": job["lot"],
        "phase": job["phase"],
        "crew": "Frame",
        "half": 0,
        "revision": draft.revision,
        **more,
    }


def test_the_judge_answers_a_trial_and_nothing_is_written(page, who):
    street(who)
    two_crews()
    draft = planned(who)

    fits = post(page, "look-ahead-trial", draft, **move_of(draft)).content.decode()
    broken = post(page, "look-ahead-trial", draft, **move_of(draft, 1)).content.decode()

    assert "Every rule is kept" in fits
    assert "The phase before must pass first" in broken
    assert PlanVersion.objects.get(pk=draft.pk).plan == draft.plan


def test_a_trial_of_something_that_is_not_there_is_said_not_raised(page, who):
    street(who)
    two_crews()
    draft = planned(who)

    gone = post(
        page, "look-ahead-trial", draft, **(move_of(draft) | {"crew": "Nobody"})
    )
    empty = post(page, "look-ahead-trial", draft)

    assert "no such job" in gone.content.decode()
    assert empty.status_code == 400


def test_a_move_is_kept_and_the_second_planner_is_told(page, who):
    street(who)
    two_crews()
    draft = planned(who)
    data = move_of(draft)

    post(page, "look-ahead-moves", draft, **data)
    again = page.post(address("look-ahead-moves", draft.pk), data, follow=True)

    after = PlanVersion.objects.get(pk=draft.pk)
    assert (after.plan["jobs"][0]["crew"], after.revision) == ("Frame", 2)
    assert "changed this draft since you loaded it" in again.content.decode()


def test_pinning_holds_the_job_and_asks_for_a_plan_around_it(page, who):
    street(who)
    two_crews()
    draft = planned(who)

    post(page, "look-ahead-pins", draft, **move_of(draft, half=4))

    pin = Pin.objects.get()
    assert (pin.crew.name, pin.day) == ("Frame", draft.day0 + timedelta(days=2))
    assert SolveRun.objects.filter(state="waiting").count() == 1
    post(page, "look-ahead-cancel", SolveRun.objects.first())
    post(page, "look-ahead-unpin", draft, **move_of(draft))
    assert Pin.objects.get().lifted_by == who.name


def test_the_owner_publishes_on_the_page_and_a_lead_reads_and_acknowledges(
    page, who, client
):
    street(who)
    two_crews()
    draft = planned(who)

    post(page, "look-ahead-publication", draft, revision=draft.revision)

    assert PlanVersion.objects.get(status="published") == draft
    notice = CrewNotice.objects.first()
    lead = make_member("lead", crew=notice.crew)
    client.force_login(lead)
    assert "Read and understood" in shown(client, address("look-ahead"))
    client.post(address("look-ahead-seen", notice.pk))
    notice.refresh_from_db()
    assert notice.seen_by == lead.name
    assert client.get(address("look-ahead-why", draft.pk)).status_code == 403


def test_rain_is_said_by_hand_or_from_a_file_and_taken_back(page, who):
    from django.core.files.uploadedfile import SimpleUploadedFile

    page.post(address("look-ahead-rain"), {"first": "2026-03-03", "last": "2026-03-04"})
    file = SimpleUploadedFile("rain.csv", b"date,inches\n2026-03-09,1.2\n")
    page.post(address("look-ahead-rain"), {"file": file})

    days = RainDay.objects.filter(taken_back_at=None)
    assert [one.day.isoformat() for one in days] == [
        "2026-03-03",
        "2026-03-04",
        "2026-03-09",
    ]
    page.post(reverse("desk:look-ahead-rain-removal", args=["2026-03-03"]))
    assert days.all().count() == 2
    bad = page.post(address("look-ahead-rain"), {})
    assert "Say which day it rains, or give a file" in bad.content.decode()


def test_rain_ticked_is_planned_again_by_the_same_button(page, who):
    street(who)
    two_crews()

    answer = page.post(
        address("look-ahead-rain"),
        {"day": ["2026-03-03", "2026-03-05"], "replan": "on"},
    )

    assert list(RainDay.objects.values_list("day", flat=True)) == [day(1), day(3)]
    draft = PlanVersion.objects.get()
    assert (draft.title, answer["Location"].endswith(f"plan={draft.pk}")) == (
        "Rain",
        True,
    )
    assert SolveRun.objects.get(version=draft).state == "waiting"


def test_a_crews_days_off_are_said_and_taken_back(page, who):
    ditch, _ = two_crews()
    path = address("look-ahead-days-off")

    page.post(
        path, {"crew": ditch.pk, "off_first": "2026-03-05", "off_last": "2026-03-09"}
    )

    off = CrewDayOff.objects.filter(crew=ditch)
    assert list(off.values_list("date", flat=True)) == [day(3), day(4), day(5)]
    removal = address("look-ahead-day-off-removal", off[0].pk)
    page.post(removal)
    assert list(off.values_list("date", flat=True)) == [day(4), day(5)]
    weekend = {"crew": ditch.pk, "off_first": "2026-03-07"}
    said = page.post(path, weekend, follow=True).content.decode()
    assert "Say which working day the crew is off" in said


def test_other_weights_make_a_draft_that_shows_their_effect(page, who):
    street(who)
    two_crews()
    fields = {
        "late_day": 5,
        "move": 30,
        "crew_change": 12,
        "day_change": 6,
        "buffer": 2,
        "told_days": 15,
        "hold_days": 5,
    }

    page.post(address("look-ahead-rules"), fields)

    assert (PlanningRules.get().move, PlanningRules.get().buffer) == (30, 2)
    assert PlanVersion.objects.get().status == "draft"
    bad = page.post(address("look-ahead-rules"), fields | {"move": -3})
    assert bad.status_code == 200


def test_what_the_slider_shows_is_asked_for_once_by_opening_the_page(page, who):
    street(who)
    two_crews()
    assert "data-begin" not in shown(page, address("look-ahead-rules"))
    current = publish(planned(who), who=who, now=MORNING)

    assert "data-begin" in shown(page, address("look-ahead-rules"))
    run = ask_run(
        current, who=who, now=MORNING, what="levels", seconds=None, iterations=200
    )
    assert "data-begin" not in shown(page, address("look-ahead-rules"))
    assert work_on(run.pk, clock=lambda: MORNING) == "done"

    told = shown(page, address("look-ahead-rules"))
    assert "data-begin" not in told
    assert told.count("data-level=") == 5
