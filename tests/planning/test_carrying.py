"""The published plan held against a draft by one and the same problem."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from phases.actions.work import start_work
from tests.factories import phase_of
from tests.planning.scene import (
    MORNING,
    dated,
    day,
    owner,
    planned,
    street,
    two_crews,
)
from tracker.people.models import Crew
from tracker.planning.actions.publishing import publish
from tracker.planning.actions.settings import say_rain, set_rules
from tracker.planning.adapter.keys import Keys
from tracker.planning.carrying import pushed
from tracker.planning.core.judge import judge
from tracker.planning.core.plan import read_plan, write_plan
from tracker.planning.core.problem_json import read_problem
from tracker.planning.models import PlanVersion
from tracker.planning.queries import carried_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def who():
    return owner()


@pytest.fixture
def lots(who):
    """Three lots of which the crews are told, needed as soon as they are planned."""
    made = street(who, 3)
    two_crews()
    first = planned(who)
    for lot in made:
        jobs = [job for job in first.plan["jobs"] if job["phase"] == "underground"]
        last = max(job["inspection_day"] for job in jobs)
        dated(lot, who, what="need_by", on=day(last))
    publish(planned(who), who=who, now=MORNING)
    return made


def rained(who, *days):
    say_rain([day(number) for number in days], who=who, now=MORNING)
    return planned(who)


def compared(client, who, draft, monkeypatch, language="en"):
    """The table of the score: part, figures; and the words above it."""
    monkeypatch.setattr(timezone, "now", lambda: MORNING)
    client.force_login(who.member)
    client.cookies["django_language"] = language
    page = client.get(f"{reverse('desk:look-ahead')}?plan={draft.pk}").content.decode()
    part = page[page.index('id="parts"') :].partition("</section>")[0]
    rows = re.findall(r'<tr><th scope="row">(.*?)</th>(.*?)</tr>', part)
    figures = {
        name: re.findall(r'<td class="figure">(.*?)</td>', cells)
        for name, cells in rows
    }
    return figures, part


@pytest.mark.parametrize("hours", [0, 5])
def test_on_an_unchanged_day_it_is_the_plan_itself_at_the_judges_price(
    who, lots, hours
):
    draft = planned(who, now=MORNING + timedelta(hours=hours))
    published = PlanVersion.objects.get(status="published")

    found = carried_of(draft, [])

    verdict = judge(draft.problem, published.plan)
    # Hours that have gone by since bind nobody.
    late = {"crew_not_free", "overlap"} if hours else set()
    assert {one.code for one in verdict.breaches} == late
    assert (found.breaches, found.new) == ((), 0)
    assert found.score.total == verdict.score


def test_two_lost_days_are_no_gain_and_the_page_says_what_breaks(
    who, lots, client, monkeypatch
):
    published = PlanVersion.objects.get(status="published")
    draft = rained(who, 0, 1)

    found = carried_of(draft, [])

    assert {one.code for one in found.breaches} == {"rain"}
    assert found.score.late_days > published.plan["score"]["late_days"]
    assert found.score.total >= draft.plan["score"]["total"]
    figures, said = compared(client, who, draft, monkeypatch)
    late = [str(found.score.late_days), str(draft.plan["score"]["late_days"])]
    assert figures["late days"] == late
    assert "The published plan cannot be kept any more." in said
    assert "Rain stops this work on Mon 2 Mar." in said
    _, said = compared(client, who, draft, monkeypatch, "es")
    assert "El plan publicado ya no se puede cumplir." in said


def test_what_is_pushed_on_keeps_every_rule_and_nothing_comes_sooner(who, lots):
    published = read_plan(PlanVersion.objects.get(status="published").plan)
    draft = rained(who, 0, 1, 3)
    problem = read_problem(draft.problem)

    found = pushed(problem, published, read_plan(draft.plan))

    assert judge(draft.problem, write_plan(found)).breaches == ()
    was = published.by_name()
    for job in found.jobs:
        assert job.crew == was[job.name].crew
        assert job.start_quarter >= was[job.name].start_quarter
        assert job.inspection_day >= was[job.name].inspection_day


def test_other_weights_price_both_plans(who, lots, client, monkeypatch):
    set_rules(who=who, move=1, late_day=1)
    draft = planned(who)
    published = PlanVersion.objects.get(status="published")

    figures, said = compared(client, who, draft, monkeypatch)

    price = judge(draft.problem, published.plan).score
    total = draft.plan["score"]["total"]
    assert figures["score"] == [str(price), str(total), f"{total - price:+d}"]
    assert "Both under what is known now." in said


def _start(job):
    return job["start_quarter"]


@pytest.mark.parametrize("begun", [True, False])
def test_on_another_day_what_was_not_begun_breaks_it_and_new_lots_are_counted(
    who, lots, begun
):
    first = min(PlanVersion.objects.get(status="published").plan["jobs"], key=_start)
    lot = next(one for one in lots if first["lot"].startswith(f"{one.label},"))
    if begun:
        start_work(phase_of(lot, "underground"), who=who, now=MORNING)
    street(who)
    draft = planned(who, now=MORNING + timedelta(days=1))

    found = carried_of(draft, Keys.read(draft.keys).begun)

    missed = {(one.code, one.lot) for one in found.breaches}
    assert (("not_begun", first["lot"]) in missed) is not begun
    assert (found.new, {code for code, _ in missed} <= {"not_begun"}) == (4, True)
    assert found.score.total >= draft.plan["score"]["total"]


def test_a_crew_that_left_breaks_it_and_its_work_is_taken_from_the_draft(who, lots):
    published = PlanVersion.objects.get(status="published")
    gone = published.plan["jobs"][0]["crew"]
    Crew.objects.filter(name=gone).update(is_active=False)
    draft = planned(who)

    found = carried_of(draft, [])

    assert "unknown_crew" in {one.code for one in found.breaches}
    problem, plan = read_problem(draft.problem), read_plan(draft.plan)
    kept = pushed(problem, read_plan(published.plan), plan)
    assert judge(draft.problem, write_plan(kept)).breaches == ()
