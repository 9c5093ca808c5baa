"""By when to call in, and the first day that can be had. Plain dates, no database."""

from datetime import date, datetime, time, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspections.dates import Earliest, TooFarAhead, earliest
from inspections.offices import AskByPhone, parse_office
from inspections.timing import Deadline, First, cut_off, deadline, first_day
from tests.inspections.scene import CENTRAL, NEXT_DAY, at

FRI = date(2026, 3, 6)
TUE_THU = {
    "timezone": "America/Chicago",
    "inspection_weekdays": ["tue", "thu"],
    "cutoff": "10:00",
    "lead": {"unit": "inspection_days", "amount": 1},
}


def last_call(rules, before, after=None, booked=None, by_kind=None, covers=None):
    return deadline(
        parse_office(rules, by_kind=by_kind),
        "topout",
        covers={"topout": before, **(covers or {})},
        after=after or {"topout": ()},
        booked=booked or {},
    )


def test_the_last_call_is_for_the_day_before_the_cover():
    assert last_call(NEXT_DAY, FRI) == Deadline(
        "topout", date(2026, 3, 5), at("2026-03-04T15:00")
    )


def test_an_office_of_two_days_a_week_asks_for_an_earlier_call():
    # Requests count on the same two days, so Tuesday is asked for on Thursday.
    assert last_call(TUE_THU, date(2026, 3, 5)) == Deadline(
        "topout", date(2026, 3, 3), at("2026-02-26T10:00")
    )


HOURS = {"timezone": "America/Chicago", "lead": {"unit": "hours", "amount": 24}}
MON, TUE = date(2026, 3, 9), date(2026, 3, 10)


@pytest.mark.parametrize(
    ("more", "by"),
    [
        ({}, "2026-03-06T23:59"),
        ({"request_weekdays": ["mon", "sun"]}, "2026-03-08T08:00"),
        ({"book_ahead_days": 1}, "2026-03-08T08:00"),
    ],
)
def test_hours_that_run_back_into_a_weekend_ask_for_a_call_while_the_office_is_there(
    more, by
):
    assert last_call(HOURS | more, TUE) == Deadline("topout", MON, at(by))
    office = parse_office(HOURS | more)
    assert cut_off(office, "topout", inspect_on=MON, booked={}) == at(by)


def test_a_full_day_moves_the_last_call_forward():
    rules = NEXT_DAY | {"cap_per_day": 2}

    assert last_call(rules, FRI, booked={date(2026, 3, 5): 2}) == Deadline(
        "topout", date(2026, 3, 4), at("2026-03-03T15:00")
    )


def test_what_another_kind_waits_for_passes_before_that_one_is_called():
    after = {"topout": (), "gas": ("topout",)}
    found = last_call(NEXT_DAY, FRI, after=after, covers={"gas": FRI})

    # Gas on Thursday is called by Wednesday; top out is held on Tuesday at the latest.
    assert found == Deadline("topout", date(2026, 3, 3), at("2026-03-02T15:00"))


@pytest.mark.parametrize("covers", [{}, {"final": date(2026, 6, 1)}])
def test_what_waits_for_it_in_a_later_phase_does_not_hurry_it(covers):
    after = {"topout": (), "final": ("topout",)}

    assert last_call(NEXT_DAY, FRI, after=after, covers=covers) == Deadline(
        "topout", date(2026, 3, 5), at("2026-03-04T15:00")
    )


def test_a_kind_with_rules_of_its_own_follows_those():
    own = {"topout": {"lead": {"unit": "inspection_days", "amount": 3}}}

    assert last_call(NEXT_DAY, FRI, by_kind=own) == Deadline(
        "topout", date(2026, 3, 5), at("2026-03-02T15:00")
    )


def test_an_office_that_publishes_no_lead_is_asked_by_phone():
    rules = NEXT_DAY | {"lead": "unknown"}

    assert isinstance(last_call(rules, FRI), AskByPhone)


def first(rules, now="2026-03-02T09:00", ready_on=None, after=None):
    return first_day(
        parse_office(rules),
        "topout",
        now=at(now),
        ready_on=ready_on,
        after=after or {"topout": ()},
        booked={},
    )


def test_within_three_days_is_taken_at_its_latest_and_ready_at_its_first():
    rules = {
        "timezone": "America/Chicago",
        "within": {"unit": "inspection_days", "amount": 3, "first": 1},
    }

    assert first(rules) == First("topout", date(2026, 3, 5), date(2026, 3, 3))


def test_planned_work_is_not_inspected_before_it_is_done():
    assert first(NEXT_DAY, ready_on=FRI).inspect_on == FRI


def test_a_kind_that_waits_for_another_comes_a_call_later():
    found = first(NEXT_DAY, after={"topout": ("ground",), "ground": ()})

    # Ground on Tuesday; its result is there at 17:00, after the cut-off: Thursday.
    assert found.inspect_on == date(2026, 3, 5)


def test_two_kinds_that_wait_for_each_other_end_somewhere():
    after = {"topout": ("gas",), "gas": ("topout",)}

    assert isinstance(first(NEXT_DAY, after=after), First)
    covers = {"gas": FRI}
    assert isinstance(last_call(NEXT_DAY, FRI, after=after, covers=covers), Deadline)


@settings(max_examples=60, deadline=None)
@given(
    before=st.dates(date(2026, 1, 10), date(2027, 12, 20)),
    lead=st.integers(0, 4),
    days=st.sets(
        st.sampled_from(["mon", "tue", "wed", "thu", "fri", "sat"]), min_size=1
    ),
    cutoff=st.sampled_from([None, "07:00", "15:30"]),
)
def test_a_call_at_the_last_minute_meets_the_day_and_a_minute_later_does_not(
    before, lead, days, cutoff
):
    rules = {
        "timezone": "America/Chicago",
        "inspection_weekdays": sorted(days),
        "holidays": {"country": "US", "subdiv": "TX"},
        "cutoff": cutoff,
        "lead": {"unit": "inspection_days", "amount": lead},
    }
    office = parse_office(rules)
    found = deadline(office, "", covers={"": before}, after={"": ()}, booked={})

    assert found.inspect_on < before

    def got(moment):
        answer = earliest(
            office.usual.rules, requested_at=moment, not_before=found.inspect_on
        )
        assert isinstance(answer, Earliest | TooFarAhead)
        return answer.inspect_on

    assert got(found.call_in_by) == found.inspect_on
    later = earliest(
        office.usual.rules, requested_at=found.call_in_by + timedelta(minutes=1)
    )
    assert later.inspect_on >= before or later.inspect_on > found.inspect_on


@pytest.mark.parametrize("day", ["2026-03-09", "2026-11-02"])
def test_an_hours_lead_over_a_clock_change_counts_elapsed_hours(day):
    rules = {
        "timezone": "America/Chicago",
        "lead": {"unit": "hours", "amount": 24},
        "hours": ["08:00", "16:00"],
        "inspection_weekdays": ["mon", "tue", "wed", "thu", "fri", "sat", "sun"],
    }
    before = date.fromisoformat(day)
    found = last_call(rules, before)
    opens = datetime.combine(found.inspect_on, time(8), tzinfo=CENTRAL)

    assert opens.timestamp() - found.call_in_by.timestamp() == 24 * 3600
