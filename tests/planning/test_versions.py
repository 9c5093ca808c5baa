"""Drafts, published versions, what crews are told, and runs of the planner."""

from datetime import timedelta

import pytest

from phases.actions.work import start_work
from phases.log import Who
from phases.models import Fact
from tests.factories import make_member, phase_of
from tests.planning.scene import (
    MORNING,
    TODAY,
    day,
    owner,
    planned,
    street,
    told_of,
    two_crews,
)
from tracker.errors import Refused
from tracker.planning.actions.drafts import (
    drop_draft,
    keep_move,
    lift_pins,
    set_pin,
    start_draft,
)
from tracker.planning.actions.publishing import acknowledge, publish
from tracker.planning.core.judge import judge
from tracker.planning.models import CrewNotice, PlanVersion
from tracker.planning.queries import promised, unread_changes

pytestmark = pytest.mark.django_db


@pytest.fixture
def who():
    return owner()


@pytest.fixture
def crews():
    return two_crews()


def facts(kind="planned"):
    return Fact.objects.filter(kind=kind).count()


def test_a_draft_is_planned_and_keeps_every_rule(who, crews):
    street(who, 3)

    draft = planned(who)

    assert judge(draft.problem, draft.plan).breaches == ()
    assert len(draft.odds) == len(draft.plan["jobs"]) == 12
    assert (draft.status, draft.revision, draft.trouble) == ("draft", 1, [])


def test_publishing_tells_crews_and_a_second_time_tells_nothing_new(who, crews):
    (lot,) = street(who)
    first = publish(planned(who), who=who, now=MORNING)
    told = told_of(lot)
    assert (first.number, first.status, told[1]) == (1, "published", TODAY)
    before = facts()

    second = publish(planned(who), who=who, now=MORNING)

    assert (facts(), told_of(lot)) == (before, told)
    first.refresh_from_db()
    assert (first.status, second.number) == ("superseded", 2)
    assert CrewNotice.objects.filter(version=second).count() == 0


def test_only_the_crews_whose_days_change_are_told(who, crews):
    lots = street(who, 2)
    publish(planned(who), who=who, now=MORNING)
    crew, start, *_ = told_of(lots[0])
    other = next(one for one in crews if one.pk != crew)
    CrewNotice.objects.all().delete()
    set_pin(
        phase_of(lots[0], "underground"), crew=other, day=day(2), who=who, now=MORNING
    )

    publish(planned(who), who=who, now=MORNING)

    assert told_of(lots[0])[:2] == (other.pk, day(2))
    told = {notice.crew_id: notice for notice in CrewNotice.objects.all()}
    assert set(told) >= {crew, other.pk}
    (change,) = [
        one
        for one in told[crew].changes
        if one["lot_pk"] == lots[0].pk and one["phase"] == "underground"
    ]
    assert change["was"]["start"] == start.isoformat()
    assert change["now"] == {
        "crew": other.pk,
        "start": day(2).isoformat(),
        "half": 0,
    }


def test_work_that_has_begun_is_not_told_again(who, crews):
    (lot,) = street(who)
    draft = planned(who)
    start_work(phase_of(lot, "underground"), who=who, now=MORNING)

    publish(draft, who=who, now=MORNING)

    assert told_of(lot)[1] is None


def test_the_second_of_two_planners_sees_who_was_first_and_overwrites_nothing(
    who, crews
):
    (lot,) = street(who)
    mine, yours = planned(who), planned(who)
    publish(yours, who=who, now=MORNING)
    told = told_of(lot)

    with pytest.raises(Refused) as refused:
        publish(mine, who=who, now=MORNING)

    assert refused.value.code == "plan_overtaken"
    assert told_of(lot) == told
    assert PlanVersion.objects.get(status="published") == yours


