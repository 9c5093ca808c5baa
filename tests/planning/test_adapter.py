"""From the database to the planner: what each row becomes in the format."""

from datetime import datetime, timedelta

import pytest

from phases.actions.holds import set_hold
from phases.actions.work import work_done
from phases.models import LotPhase
from tests.factories import (
    make_jurisdiction,
    make_lot,
    make_plan,
    make_subdivision,
    phase_of,
    prove_phase,
)
from tests.planning.scene import (
    MORNING,
    TODAY,
    dated,
    day,
    owner,
    street,
    two_crews,
)
from tracker.planning.adapter import problem_of
from tracker.planning.adapter.calendar import Calendar
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.problem_write import write_problem
from tracker.sites.models import InspectionKind, Lot, Subdivision

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


def test_days_are_counted_over_weekends_both_ways():
    calendar = Calendar(TODAY)

    assert [calendar.number_of(calendar.date_of(n)) for n in range(-9, 30)] == list(
        range(-9, 30)
    )
    saturday = TODAY + timedelta(days=5)
    assert calendar.number_of(saturday) == 5
    assert calendar.number_of(saturday, back=True) == 4


@pytest.mark.parametrize(
    ("hour", "minute", "gone", "ahead"),
    [(6, 0, 0, 0), (7, 30, 0, 0), (8, 30, 1, 0), (12, 30, 3, 0), (14, 30, 0, 1)],
)
def test_a_day_half_gone_begins_later_and_one_over_is_tomorrow(
    hour, minute, gone, ahead
):
    calendar = Calendar.at(datetime(2026, 3, 2, hour, minute))  # noqa: DTZ001

    assert (calendar.day0, calendar.gone) == (TODAY + timedelta(days=ahead), gone)


def test_a_ready_lot_is_an_open_job_with_its_dates(who):
    (lot,) = street(who)
    two_crews()

    found = joined()

    first = phases(found)["underground"]
    assert (first.status, first.ready_day, first.need_by_day) == ("open", 0, 6)
    assert (first.crew_quarters, first.priority, first.inspected) == (4, 2, True)
    assert (
        found.keys.phases[found.problem.jobs[0].name] == phase_of(lot, "underground").pk
    )
    assert read_problem(write_problem(found.problem)) == found.problem


def test_a_cover_date_is_a_wall_the_day_before_it(who):
    (lot,) = street(who)
    two_crews()
    dated(lot, who, what="cover", on=day(4))

    first = phases(joined())["underground"]

    assert (first.need_by_day, first.priority) == (3, 3)


def test_a_forecast_that_has_come_is_not_readiness(who):
    street(who, ready=False)
    two_crews()

    found = joined()

    assert phases(found)["underground"].ready_day == 1
    assert ("unsaid", "underground") in codes(found)


def test_a_lot_nobody_dated_and_one_without_plan_are_left_out_and_said(who):
    two_crews()
    place = make_subdivision()
    make_lot(subdivision=place, plan=make_plan(builder=place.builder), now=MORNING)
    make_lot(subdivision=place, now=MORNING)

    found = joined()

    assert found.problem.lots == ()
    assert codes(found) == [("no_date", "underground"), ("no_plan", "underground")]
    later = ["rough", "topout", "trim"]
    assert [note["behind"] for note in found.notes] == [later, later]
    dateless = next(note for note in found.notes if note["code"] == "no_date")
    unsaid = phase_of(Lot.objects.get(pk=dateless["pk"]), "underground").work_reason
    assert dateless["parts"] == unsaid["parts"] != []


def test_a_hold_keeps_work_away_for_the_days_the_owner_set(who):
    (lot,) = street(who)
    two_crews()
    set_hold(
        lot,
        owed_by="builder",
        text="No power",
        phase=phase_of(lot, "underground"),
        who=who,
        now=MORNING,
    )

    assert phases(joined())["underground"].ready_day == 5


def finish(lot, who, code, now=MORNING):
    phase = phase_of(lot, code)
    prove_phase(phase, who=who, now=now)
    work_done(phase, who=who, now=now)


def test_a_shared_inspection_belongs_to_the_last_phase_it_proves(who):
    office = make_jurisdiction(kinds=("ground", "topout", "final"))
    office.kinds.filter(code="topout").update(proves=["rough", "topout"])
    street(who, office=office)
    two_crews()

    found = phases(joined())

    assert {code: one.inspected for code, one in found.items()} == {
        "underground": True,
        "rough": False,
        "topout": True,
        "trim": True,
    }


def test_a_phase_done_whose_inspection_comes_with_the_next_opens_the_next(who):
    office = make_jurisdiction(kinds=("topout", "final"))
    office.kinds.filter(code="topout").update(proves=["rough", "topout"])
    (lot,) = street(who, office=office)
    two_crews()
    finish(lot, who, "underground")
    finish(lot, who, "rough")

    found = phases(joined())

    assert (found["rough"].status, found["topout"].status) == ("passed", "open")


def test_several_kinds_of_a_visit_are_one_inspection_and_share_the_cap(who):
    office = make_jurisdiction(
        kinds=("ground", "sewer"),
        rules={
            "timezone": "America/Chicago",
            "cutoff": "15:00",
            "lead": {"unit": "inspection_days", "amount": 1},
            "cap_per_day": 6,
        },
    )
    office.kinds.filter(code="sewer").update(proves=["underground"])
    street(who, office=office)
    two_crews()

    found = joined()

    (visit,) = found.visits.values()
    assert visit.kinds == ("ground", "sewer")
    line = found.problem.jurisdictions[found.problem.jurisdiction_index[office.name]]
    assert line.daily_cap == 3


def test_kinds_that_wait_for_each_other_lengthen_the_gate_and_shorten_need_by(who):
    office = make_jurisdiction(kinds=("ground", "sewer"))
    office.kinds.filter(code="sewer").update(proves=["underground"], after=["ground"])
    street(who, office=office)
    two_crews()
    plain = phases(joined())["underground"]
    InspectionKind.objects.filter(code="sewer").update(after=[])

    alone = phases(joined())["underground"]

    assert plain.need_by_day < alone.need_by_day
    more = plain.builder_days_after_pass - alone.builder_days_after_pass
    assert more == alone.need_by_day - plain.need_by_day > 0


def test_no_office_named_plans_the_phase_and_nothing_behind_it(who):
    street(who)
    two_crews()
    Subdivision.objects.update(jurisdiction=None)
    for row in LotPhase.objects.all():
        row.save()

    found = joined()

    assert {p: one.inspected for p, one in phases(found).items()} == {
        "underground": False
    }
    assert ("no_office", "underground") in codes(found)
