"""The look-ahead's pages: what they show, what they write, how much they ask."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from phases.log import Who
from tests.factories import make_member
from tests.planning.scene import MORNING, owner, planned, street, two_crews
from tracker.people.models import Crew
from tracker.planning.actions.publishing import publish
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


def test_without_a_plan_the_page_says_what_to_do(page):
    assert "makes the first draft" in shown(page, address("look-ahead"))


def test_a_draft_is_begun_and_planned_by_the_worker(
    page, who, django_capture_on_commit_callbacks
):
    street(who)
    two_crews()

    with django_capture_on_commit_callbacks(execute=False) as queued:
        answer = page.post(address("look-ahead-drafts"))

    draft = PlanVersion.objects.get()
    assert answer["Location"].endswith(f"?plan={draft.pk}")
    assert (len(queued), SolveRun.objects.get().state) == (1, "waiting")
    assert "waiting for the worker" in shown(
        page, f"{address('look-ahead')}?plan={draft.pk}"
    )


def test_the_sheet_shows_crews_down_with_strips_visits_and_walls(page, who):
    (lot,) = street(who)
    two_crews()
    from tests.planning.scene import dated, day

    dated(lot, who, what="cover", on=day(9))
    draft = planned(who)

    found = shown(page, f"{address('look-ahead')}?plan={draft.pk}")

    assert found.count('class="strip p-underground') == 1
    assert 'data-line="Ditch"' in found
    assert 'class="visit' in found
    assert 'class="wall"' in found
    by_lot = shown(page, f"{address('look-ahead')}?plan={draft.pk}&by=lot&days=60")
    assert by_lot.count('class="strip') == 4


def test_what_would_change_is_shown_by_crew_and_by_lot_before_publishing(page, who):
    street(who, 2)
    two_crews()
    draft = planned(who)

    found = shown(page, f"{address('look-ahead')}?plan={draft.pk}")

    assert "What changes for crews" in found
    assert found.count("not told") >= 2


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


def test_a_lead_never_sees_a_draft(page, who, client):
    street(who)
    two_crews()
    draft = planned(who)
    client.force_login(make_member("lead", crew=Crew.objects.first()))

    found = shown(client, f"{address('look-ahead')}?plan={draft.pk}")

    assert 'class="strip' not in found


def test_reasons_promises_and_what_was_left_out_are_told(page, who):
    street(who, 2, ready=False)
    two_crews()
    draft = planned(who)
    PlanVersion.objects.filter(pk=draft.pk).update(
        remedies=[
            {"kind": "crew", "text": "One more", "saves": 9, "late": 2, "moves": 1}
        ]
    )

    found = shown(page, address("look-ahead-why", draft.pk))

    assert "nobody has said it is ready" in found
    assert found.count('<td class="figure" data-label="On time">') == 8
    assert "One more" in found


def test_reasons_are_told_in_spanish_too(client):
    who = Who(member=make_member("owner", language="es"))
    lots = street(who, 3)
    two_crews()
    from tests.planning.scene import TODAY, dated

    for lot in lots:
        dated(lot, who, what="need_by", on=TODAY)
    draft = planned(who)
    assert draft.why
    client.force_login(who.member)
    client.cookies["django_language"] = "es"

    found = shown(client, address("look-ahead-why", draft.pk))

    assert "días tarde" in found
    assert "days late" not in found


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


def test_season_and_load_show_the_plan(page, who):
    lots = street(who, 3)
    two_crews()
    publish(planned(who), who=who, now=MORNING)

    season = shown(page, f"{address('season')}?street={lots[0].subdivision_id}")
    load = shown(page, address("load"))

    assert season.count('class="lob') == 4
    assert "The same dates as a table" in season
    assert "Crew-days needed" in load


def test_season_load_and_calibration_without_anything_say_so(page):
    for name in ("season", "load", "look-ahead-calibration"):
        assert 'class="empty"' in shown(page, address(name))


def asked(client, path):
    with CaptureQueriesContext(connection) as caught:
        shown(client, path)
    return len(caught)


@pytest.mark.parametrize(
    "path", ["look-ahead", "look-ahead?by=lot", "season", "load", "look-ahead-why"]
)
def test_statements_do_not_grow_with_the_lots(page, who, path):
    two_crews()
    counts = []
    for lots in (1, 2):
        made = street(who, lots)
        draft = planned(who, iterations=200)
        name, _, query = path.partition("?")
        args = [draft.pk] if name == "look-ahead-why" else []
        street_pk = made[0].subdivision_id
        counts.append(
            asked(
                page,
                f"{address(name, *args)}?plan={draft.pk}&street={street_pk}&{query}",
            )
        )
        PlanVersion.objects.exclude(pk=draft.pk).delete()

    assert counts[1] <= counts[0]
    assert counts[0] < 25
