"""Runs of the planner, and what people say to it."""

from datetime import timedelta

import pytest

from phases.log import Who
from phases.models import Fact
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
from tracker.errors import Refused
from tracker.planning.actions.drafts import (
    set_pin,
    start_draft,
)
from tracker.planning.actions.running import ask_run, cancel_run, work_on
from tracker.planning.actions.settings import read_forecast, set_rules
from tracker.planning.models import PlanVersion, SolveRun

pytestmark = pytest.mark.django_db


@pytest.fixture
def who():
    return owner()


@pytest.fixture
def crews():
    return two_crews()


def facts(kind="planned"):
    return Fact.objects.filter(kind=kind).count()


def test_pins_that_contradict_end_the_run_with_the_pair_in_words(who, crews, client):
    lots = street(who, 2)
    for lot in lots:
        phase = phase_of(lot, "underground")
        phase.lot.plan.crew_quarters = {"underground": 8}
        phase.lot.plan.save()
        set_pin(phase, crew=crews[0], day=day(1), who=who, now=MORNING)
    draft = start_draft(who=who, now=MORNING, today=TODAY)
    run = ask_run(draft, who=who, now=MORNING, seconds=None, iterations=100)

    assert work_on(run.pk, clock=lambda: MORNING) == "failed"

    run.refresh_from_db()
    assert [fact["code"] for fact in run.reason["found"]] == ["pin_both"]
    client.force_login(who.member)
    said = {}
    for language in ("en", "es"):
        client.cookies["django_language"] = language
        page = client.get(f"/look-ahead/?plan={draft.pk}").content.decode()
        said[language] = page[page.index('id="run"') :].partition("</div>")[0]
    one, two = (f"{lot.label}, {lot.subdivision}" for lot in lots)
    assert (
        f"Lot {one}, underground, pinned to Ditch on Tue 3 Mar, and Lot {two}, "
        "underground, pinned to Ditch on Tue 3 Mar: the crew cannot do both."
    ) in said["en"]
    assert (
        f"Lote {one}, bajo tierra, fijado a Ditch el mar 3 Mar, y Lote {two}, "
        "bajo tierra, fijado a Ditch el mar 3 Mar: la cuadrilla no puede hacer"
    ) in said["es"]
    assert run.trouble == ""
    draft.refresh_from_db()
    assert draft.plan is None


def test_a_run_is_done_once_and_only_one_at_a_time(who, crews):
    street(who)
    draft = start_draft(who=who, now=MORNING, today=TODAY)
    run = ask_run(draft, who=who, now=MORNING, seconds=None, iterations=100)
    with pytest.raises(Refused) as refused:
        ask_run(draft, who=who, now=MORNING)
    assert refused.value.code == "plan_running"
    assert work_on(run.pk, clock=lambda: MORNING) == "done"
    draft.refresh_from_db()

    assert work_on(run.pk, clock=lambda: MORNING) == "done"

    again = PlanVersion.objects.get(pk=draft.pk)
    assert (again.revision, again.plan) == (draft.revision, draft.plan)


def test_a_cancelled_run_leaves_the_draft_as_it_was(who, crews):
    street(who)
    draft = planned(who)
    run = ask_run(draft, who=who, now=MORNING, seconds=60)
    SolveRun.objects.filter(pk=run.pk).update(cancel_asked=True)

    assert work_on(run.pk, clock=lambda: MORNING) == "cancelled"

    after = PlanVersion.objects.get(pk=draft.pk)
    assert (after.plan, after.revision) == (draft.plan, draft.revision)


def test_a_dead_worker_leaves_the_old_plan_and_another_run_may_begin(who, crews):
    street(who)
    draft = planned(who)
    dead = ask_run(draft, who=who, now=MORNING)
    SolveRun.objects.filter(pk=dead.pk).update(state="running")
    later = MORNING + timedelta(minutes=2)

    run = ask_run(draft, who=who, now=later, seconds=None, iterations=100)

    dead.refresh_from_db()
    assert (dead.state, dead.reason) == ("failed", {"code": "run_stopped"})
    assert PlanVersion.objects.get(pk=draft.pk).plan == draft.plan
    assert cancel_run(run, who=who, now=later).state == "cancelled"


def test_a_forecast_file_gives_its_wet_days_and_names_a_bad_line():
    text = "date,inches\n2026-03-04,0.6\n2026-03-05,0\n"
    assert read_forecast(text) == [day(2)]
    with pytest.raises(Refused, match="Line 3"):
        read_forecast(text.replace("2026-03-05", "soon"))
    with pytest.raises(Refused, match="columns"):
        read_forecast("day,rain\n")


def test_weights_have_limits_and_the_owner_sets_them(who):
    assert set_rules(who=who, move=20).move == 20
    with pytest.raises(Refused):
        set_rules(who=who, move=-1)
    with pytest.raises(Refused):
        set_rules(who=Who(member=make_member("office")), move=1)


def test_what_would_help_and_what_a_buffer_costs_are_worked_out(who, crews):
    lots = street(who, 4)
    for lot in lots:
        dated(lot, who, what="need_by", on=TODAY)
    draft = planned(who)
    assert draft.why

    for what in ("remedies", "levels"):
        run = ask_run(
            draft, who=who, now=MORNING, what=what, seconds=None, iterations=20_000
        )
        assert work_on(run.pk, clock=lambda: MORNING) == "done"

    after = PlanVersion.objects.get(pk=draft.pk)
    saves = [one["saves"] for one in after.remedies]
    assert saves == sorted(saves, reverse=True)
    assert any(one["kind"] == "crew" for one in after.remedies)
    assert [one["level"] for one in after.levels] == [0, 1, 2, 3, 4]
    assert after.plan == draft.plan
