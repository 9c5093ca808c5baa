"""Begun work, inspections and marks on their way to the planner."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inspections.actions import call_in, record_result
from phases.actions.work import break_off, lend_helper, start_work, work_done
from phases.log import Who
from tests.factories import (
    kind_of,
    make_crew,
    phase_of,
    prove_phase,
)
from tests.planning.scene import (
    MORNING,
    TODAY,
    day,
    made_ready,
    owner,
    street,
    two_crews,
)
from tracker.people.models import CrewDayOff
from tracker.planning.actions.drafts import set_pin
from tracker.planning.actions.settings import say_rain
from tracker.planning.adapter import problem_of
from tracker.planning.core.problem import Pin
from tracker.sites.models import Subdivision

pytestmark = pytest.mark.django_db


@pytest.fixture
def who():
    return owner()


def joined(now=MORNING):
    return problem_of(now=now)


def phases(found, lot=0):
    return {phase.phase: phase for phase in found.problem.lots[lot].phases}


def codes(found):
    return sorted((note["code"], note.get("phase")) for note in found.notes)


@pytest.mark.parametrize(
    ("hour", "minute", "gone", "ahead"),
    [(6, 0, 0, 0), (7, 30, 0, 0), (8, 30, 1, 0), (12, 30, 3, 0), (14, 30, 0, 1)],
)
def finish(lot, who, code, now=MORNING):
    phase = phase_of(lot, code)
    prove_phase(phase, who=who, now=now)
    work_done(phase, who=who, now=now)


def test_what_is_called_in_opens_the_next_phase_after_the_offices_day(who):
    (lot,) = street(who)
    two_crews()
    finish(lot, who, "underground")
    assert phases(joined())["underground"].status == "awaiting_inspection"

    call_in(lot, kind_of(lot, "ground"), for_date=day(3), who=who, now=MORNING)

    found = phases(joined())
    assert found["underground"].status == "passed"
    assert found["rough"].ready_day == 3 + 1 + 12


def test_what_failed_is_a_short_job_again(who):
    (lot,) = street(who)
    two_crews()
    finish(lot, who, "underground")
    kind = kind_of(lot, "ground")
    call_in(lot, kind, for_date=day(1), who=who, now=MORNING)
    later = MORNING + timedelta(days=1)
    record_result(
        lot, kind, result="failed", on=day(1), who=who, now=later, words="No test"
    )
    row = phase_of(lot, "underground")
    row_corrections = row.open_corrections

    found = phases(joined(later))["underground"]

    expected = ("open", 1) if row_corrections else ("awaiting_inspection", 4)
    assert (found.status, found.crew_quarters) == expected


def test_begun_work_stays_with_its_crew_and_only_the_rest_is_planned(who):
    (lot,) = street(who)
    crew, _ = two_crews()
    from phases.actions.work import plan_phase

    phase = phase_of(lot, "underground")
    plan_phase(phase, crew=crew, start=TODAY, end=TODAY, who=who, now=MORNING)
    start_work(phase, who=who, now=MORNING + timedelta(hours=1))
    noon = MORNING + timedelta(hours=5)

    found = joined(noon)

    assert phases(found)["underground"].crew_quarters == 2
    name = (found.problem.lots[0].id, "underground")
    assert found.problem.pins == (Pin(*name, crew="Ditch", day=0),)


def test_work_broken_off_and_a_helper_lent_leave_the_remainder(who):
    (lot,) = street(who)
    two_crews()
    helper = make_crew(name="Help")
    phase = phase_of(lot, "underground")
    start_work(phase, who=who, now=MORNING)
    break_off(phase, quarters_left=7, who=who, now=MORNING + timedelta(hours=2))
    lend_helper(phase, crew=helper, on=TODAY, who=who, now=MORNING + timedelta(hours=3))

    found = joined()

    assert phases(found)["underground"].crew_quarters == 3
    lent = found.problem.crews[found.problem.crew_index["Help"]]
    assert 0 in lent.days_off


def test_days_off_rain_and_pins_are_told(who):
    (lot,) = street(who)
    crew, _ = two_crews()
    CrewDayOff.objects.create(crew=crew, date=day(2))
    say_rain([day(1), day(1)], who=who, now=MORNING)
    set_pin(phase_of(lot, "underground"), crew=crew, day=day(3), who=who, now=MORNING)

    found = joined()

    one = found.problem.crews[found.problem.crew_index["Ditch"]]
    assert 2 in one.days_off
    assert found.problem.rain_days == {1}
    assert "underground" in found.problem.rain_exposed_phases
    name = (found.problem.lots[0].id, "underground")
    assert found.problem.pins == (Pin(*name, crew="Ditch", day=3),)


def test_a_phase_no_crew_is_qualified_for_is_left_out_and_said(who):
    street(who)
    make_crew(name="Ditch", skills=["underground"])

    found = joined()

    assert list(phases(found)) == ["underground"]
    assert ("no_crew", "rough") in codes(found)
    (note,) = (note for note in found.notes if note["code"] == "no_crew")
    assert note["behind"] == ["topout", "trim"]


def test_work_done_that_no_office_inspects_says_so_and_stops_what_is_behind(who):
    (lot,) = street(who)
    two_crews()
    finish(lot, who, "underground")
    Subdivision.objects.update(jurisdiction=None)
    for row in lot.phases.all():
        row.save()

    (note,) = (note for note in joined().notes if note["code"] == "no_office")

    assert note["behind"] == ["rough", "topout", "trim"]


def count(now=MORNING):
    with CaptureQueriesContext(
        connection,
    ) as caught:
        problem_of(now=now)
    return len(caught)


def test_the_number_of_statements_does_not_grow_with_the_lots(who):
    two_crews()
    street(who, 1)
    one = count()
    for lot in street(who, 3):
        made_ready(lot, Who(member=who.member), "rough")

    assert count() == one
