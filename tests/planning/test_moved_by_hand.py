"""A draft that somebody moved jobs of by hand goes on like any other."""

import pytest
from django.urls import reverse
from django.utils import timezone

from phases.models import LotPhase
from tests.planning.scene import (
    MORNING,
    TODAY,
    dated,
    owner,
    planned,
    street,
    two_crews,
)
from tracker.planning.actions.running import ask_run, work_on
from tracker.planning.core.errors import BadPlan
from tracker.planning.core.plan import Engine, read_plan, write_plan
from tracker.planning.models import PlanVersion, SolveRun
from tracker.planning.queries import latest_run, promised

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


@pytest.fixture
def draft(who):
    street(who)
    two_crews()
    return planned(who)


def address(name, *args):
    return reverse(f"desk:{name}", args=args)


def trim(draft):
    """The last job of the lot: it can come later without anything behind it."""
    return next(job for job in draft.plan["jobs"] if job["phase"] == "trim")


def move(page, draft, *, later):
    """Move the trim by so many half-days, as the page does; the draft after it."""
    job = trim(draft)
    answer = page.post(
        address("look-ahead-moves", draft.pk),
        {
            **{name: job[name] for name in ("lot", "phase", "crew")},
            **{"half": job["start_quarter"] // 2 + later, "revision": draft.revision},
        },
    )
    assert answer.status_code == 302
    return PlanVersion.objects.get(pk=draft.pk)


def test_it_is_moved_twice_opened_planned_again_and_published(page, who, draft):
    began = trim(draft)["start_quarter"]

    draft = move(page, draft, later=2)
    draft = move(page, draft, later=2)

    job = trim(draft)
    assert (job["start_quarter"], draft.revision) == (began + 8, 3)
    strip = page.get(address("look-ahead-job", draft.pk), job)
    assert 'class="why"' in strip.content.decode()
    run = ask_run(draft, who=who, now=MORNING, seconds=None, iterations=200)
    assert work_on(run.pk, clock=lambda: MORNING) == "done"
    draft = move(page, PlanVersion.objects.get(pk=draft.pk), later=2)
    page.post(address("look-ahead-publication", draft.pk), {"revision": draft.revision})
    assert PlanVersion.objects.get(status="published") == draft


def test_a_draft_stored_with_an_empty_order_is_read_too(page, draft):
    draft.plan["engine"] = {"order": [], "hold": []}
    draft.save()

    assert read_plan(draft.plan).engine == Engine()
    assert page.get(address("look-ahead-job", draft.pk), trim(draft)).status_code == 200


def test_an_order_is_whole_or_not_there(draft):
    plan = read_plan(draft.plan)
    assert "engine" not in write_plan(read_plan({**draft.plan, "engine": None}))
    assert read_plan(write_plan(plan)) == plan
    for order, hold in ([[0], []], [[], [0]]):
        with pytest.raises(BadPlan, match="order must name each job once"):
            read_plan({**draft.plan, "engine": {"order": order, "hold": hold}})


@pytest.mark.parametrize(
    ("language", "said"),
    [
        ("en", "The jobs of this draft cannot be read. Plan it again."),
        ("es", "Los trabajos de este borrador no se pueden leer. Planéelo otra vez."),
    ],
)
def test_a_plan_that_cannot_be_read_is_refused_in_words(
    page, who, draft, language, said
):
    draft.plan["engine"] = {"order": [0], "hold": []}
    draft.save()
    page.cookies["django_language"] = language
    job = {name: trim(draft)[name] for name in ("lot", "phase", "crew")}
    move = {**job, "half": 200, "revision": draft.revision}

    opened = page.get(address("look-ahead-job", draft.pk), job)
    tried = page.post(address("look-ahead-trial", draft.pk), move)
    answer = page.post(
        address("look-ahead-publication", draft.pk),
        {"revision": draft.revision},
        follow=True,
    )

    assert said in opened.content.decode()
    assert said in tried.content.decode()
    assert said in answer.content.decode()
    assert not PlanVersion.objects.filter(status="published").exists()
    run = ask_run(draft, who=who, now=MORNING, seconds=None, iterations=200)
    assert work_on(run.pk, clock=lambda: MORNING) == "done"


def late(who):
    """A draft whose lot is needed sooner than it can be."""
    (lot,) = street(who)
    dated(lot, who, what="need_by", on=TODAY)
    two_crews()
    return planned(who)


def weighed(draft):
    """The worker takes up what the move asked for."""
    run = SolveRun.objects.get(version=draft, what="odds", state="waiting")
    assert work_on(run.pk, clock=lambda: MORNING) == "done"
    return PlanVersion.objects.get(pk=draft.pk)


def test_a_move_leaves_reasons_there_and_promises_to_the_worker(page, who):
    draft = late(who)
    assert draft.why

    draft = move(page, draft, later=2)

    said = page.get(address("look-ahead-why", draft.pk)).content.decode()
    assert "Nothing is late." not in said
    assert "Being worked out" in said
    draft = move(page, draft, later=2)  # while the worker has not begun
    draft = weighed(draft)
    planned_for = {(row[0], row[1]): row[2] for row in draft.odds}
    job = trim(draft)
    assert planned_for[job["lot"], "trim"] == job["inspection_day"]
    said = page.get(address("look-ahead-why", draft.pk)).content.decode()
    assert said.count('<td class="figure" data-label="On time">') == 4
    assert "Being worked out" not in said


def test_without_a_worker_promises_can_be_asked_for_again(page, who, draft):
    draft = move(page, draft, later=2)
    SolveRun.objects.update(state="failed")
    path = address("look-ahead-why", draft.pk)
    assert "Not worked out yet." in page.get(path).content.decode()

    answer = page.post(address("look-ahead-runs", draft.pk), {"what": "odds"})

    assert answer["Location"] == path
    assert weighed(draft).odds


def test_odds_of_an_older_plan_are_not_kept_and_stop_nobody(page, who, draft):
    draft = move(page, draft, later=2)
    old = SolveRun.objects.get(what="odds")
    SolveRun.objects.filter(pk=old.pk).update(state="running")

    draft = move(page, draft, later=2)
    run = ask_run(draft, who=who, now=MORNING, seconds=None, iterations=50)

    old.refresh_from_db()
    assert (old.state, run.state, latest_run(draft)) == ("cancelled", "waiting", run)


def test_publishing_before_the_worker_has_come_keeps_the_promises(page, who):
    draft = late(who)
    phases = LotPhase.objects.filter(lot__in=draft.keys["lots"].values())
    draft = move(page, draft, later=2)
    assert draft.odds == []
    PlanVersion.objects.filter(pk=draft.pk).update(why=[])  # as drafts were stored

    page.post(address("look-ahead-publication", draft.pk), {"revision": draft.revision})

    assert set(promised()) == set(phases.values_list("pk", flat=True))
    assert PlanVersion.objects.get(status="published").why
