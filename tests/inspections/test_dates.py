"""The corners of the date rules, each worked by hand."""

from datetime import UTC, date, datetime

import pytest

from inspections.dates import (
    CallInBy,
    Earliest,
    Malformed,
    NotHeld,
    TooFarAhead,
    Window,
    earliest,
    is_open,
    latest_request,
    parse_rules,
    why_closed,
)
from tests.inspections.date_walk import NAMES

EASTERN = {"timezone": "America/New_York"}
NEXT_DAY = EASTERN | {"lead": {"unit": "inspection_days", "amount": 1}}
SAME_DAY = EASTERN | {"lead": {"unit": "inspection_days", "amount": 0}}
IN_24_HOURS = EASTERN | {"lead": {"unit": "hours", "amount": 24}}


def at(text):
    return datetime.fromisoformat(text)


def asked(rules, moment, **more):
    return earliest(parse_rules(rules), requested_at=at(moment), **more)


def by(rules, day, **more):
    on = date.fromisoformat(day)
    return latest_request(parse_rules(rules), inspect_on=on, **more)


@pytest.mark.parametrize(
    ("moment", "counted_on"),
    [
        ("2026-12-01T15:00:00", "2026-12-01"),
        ("2026-12-01T15:00:01", "2026-12-02"),
        ("2026-12-01T00:00:00", "2026-12-01"),
        ("2026-12-05T09:00:00", "2026-12-07"),
        ("2026-12-04T15:01:00", "2026-12-07"),
    ],
)
def test_the_cut_off_counts_the_minute_itself_and_nothing_after(moment, counted_on):
    answer = asked(NEXT_DAY | {"cutoff": "15:00"}, moment)

    assert answer.counted_on == date.fromisoformat(counted_on)


def test_a_request_counts_on_a_day_closed_for_inspections_only():
    rules = NEXT_DAY | {"closed_monthly": [{"weekday": "wed", "nth": 2}]}

    assert asked(rules, "2026-12-09T10:00") == Earliest(
        date(2026, 12, 9), date(2026, 12, 10), None
    )
    assert by(rules, "2026-12-10") == CallInBy(at("2026-12-09T23:59"))
    assert by(rules, "2026-12-09") == NotHeld("closed monthly")


def test_a_holiday_on_a_sunday_closes_the_monday_on_which_it_is_observed():
    rules = NEXT_DAY | {"holidays": {"country": "US"}}

    # 4 July 2027 is a Sunday.
    assert why_closed(parse_rules(rules), date(2027, 7, 5)) == "holiday"
    assert asked(rules, "2027-07-02T09:00") == Earliest(
        date(2027, 7, 2), date(2027, 7, 6), None
    )
    assert by(rules, "2027-07-06") == CallInBy(at("2027-07-02T23:59"))


def test_new_year_observed_in_the_old_year_closes_its_last_day():
    rules = NEXT_DAY | {"holidays": {"country": "US"}, "cutoff": "12:00"}

    # 1 January 2028 is a Saturday.
    assert asked(rules, "2027-12-30T12:01") == Earliest(
        date(2028, 1, 3), date(2028, 1, 4), None
    )
    assert by(rules, "2028-01-03") == CallInBy(at("2027-12-30T12:00"))


def test_a_weekend_holiday_is_called_a_weekday_first():
    rules = parse_rules(NEXT_DAY | {"holidays": {"country": "US"}})

    assert why_closed(rules, date(2026, 7, 4)) == "weekday"
    assert not is_open(rules, date(2026, 7, 3))


def test_a_holiday_that_is_also_closed_is_called_a_holiday():
    rules = NEXT_DAY | {
        "holidays": {"country": "US"},
        "closed_dates": ["2026-12-25", "2026-12-28"],
        "closed_monthly": [{"weekday": "mon", "nth": 4}],
        "cap_per_day": 1,
    }
    booked = {date(2026, 12, 28): 1, date(2026, 12, 29): 1}

    assert [
        by(rules, f"2026-12-{day}", booked=booked).reason for day in (25, 28, 29)
    ] == ["holiday", "closed", "full"]


