"""What went wrong before today is named where no plan of today could help."""

from datetime import date, timedelta

import pytest
from django.utils.translation import override

from phases.actions.work import plan_phase, start_work, work_done
from tests.factories import phase_of, prove_phase
from tests.planning.problems import city, crew, lot, phase, problem
from tests.planning.scene import MORNING, day, owner, street, two_crews
from tests.planning.test_said import sayer
from tracker.planning.adapter import problem_of
from tracker.planning.adapter.keys import Keys
from tracker.planning.core.explain import explain
from tracker.planning.core.marks_past import Past, past_links
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.solve import Effort, solve

AWAITING = {"status": "awaiting_inspection", "crew_quarters": 0}


def sentence(past, *, need=-10, **over):
    fields = {"need_by_day": need, **over}
    read = read_problem(problem(lots=[lot("E1", phase("rough", **fields))]))
    plan = solve(read, Effort(iterations=200))
    marks = {("E1", "rough"): past} if past else None
    (why,) = explain(read, plan, past=marks)
    return why.sentence


# Day 0 is Monday 5 January 2026; the need-by of most lies on Monday 22 December.
CASES = [
    (Past(ready=-24, done=-1), AWAITING, "ready Tue 2 Dec and the work ended only"),
    (Past(ready=-5, begun=-4, done=-1), AWAITING, "ready only Mon 29 Dec and the"),
    (Past(done=-1), AWAITING, "the work ended only Fri 2 Jan"),
    (Past(done=-12), AWAITING, "done Thu 18 Dec and nobody called it in"),
    (Past(done=-12, missing=3), AWAITING, "not called in, for 3 things are still"),
    (Past(done=-12, failed=-9), AWAITING, "failed on Tue 23 Dec and was not called in"),
    (Past(failed=-9, missing=2), {}, "failed on Tue 23 Dec and 2 of its corrections"),
    (Past(ready=-20), {}, "ready since Mon 8 Dec and no crew has been there yet"),
    (Past(ready=-20, told=-15), {}, "a crew was told Mon 15 Dec and has not begun"),
    (Past(ready=-20, begun=-2), {}, "ready Mon 8 Dec and work began only Thu 1 Jan"),
    (Past(ready=-4), {}, "it was ready only Tue 30 Dec"),
    (None, {}, "it was needed by Mon 22 Dec already"),
]


@pytest.mark.parametrize(("past", "over", "said"), CASES)
def test_the_sentence_names_what_of_the_past_made_it_late(past, over, said):
    assert said in sentence(past, **over)


def test_done_late_and_not_called_in_is_both():
    found = past_links(-10, Past(ready=-20, done=-5))

    assert [one.kind for one in found] == ["past_waited", "past_uncalled"]


def test_the_past_is_not_blamed_where_a_plan_could_still_be_in_time():
    lots = [lot(f"E{i}", phase("rough", need_by_day=1, **AWAITING)) for i in range(2)]
    read = read_problem(problem(lots=lots, jurisdictions=[city(daily_cap=1)]))
    plan = solve(read, Effort(iterations=200))
    past = {(one["id"], "rough"): Past(done=-9) for one in lots}

    (why,) = explain(read, plan, past=past)

    assert "full on" in why.sentence
    assert "nobody" not in why.sentence


def test_nor_where_it_waits_for_a_day_to_come():
    assert "already" not in sentence(None, need=0, ready_day=4)
    assert "no crew" not in sentence(Past(ready=-9), need=0, ready_day=4)


def test_the_past_of_the_phase_before_is_said_with_its_name():
    two = lot(
        "E1",
        phase("rough", need_by_day=-10, **AWAITING),
        phase("topout", need_by_day=1),
    )
    read = read_problem(problem(lots=[two], crews=[crew("A")]))
    plan = solve(read, Effort(iterations=200))
    past = {("E1", "rough"): Past(done=-12)}

    (why,) = explain(read, plan, [("E1", "topout")], past=past)

    assert "late: rough: the work was done Thu 18 Dec and nobody" in why.sentence


def test_days_of_the_past_are_dates_in_both_languages():
    link = {"kind": "past_unproven", "day": -4, "number": 1, "phase": ""}

    with override("en"):
        (english,) = sayer().links(("E1", "rough"), [link])
    with override("es"):
        (spanish,) = sayer("es").links(("E1", "rough"), [link])

    assert "done Tue 24 Feb and not called in, for one thing" in english
    assert "acabó el mar 24 Feb y no se pidió la inspección" in spanish


def marks(now):
    joined = problem_of(now=now)
    assert Keys.read(joined.keys.as_json()) == joined.keys
    return {phase: past for (_, phase), past in joined.keys.past.items()}


@pytest.mark.django_db
def test_the_data_tell_when_it_was_ready_begun_done_and_that_nobody_called():
    who = owner()
    (house,) = street(who)
    ditch, _ = two_crews()
    row = phase_of(house, "underground")
    plan_phase(row, crew=ditch, start=day(1), end=day(1), who=who, now=MORNING)

    week = MORNING + timedelta(days=7)
    assert marks(week)["underground"] == Past(ready=-5, told=-4)

    start_work(row, who=who, now=MORNING + timedelta(days=2))
    assert marks(week)["underground"] == Past(ready=-5, begun=-3)

    work_done(row, who=who, now=MORNING + timedelta(days=3))
    row = phase_of(house, "underground")
    missing = sum(one.get("count", 1) for one in row.call_in_missing)
    expected = Past(ready=-5, begun=-3, done=-2, missing=missing)
    assert marks(week)["underground"] == expected
    assert missing

    prove_phase(row, who=who, now=MORNING + timedelta(days=3, hours=1))
    found = marks(week)["underground"]
    assert (found.done, found.missing, found.called) == (-2, 0, False)
    assert date(2026, 3, 5) == problem_of(now=week).calendar.date_of(-2)


@pytest.mark.django_db
def test_what_is_not_said_ready_stood_ready_on_no_day():
    who = owner()
    street(who, ready=False)
    two_crews()

    assert "underground" not in marks(MORNING + timedelta(days=7))
