"""One job on the page: why, what-ifs, helpers, breaking off, pins that cannot hold."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from phases.actions.work import plan_phase, start_work
from tests.factories import make_member, phase_of
from tests.planning.scene import (
    MORNING,
    TODAY,
    dated,
    day,
    owner,
    planned,
    street,
    two_crews,
)
from tracker.desk.ahead.news import notice_lines
from tracker.planning.actions.drafts import set_pin
from tracker.planning.actions.publishing import publish
from tracker.planning.models import CrewNotice, Pin, PlanVersion, SolveRun
from tracker.planning.queries import unread_changes

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


def with_remedy(who):
    street(who, 2)
    two_crews()
    publish(planned(who), who=who, now=MORNING)
    version = PlanVersion.objects.get()
    version.remedies = [
        {
            **{"kind": "crew", "code": "one_more_crew", "params": {"phase": "trim"}},
            **{"saves": 9, "late": 1, "moves": 0},
        }
    ]
    version.save()
    return version


def test_a_remedy_becomes_a_draft_beside_the_plan(page, who):
    version = with_remedy(who)

    answer = page.post(address("look-ahead-what-ifs", version.pk), {"number": 0})

    draft = PlanVersion.objects.get(status="draft")
    assert draft.what_if == {
        "kind": "crew",
        "code": "one_more_crew",
        "params": {"phase": "trim"},
    }
    assert (draft.base, SolveRun.objects.get(version=draft).state) == (
        version,
        "waiting",
    )
    assert "One more crew for trim" in shown(page, answer["Location"])
    for wrong in ("1", "-1", "x", ""):
        path = address("look-ahead-what-ifs", version.pk)
        assert page.post(path, {"number": wrong}).status_code == 400


def test_a_strip_tells_why_and_what_is_promised(page, who):
    (lot,) = street(who)
    two_crews()
    draft = planned(who)
    job = draft.plan["jobs"][0]
    path = address("look-ahead-job", draft.pk)

    found = shown(page, f"{path}?lot={job['lot']}&phase={job['phase']}")

    assert "underground passes" in found
    assert "promise" in found
    assert address("look-ahead-helper", phase_of(lot, "underground").pk) in found
    assert page.get(f"{path}?lot=no&phase=rough").status_code == 404


def test_a_helper_is_lent_for_a_day_and_sent_nowhere_else_then(page, who):
    (lot,) = street(who)
    _, frame = two_crews()
    phase = phase_of(lot, "underground")

    page.post(
        address("look-ahead-helper", phase.pk),
        {"crew": frame.pk, "on": day(2).isoformat()},
    )
    again = page.post(
        address("look-ahead-helper", phase.pk),
        {"crew": frame.pk, "on": day(2).isoformat()},
        follow=True,
    )

    assert "lent there for that day already" in again.content.decode()
    (notice,) = CrewNotice.objects.filter(crew=frame)
    assert (notice.version, notice.first_day, notice.seen_at) == (None, day(2), None)
    (line,) = notice_lines([notice])
    assert line.changes[0]["now"] == "Wed 4 Mar (helping another crew)"
    assert list(unread_changes(by=day(2))) == [notice]
    lent = planned(who).problem["crews"][1]
    assert (lent["id"], 2 in lent["days_off"], 0 in lent["days_off"]) == (
        "Frame",
        True,
        False,
    )


def test_half_done_work_is_broken_off_by_its_lead_and_by_nobody_elses(
    page, who, client
):
    (lot,) = street(who)
    ditch, frame = two_crews()
    phase = phase_of(lot, "underground")
    plan_phase(phase, crew=ditch, start=TODAY, end=TODAY, who=who, now=MORNING)
    start_work(phase, who=who, now=MORNING)
    path = address("look-ahead-broken-off", phase.pk)
    data = {"quarters_left": 3, "reason": "Ground water"}
    client.force_login(make_member("lead", crew=frame))
    assert client.post(path, data).status_code == 404

    client.force_login(make_member("lead", crew=ditch))
    client.post(path, data)

    (lot,) = planned(who).problem["lots"]
    assert lot["phases"][0]["crew_quarters"] == 3


def test_a_pin_no_plan_could_keep_is_refused_with_the_judges_words(page, who):
    (lot,) = street(who, ready=False)
    dated(lot, who, on=day(4))
    two_crews()
    draft = planned(who)
    job = draft.plan["jobs"][0]
    move = {"lot": job["lot"], "phase": job["phase"], "crew": "Frame", "half": 2}
    move["revision"] = draft.revision

    answer = page.post(address("look-ahead-pins", draft.pk), move, follow=True)

    assert "The lot is not ready before" in answer.content.decode()
    assert not Pin.objects.exists()


def test_a_dead_worker_is_told_on_the_page_and_nothing_is_asked_again(page, who):
    street(who)
    two_crews()
    draft = planned(who)
    run = SolveRun.objects.create(
        version=draft,
        state="running",
        asked_at=MORNING,
        told_at=MORNING - timedelta(minutes=3),
    )

    found = shown(page, f"{address('look-ahead')}?plan={draft.pk}")

    assert "its worker must have died" in found
    assert address("look-ahead-run", run.pk) not in found


def test_a_change_for_tomorrow_stands_on_today_until_somebody_acknowledges(
    page, who, client
):
    (lot,) = street(who)
    two_crews()
    publish(planned(who), who=who, now=MORNING)
    notice = CrewNotice.objects.get(crew=phase_of(lot, "underground").crew)
    assert notice.first_day == TODAY
    form = address("look-ahead-seen", notice.pk)
    client.force_login(make_member("lead"))
    assert form not in shown(client, "/")
    client.force_login(make_member("lead", crew=notice.crew))
    assert form in shown(client, "/")
    client.force_login(who.member)
    assert "I told them" in shown(client, "/")

    assert client.post(form, {"next": "/"})["Location"] == "/"

    assert form not in shown(client, "/")
    notice.refresh_from_db()
    assert notice.seen_by == who.name


def test_a_crew_is_told_its_own_first_day_not_that_of_the_crew_before(page, who):
    (lot,) = street(who)
    ditch, frame = two_crews()
    phase = phase_of(lot, "underground")
    set_pin(phase, crew=ditch, day=TODAY, who=who, now=MORNING)
    publish(planned(who), who=who, now=MORNING)
    set_pin(phase, crew=frame, day=day(4), who=who, now=MORNING)

    publish(planned(who), who=who, now=MORNING)

    last = CrewNotice.objects.filter(version__number=2)
    days = dict(last.values_list("crew", "first_day"))
    assert (days[ditch.pk], days[frame.pk]) == (TODAY, day(4))


def test_a_run_that_died_hours_ago_is_no_news(page, who):
    street(who)
    two_crews()
    draft = planned(who)
    SolveRun.objects.all().update(
        state="running",
        asked_at=MORNING - timedelta(hours=2),
        told_at=MORNING - timedelta(hours=2),
    )

    found = shown(page, f"{address('look-ahead')}?plan={draft.pk}")

    assert "its worker must have died" not in found