def test_skipped_starts_at_the_day_that_the_lead_or_the_lot_allows():
    rules = NEXT_DAY | {"cap_per_day": 2}
    booked = {date(2026, 12, 4): 2}

    assert asked(rules, "2026-12-03T09:00", booked=booked).skipped == (
        (date(2026, 12, 4), "full"),
        (date(2026, 12, 5), "weekday"),
        (date(2026, 12, 6), "weekday"),
    )
    later = asked(rules, "2026-12-03T09:00", not_before=date(2026, 12, 6))
    assert (later.inspect_on, later.skipped) == (
        date(2026, 12, 7),
        ((date(2026, 12, 6), "weekday"),),
    )


def test_a_day_not_yet_full_is_not_skipped():
    booked = {date(2026, 12, 4): 1}

    answer = asked(NEXT_DAY | {"cap_per_day": 2}, "2026-12-03T09:00", booked=booked)

    assert answer == Earliest(date(2026, 12, 3), date(2026, 12, 4), None)


def test_a_same_day_lead_goes_to_the_next_inspection_day_when_there_is_none():
    rules = SAME_DAY | {"inspection_weekdays": ["mon"], "request_weekdays": ["wed"]}

    assert asked(rules, "2026-12-02T22:00") == Earliest(
        date(2026, 12, 2), date(2026, 12, 7), None
    )
    assert by(rules, "2026-12-07") == CallInBy(at("2026-12-02T23:59"))


def test_hours_are_elapsed_hours_over_the_short_night():
    # The night of 8 March 2026 has no 02:30: 24 hours from 08:30 end at 09:30.
    rules = IN_24_HOURS | {
        "inspection_weekdays": NAMES,
        "windows": [["09:00", "12:00"], ["09:30", "12:30"]],
    }

    assert asked(rules, "2026-03-07T08:30").window == Window(
        at("2026-03-08T09:30").time(), at("2026-03-08T12:30").time()
    )
    assert by(rules, "2026-03-08") == CallInBy(at("2026-03-07T08:30"))


def test_hours_are_elapsed_hours_over_the_long_night():
    # The night of 1 November 2026 is an hour longer: from 09:30 they end at 08:30.
    rules = IN_24_HOURS | {
        "inspection_weekdays": NAMES,
        "windows": [["08:00", "12:00"], ["08:30", "12:30"]],
    }

    assert asked(rules, "2026-10-31T09:30").inspect_on == date(2026, 11, 1)
    assert asked(rules, "2026-10-31T09:31").inspect_on == date(2026, 11, 2)
    assert by(rules, "2026-11-01") == CallInBy(at("2026-10-31T09:30"))


def test_a_time_that_comes_twice_is_the_first_and_a_missing_one_is_read_before():
    rules = EASTERN | {
        "lead": {"unit": "hours", "amount": 7},
        "inspection_weekdays": NAMES,
        "hours": ["07:30", "16:00"],
    }

    # 01:30 of 1 November, the first one, is 05:30 UTC; 7 hours on it is 07:30.
    assert asked(rules, "2026-11-01T01:30").inspect_on == date(2026, 11, 1)
    assert asked(rules, "2026-11-01T01:31").inspect_on == date(2026, 11, 2)
    # 02:30 of 8 March was never shown: by the clock before, 07:30 UTC.
    missing = rules | {"hours": ["10:30", "16:00"]}
    assert asked(missing, "2026-03-08T02:30").inspect_on == date(2026, 3, 8)
    assert asked(missing, "2026-03-08T03:31").inspect_on == date(2026, 3, 9)


def test_an_aware_moment_is_read_by_the_office_clock():
    rules = parse_rules(NEXT_DAY | {"cutoff": "15:00"})

    by_cutoff = earliest(rules, requested_at=datetime(2026, 12, 1, 20, 0, tzinfo=UTC))
    after = earliest(rules, requested_at=datetime(2026, 12, 1, 20, 1, tzinfo=UTC))

    assert (by_cutoff.counted_on, after.counted_on) == (
        date(2026, 12, 1),
        date(2026, 12, 2),
    )


