"""The planner's simple offices beside the exact date rules."""

from dataclasses import replace

import pytest

from tests.factories import make_jurisdiction
from tests.planning.scene import MORNING, day, owner, street, two_crews
from tracker.planning.adapter import problem_of
from tracker.planning.adapter.calendar import Calendar
from tracker.planning.adapter.offices import simple_day
from tracker.planning.core.judge import judge
from tracker.planning.core.plan import write_plan
from tracker.planning.core.problem_write import write_problem
from tracker.planning.core.solve import Effort
from tracker.planning.exact import disagreements
from tracker.planning.solving import solve_exactly

pytestmark = pytest.mark.django_db

OFFICES = {
    "next day": {
        "cutoff": "15:00",
        "lead": {"unit": "inspection_days", "amount": 1},
    },
    "two days a week, few visits": {
        "cutoff": "10:00",
        "lead": {"unit": "inspection_days", "amount": 1},
        "inspection_weekdays": ["tue", "thu"],
        "cap_per_day": 2,
    },
    "in hours": {
        "lead": {"unit": "hours", "amount": 24},
        "windows": [["08:00", "12:00"], ["13:00", "16:00"]],
        "cap_per_day": 3,
    },
    "three days and closed ones": {
        "cutoff": "12:00",
        "lead": {"unit": "inspection_days", "amount": 3},
        "closed_dates": [day(n).isoformat() for n in (2, 3, 5, 9, 10)],
    },
}


def effort():
    return Effort(iterations=3000)


@pytest.mark.parametrize("name", OFFICES)
def test_the_published_plan_agrees_with_the_offices_exact_rules(name):
    office = make_jurisdiction(rules={"timezone": "America/Chicago", **OFFICES[name]})
    street(owner(), 5, office=office)
    two_crews()
    joined = problem_of(now=MORNING)

    joined, plan, left = solve_exactly(joined, effort(), now=MORNING)

    assert left == []
    assert disagreements(joined, plan, now=MORNING) == []
    assert judge(write_problem(joined.problem), write_plan(plan)).breaches == ()


@pytest.mark.parametrize("name", OFFICES)
def test_the_simple_office_never_promises_an_earlier_day_in_an_open_week(name):
    rules = {"timezone": "America/Chicago", **OFFICES[name]}
    rules.pop("closed_dates", None)
    office = make_jurisdiction(rules=rules)
    street(owner(), office=office)
    two_crews()
    joined = problem_of(now=MORNING)
    (visit, *_) = joined.visits.values()
    line = joined.problem.jurisdictions[joined.problem.jurisdiction_index[office.name]]
    calendar = Calendar(joined.calendar.day0)
    from datetime import timedelta

    from inspections.offices import when

    for number in range(15):
        for quarter in range(1, 5):
            at = calendar.moment(4 * number + quarter)
            found = when(
                visit.office,
                kind="ground",
                requested_at=at,
                not_before=at.date() + timedelta(days=1),
            )
            exact = calendar.number_of(found.inspect_on)
            assert simple_day(line, calendar, number, quarter) >= exact


def test_a_visit_the_office_does_not_give_is_found():
    office = make_jurisdiction(
        rules={"timezone": "America/Chicago", **OFFICES["two days a week, few visits"]}
    )
    street(owner(), 1, office=office)
    two_crews()
    joined = problem_of(now=MORNING)
    joined, plan, _ = solve_exactly(joined, effort(), now=MORNING)
    first = plan.jobs[0]
    early = replace(first, inspection_day=first.inspection_day - 1)
    wrong = replace(plan, jobs=(early, *plan.jobs[1:]))

    (found,) = disagreements(joined, wrong, now=MORNING)

    assert (found.lot, found.phase, found.why) == (*first.name, {"code": "day_weekday"})


def test_a_day_that_is_full_is_found_with_what_is_booked():
    office = make_jurisdiction(
        rules={"timezone": "America/Chicago", **OFFICES["two days a week, few visits"]}
    )
    street(owner(), 1, office=office)
    two_crews()
    joined = problem_of(now=MORNING)
    joined, plan, _ = solve_exactly(joined, effort(), now=MORNING)
    when = joined.calendar.date_of(plan.jobs[0].inspection_day)
    full = replace(joined, booked={office.pk: {when: 2}})

    (found,) = disagreements(full, plan, now=MORNING)

    assert found.why == {"code": "day_full"}


def test_a_visit_on_a_day_used_up_by_others_is_put_off_and_no_day_is_closed():
    office = make_jurisdiction(
        rules={"timezone": "America/Chicago", **OFFICES["two days a week, few visits"]}
    )
    street(owner(), 1, office=office)
    two_crews()
    joined = problem_of(now=MORNING)
    joined, plan, _ = solve_exactly(joined, effort(), now=MORNING)
    last = plan.jobs[-1]
    when = joined.calendar.date_of(last.inspection_day)
    taken = replace(joined, booked={office.pk: {when: 2}})

    again, put_off, left = solve_exactly(taken, effort(), now=MORNING, start=plan)

    assert left == []
    assert put_off.jobs[-1].inspection_day - last.inspection_day in (2, 3)
    assert again.problem.jurisdictions == taken.problem.jurisdictions