def test_a_move_on_a_draft_that_somebody_changed_is_refused(who, crews):
    street(who)
    draft = planned(who)
    job = draft.plan["jobs"][0]
    name = (job["lot"], job["phase"])
    move = {"crew": "Frame", "who": who, "now": MORNING}
    moved = keep_move(draft, name, half=0, revision=draft.revision, **move)
    assert moved.breaches == ()

    with pytest.raises(Refused, match="changed this draft"):
        keep_move(draft, name, half=0, revision=draft.revision, **move)


def test_a_move_that_breaks_a_rule_is_told_and_not_kept(who, crews):
    street(who)
    draft = planned(who)
    rough = next(job for job in draft.plan["jobs"] if job["phase"] == "rough")

    moved = keep_move(
        draft,
        (rough["lot"], "rough"),
        crew="Frame",
        half=0,
        revision=draft.revision,
        who=who,
        now=MORNING,
    )

    assert {breach.code for breach in moved.breaches} >= {"before_gate"}
    before = draft.plan
    draft.refresh_from_db()
    assert (draft.plan, draft.revision) == (before, 1)


def test_only_the_owner_publishes_and_the_office_plans(who, crews):
    street(who)
    office = Who(member=make_member("office"))
    draft = planned(office)

    with pytest.raises(Refused) as refused:
        publish(draft, who=office, now=MORNING)

    assert refused.value.code == "owner_only"
    with pytest.raises(Refused):
        start_draft(who=Who(member=make_member("lead")), now=MORNING, today=TODAY)


def test_yesterdays_draft_is_planned_again_before_it_is_published(who, crews):
    street(who)
    draft = planned(who)

    with pytest.raises(Refused) as refused:
        publish(draft, who=who, now=MORNING + timedelta(days=1))

    assert refused.value.code == "plan_old"


def test_a_left_draft_cannot_be_published(who, crews):
    street(who)
    draft = planned(who)

    drop_draft(draft, who=who, now=MORNING)

    with pytest.raises(Refused) as refused:
        publish(draft, who=who, now=MORNING)
    assert refused.value.code == "plan_no_draft"


def test_a_lead_acknowledges_what_changed_and_it_leaves_today(who, crews):
    (lot,) = street(who)
    publish(planned(who), who=who, now=MORNING)
    crew = next(one for one in crews if one.pk == told_of(lot)[0])
    lead = Who(member=make_member("lead", crew=crew))
    stranger = Who(member=make_member("lead"))
    notice = CrewNotice.objects.get(crew=crew)
    assert list(unread_changes(by=day(1))) == [notice]

    with pytest.raises(Refused):
        acknowledge(notice, who=stranger, now=MORNING)
    notice = acknowledge(notice, who=lead, now=MORNING)

    assert (notice.seen_by, notice.seen_at) == (lead.name, MORNING)
    assert list(unread_changes(by=day(1))) == []


def test_a_pin_holds_until_it_is_lifted(who, crews):
    (lot,) = street(who)
    phase = phase_of(lot, "underground")
    set_pin(phase, crew=crews[1], day=day(3), who=who, now=MORNING)
    publish(planned(who), who=who, now=MORNING)
    assert told_of(lot)[:2] == (crews[1].pk, day(3))

    assert lift_pins(phase, who=who, now=MORNING) == 1
    assert planned(who).problem["pins"] == []


def test_a_changed_plan_keeps_what_crews_were_told_where_it_can(who, crews):
    lots = street(who, 4)
    publish(planned(who), who=who, now=MORNING)
    before = [told_of(lot) for lot in lots]

    draft = planned(who, now=MORNING + timedelta(minutes=5))

    assert draft.plan["score"]["day_changes"] == 0
    publish(draft, who=who, now=MORNING + timedelta(minutes=6))
    assert [told_of(lot) for lot in lots] == before


def test_promises_of_the_published_plan_by_lot_phase(who, crews):
    (lot,) = street(who)
    assert promised() == {}
    version = publish(planned(who), who=who, now=MORNING)

    found = promised()[phase_of(lot, "underground").pk]

    row = next(one for one in version.odds if one[1] == "underground")
    assert (found.on, found.on_time) == (day(row[7]), row[8])
