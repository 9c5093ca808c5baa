"""Date rules against a slow walk over every day and every minute."""

from datetime import date, datetime, timedelta

from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from inspections.dates import NotHeld, earliest, latest_request, parse_rules
from tests.inspections.date_walk import NAMES, Office

WINDOWS = [
    None,
    [["08:00", "12:00"], ["13:00", "16:00"]],
    [["09:00", "12:00"], ["11:00", "13:00"], ["12:00", "17:00"]],
    [["13:00", "16:00"], ["06:00", "09:00"]],
]
HOURS = [
    None,
    ["07:30", "15:00"],
    {"default": ["08:30", "16:00"], "fri": ["08:30", "11:00"]},
]
PLACES = [None, {"country": "US", "subdiv": "TX"}, {"country": "US", "subdiv": "NC"}]
ZONES = ["America/New_York", "America/Chicago", "America/Denver", "America/Phoenix"]
# Near both clock changes of 2026, the year's end and an ordinary week.
STARTS = [date(2026, 3, 4), date(2026, 10, 28), date(2026, 12, 22), date(2027, 6, 7)]

weekdays = st.lists(st.sampled_from(NAMES), min_size=1, max_size=6, unique=True)
nearby = st.builds(
    lambda start, on: start + timedelta(on),
    st.sampled_from(STARTS),
    st.integers(0, 20),
)
moments = st.builds(
    lambda day, minutes, seconds: (
        datetime.combine(day, datetime.min.time())
        + timedelta(minutes=minutes, seconds=seconds)
    ),
    nearby,
    st.one_of(st.sampled_from([0, 90, 150, 599, 600, 601, 1439]), st.integers(0, 1439)),
    st.sampled_from([0, 0, 0, 30]),
)
counts = st.dictionaries(nearby.map(str), st.integers(0, 3), max_size=8)


@st.composite
def written_rules(draw, unit):
    most = 5 if unit == "inspection_days" else 100
    rules = {
        "timezone": draw(st.sampled_from(ZONES)),
        "lead": {"unit": unit, "amount": draw(st.integers(0, most))},
        "inspection_weekdays": draw(weekdays),
        "request_weekdays": draw(weekdays),
        "holidays": draw(st.sampled_from(PLACES)),
        "closed_dates": draw(st.lists(nearby.map(str), max_size=4)),
        "cutoff": draw(st.sampled_from([None, "00:00", "10:00", "23:30"])),
        "windows": draw(st.sampled_from(WINDOWS)),
        "cap_per_day": draw(st.sampled_from([None, 1, 2])),
        "book_ahead_days": draw(st.sampled_from([None, None, 5, 15])),
    }
    hours = draw(st.sampled_from(HOURS))
    if hours:
        rules["hours"] = hours
    if draw(st.booleans()):
        never = {
            "weekday": draw(st.sampled_from(NAMES)),
            "nth": draw(st.integers(1, 5)),
        }
        rules["closed_monthly"] = [never]
    return {key: value for key, value in rules.items() if value is not None}


def by_day(counts_by_text):
    return {date.fromisoformat(day): count for day, count in counts_by_text.items()}


def days_later(asked, wait):
    return None if wait is None else asked.date() + timedelta(wait)


def check_earliest(rules, asked, booked, not_before):
    office = Office(rules)
    # A lead always longer than the office books ahead has its own test below.
    assume(not office.never_taken(asked))
    answer = earliest(
        parse_rules(rules),
        requested_at=asked,
        booked=by_day(booked),
        not_before=not_before,
    )
    assert answer.as_json() == office.earliest(asked, booked, not_before)


@settings(max_examples=150, deadline=None)
@given(
    rules=written_rules("inspection_days"),
    asked=moments,
    booked=counts,
    wait=st.none() | st.integers(0, 12),
)
def test_a_lead_in_days_agrees_with_a_walk_over_every_day(rules, asked, booked, wait):
    check_earliest(rules, asked, booked, days_later(asked, wait))


@settings(max_examples=25, deadline=None)
@given(
    rules=written_rules("hours"),
    asked=moments,
    booked=counts,
    wait=st.none() | st.integers(0, 12),
)
def test_a_lead_in_hours_agrees_with_a_walk_over_every_minute(
    rules, asked, booked, wait
):
    check_earliest(rules, asked, booked, days_later(asked, wait))


@settings(max_examples=100, deadline=None)
@given(
    rules=written_rules("inspection_days"),
    day=nearby,
    booked=counts,
)
def test_the_last_minute_for_a_day_gets_it_and_the_next_minute_does_not(
    rules, day, booked
):
    check_latest(rules, day, booked)


@settings(max_examples=15, deadline=None)
@given(rules=written_rules("hours"), day=nearby, booked=counts)
@example(
    rules={
        "timezone": ZONES[0],
        "lead": {"unit": "hours", "amount": 30},
        "inspection_weekdays": NAMES,
    },
    day=date(2026, 11, 1),
    booked={},
)
@example(
    rules={
        "timezone": ZONES[0],
        "lead": {"unit": "hours", "amount": 30},
        "inspection_weekdays": NAMES,
    },
    day=date(2026, 3, 8),
    booked={},
)
def test_the_exact_minute_under_hours_gets_the_day_and_the_next_does_not(
    rules, day, booked
):
    check_latest(rules, day, booked)


def check_latest(rules, day, booked):
    office = Office(rules)
    answer = latest_request(parse_rules(rules), inspect_on=day, booked=by_day(booked))
    if office.not_to_have(day, booked):
        assert answer == NotHeld(office.not_to_have(day, booked))
        return
    if answer == NotHeld("too far ahead"):
        ahead = rules["book_ahead_days"]
        for back in range(ahead + 1):
            asked = datetime.combine(day - timedelta(back), datetime.min.time())
            got = office.plain_earliest(asked, booked, day)
            assert got["inspect_on"] != str(day)
        return
    assert office.gets(answer.at, day, booked)
    assert not office.gets(answer.at + timedelta(minutes=1), day, booked)
