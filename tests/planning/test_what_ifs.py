"""What-ifs: drafts of what is not so, published once it is or the owner makes it so."""

from datetime import timedelta

import pytest

from phases.actions.dates import say_date
from phases.models import Fact
from tests.factories import make_crew, phase_of
from tests.planning.scene import (
    MORNING,
    TODAY,
    dated,
    day,
    owner,
    planned,
    street,
    told_of,
    two_crews,
)
from tracker.errors import Refused
from tracker.planning.actions.drafts import keep_move, set_pin, start_draft
from tracker.planning.actions.publishing import publish
from tracker.planning.actions.running import ask_run, work_on
from tracker.planning.core.errors import BadProblem
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.what_if import CHANGES, changed
from tracker.planning.models import ExtraDay, Pin, PlanVersion

pytestmark = pytest.mark.django_db


@pytest.fixture
def who():
    return owner()


@pytest.fixture
def crews():
    return two_crews()


def what_if(who, code, kind="", **params):
    what = {"kind": kind, "code": code, "params": params}
    draft = start_draft(who=who, now=MORNING, today=TODAY, what_if=what)
    run = ask_run(draft, who=who, now=MORNING, seconds=None, iterations=2000)
    state = work_on(run.pk, clock=lambda: MORNING)
    run.refresh_from_db()
    draft.refresh_from_db()
    return draft, state, run


def first_job(draft, phase="underground"):
    return next(job for job in draft.plan["jobs"] if job["phase"] == phase)


def test_a_pin_taken_away_in_a_what_if_is_lifted_by_publishing_it(who, crews):
    (lot,) = street(who)
    set_pin(
        phase_of(lot, "underground"), crew=crews[1], day=day(8), who=who, now=MORNING
    )
    publish(planned(who), who=who, now=MORNING)
    name = first_job(PlanVersion.objects.get())["lot"]

    draft, *_ = what_if(who, "no_pin", lot=name, phase="underground")

    assert first_job(draft)["start_quarter"] < 32
    assert Pin.objects.get().lifted_at is None
    publish(draft, who=who, now=MORNING)
    pin = Pin.objects.get()
    assert (pin.lifted_at, pin.lifted_by) == (MORNING, who.name)
    assert told_of(lot)[1] < day(8)


def test_a_day_of_overtime_is_given_by_publishing_and_counts_from_then_on(who, crews):
    street(who)
    publish(planned(who), who=who, now=MORNING)
    job = first_job(PlanVersion.objects.get())
    assert job["end_quarter"] - job["start_quarter"] == 4

    draft, *_ = what_if(who, "overtime_day", lot=job["lot"], phase="underground")
    assert not ExtraDay.objects.exists()
    publish(draft, who=who, now=MORNING)

    assert ExtraDay.objects.get().made_by == who.name
    job = first_job(planned(who))
    assert job["end_quarter"] - job["start_quarter"] == 1


def test_a_crew_that_is_not_there_cannot_be_published(who):
    make_crew(name="Ditch", skills=["underground"])
    street(who, 10)
    publish(planned(who), who=who, now=MORNING)
    before = Fact.objects.count()

    draft, *_ = what_if(who, "one_more_crew", phase="underground")

    assert "one more for underground" in {job["crew"] for job in draft.plan["jobs"]}
    with pytest.raises(Refused) as refused:
        publish(draft, who=who, now=MORNING)
    assert refused.value.code == "plan_what_if"
    assert (Fact.objects.count(), PlanVersion.objects.get(number=1).status) == (
        before,
        "published",
    )


def test_what_the_builder_has_said_meanwhile_makes_a_what_if_true(who, crews):
    (lot,) = street(who, ready=False)
    dated(lot, who, on=day(3))
    dated(lot, who, what="need_by", on=day(3))
    publish(planned(who), who=who, now=MORNING)
    name = first_job(PlanVersion.objects.get())["lot"]
    draft, *_ = what_if(who, "builder_sooner", lot=name)
    assert first_job(draft)["start_quarter"] // 4 == 2
    with pytest.raises(Refused) as refused:
        publish(draft, who=who, now=MORNING)
    assert refused.value.code == "plan_what_if"

    for code, on in (("underground", day(2)), ("rough", day(9))):
        phase = phase_of(lot, code)
        date = {"what": "ready", "date": on, "status": "revised"}
        say_date(lot, phase=phase, who=who, now=MORNING, **date)
    again, *_ = what_if(who, "builder_sooner", lot=name)
    PlanVersion.objects.filter(pk=again.pk).update(plan=planned(who).plan)
    again.refresh_from_db()

    assert publish(again, who=who, now=MORNING).status == "published"


def test_a_what_if_of_something_gone_ends_its_run_in_words(who, crews):
    street(who)

    draft, state, run = what_if(who, "no_pin", lot="nowhere", phase="rough")

    assert (state, run.reason, draft.plan) == ("failed", {"code": "what_if_gone"}, None)


def test_a_draft_that_has_become_impossible_since_is_not_published(who, crews):
    (lot,) = street(who)
    draft = planned(who)
    dated(lot, who, on=day(4), now=MORNING + timedelta(minutes=5))
    phase = phase_of(lot, "underground")
    parts = {"what": "ready", "date": day(4), "status": "revised"}
    say_date(lot, phase=phase, who=who, now=MORNING + timedelta(minutes=5), **parts)
    set_pin(phase, crew=crews[0], day=day(5), who=who, now=MORNING)

    with pytest.raises(Refused) as refused:
        publish(draft, who=who, now=MORNING + timedelta(minutes=9))

    assert refused.value.code == "plan_holds_no_more"
    assert refused.value.reason["phase"] == "underground"


def test_a_run_does_not_overwrite_what_somebody_moved_meanwhile(who, crews):
    street(who)
    draft = planned(who)
    run = ask_run(draft, who=who, now=MORNING, seconds=None, iterations=100)
    job = first_job(draft, "trim")
    moved = []

    def clock():
        if not moved:
            moved.append(PlanVersion.objects.get(pk=draft.pk))
            return MORNING
        if len(moved) == 1:
            moved.append(None)
            keep_move(
                moved[0],
                (job["lot"], job["phase"]),
                crew=job["crew"],
                half=job["start_quarter"] // 2 + 2,
                revision=draft.revision,
                who=who,
                now=MORNING,
            )
        return MORNING

    assert work_on(run.pk, clock=clock) == "failed"

    run.refresh_from_db()
    after = PlanVersion.objects.get(pk=draft.pk)
    assert run.reason["code"] == "plan_changed"
    assert first_job(after, "trim")["start_quarter"] > job["start_quarter"]


def test_every_change_names_what_is_missing(who, crews):
    street(who)
    problem = read_problem(planned(who).problem)
    wrong = {"lot": "?", "phase": "?", "crew": "?", "day": 1, "office": "?"}

    for code in CHANGES.keys() - {"no_pins"}:
        with pytest.raises(BadProblem, match=r"\?"):
            changed(problem, code, wrong)
    with pytest.raises(BadProblem, match="no such change"):
        changed(problem, "more_rain", {})