def test_the_cut_off_and_request_days_do_not_touch_a_lead_in_hours():
    rules = IN_24_HOURS | {"cutoff": "00:00", "request_weekdays": ["mon"]}

    assert asked(rules, "2026-12-06T08:00") == Earliest(None, date(2026, 12, 7), None)
    assert asked(rules, "2026-12-06T08:01") == Earliest(None, date(2026, 12, 8), None)


def test_the_first_day_under_hours_is_the_local_day_not_the_one_of_utc():
    # 24 hours from Saturday evening end on Sunday evening, already Monday in UTC.
    assert asked(IN_24_HOURS, "2026-12-05T21:00").skipped == (
        (date(2026, 12, 6), "weekday"),
    )


def test_a_full_day_is_skipped_even_when_its_windows_open_too_early():
    booked = {date(2026, 12, 2): 1}
    rules = IN_24_HOURS | {"cap_per_day": 1}

    answer = asked(rules, "2026-12-01T10:00", booked=booked)

    assert (answer.inspect_on, answer.skipped) == (
        date(2026, 12, 3),
        ((date(2026, 12, 2), "full"),),
    )


def test_a_day_too_far_ahead_names_the_first_day_to_ask_again():
    rules = NEXT_DAY | {"book_ahead_days": 15}

    assert asked(rules, "2026-12-01T09:00", not_before=date(2026, 12, 16)) == Earliest(
        date(2026, 12, 1), date(2026, 12, 16), None
    )
    # 19 December is a Saturday, so the day would be Monday the 21st.
    assert asked(
        rules, "2026-12-01T09:00", not_before=date(2026, 12, 19)
    ) == TooFarAhead(date(2026, 12, 6))


def test_a_lead_longer_than_the_office_books_ahead_is_never_promised():
    rules = EASTERN | {
        "lead": {"unit": "inspection_days", "amount": 3},
        "book_ahead_days": 3,
    }

    # Three inspection days over a weekend are five calendar days.
    assert asked(rules, "2026-12-02T09:00") == TooFarAhead(date(2026, 12, 7))
    assert by(rules, "2026-12-07") == NotHeld("too far ahead")
    assert by(rules, "2026-12-10") == CallInBy(at("2026-12-07T23:59"))
    with pytest.raises(Malformed, match=r"rules\.book_ahead_days"):
        asked(rules | {"book_ahead_days": 2}, "2026-12-02T09:00")


def test_rules_under_which_no_day_is_ever_open_end_with_their_key():
    never = [{"weekday": "wed", "nth": nth} for nth in range(1, 6)]
    rules = NEXT_DAY | {"inspection_weekdays": ["wed"], "closed_monthly": never}

    with pytest.raises(Malformed) as refusal:
        asked(rules, "2026-12-02T09:00")

    assert refusal.value.key == "rules.closed_monthly"
    assert by(rules, "2026-12-09") == NotHeld("closed monthly")


def test_a_rare_day_is_found_however_far():
    never = [{"weekday": "mon", "nth": nth} for nth in range(1, 5)]
    rules = NEXT_DAY | {
        "inspection_weekdays": ["mon"],
        "closed_monthly": never,
        "closed_dates": [f"20{year}-05-31" for year in range(26, 30)],
        "holidays": {"country": "US"},
    }

    assert asked(rules, "2027-03-30T09:00").inspect_on == date(2027, 8, 30)


def test_the_last_of_a_long_lead_is_counted_back_over_year_end_and_holidays():
    rules = EASTERN | {
        "lead": {"unit": "inspection_days", "amount": 3},
        "holidays": {"country": "US"},
        "cutoff": "10:00",
    }

    # Back from 5 January 2027: 5 and 4 January, 31 December; so asked on the 30th.
    assert by(rules, "2027-01-05") == CallInBy(at("2026-12-30T10:00"))


def test_windows_are_offered_in_the_order_in_which_they_open():
    rules = NEXT_DAY | {"windows": [["13:00", "16:00"], ["08:00", "12:00"]]}

    answer = asked(rules, "2026-12-01T09:00")

    assert answer.window.as_json() == ["08:00", "12:00"]
