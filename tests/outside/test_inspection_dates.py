"""Ten public offices as their pages (named in public_offices.json) state their rules,
and the holidays and clock changes that the law sets.

The pages are as once stored, several of them old; none is a statement of today's rule.
"""

import json
from datetime import date, datetime, time
from decimal import Decimal
from pathlib import Path

import pytest

from inspections.dates import (
    CallInBy,
    Earliest,
    NotHeld,
    TooFarAhead,
    Window,
    latest_request,
    parse_rules,
    why_closed,
)
from inspections.dates.cases import answer_case
from inspections.offices import (
    AskByPhone,
    Fee,
    Within,
    by_when,
    first_to_pass,
    parse_office,
    permit_expires,
    reinspection_fee,
    visits_left,
    when,
    why_not_ask,
    why_not_cancel,
    why_test_refused,
)
from tracker.words import say

PAGES = json.loads(
    Path(__file__).with_name("public_offices.json").read_text(encoding="utf-8")
)

# Worked cases of another implementation, a plain walk on top of the holidays library.
CASES = [
    json.loads(line)
    for line in Path(__file__)
    .with_name("date_cases.jsonl")
    .read_text(encoding="utf-8")
    .splitlines()
]


@pytest.mark.parametrize("case", CASES, ids=[case["id"] for case in CASES])
def test_worked_cases_are_answered_as_expected(case):
    assert answer_case(case) == case["expect"]


def test_all_fourteen_worked_cases_are_there():
    assert len({case["id"] for case in CASES}) == 14


def office(name):
    row = PAGES[name]
    record = row["record"] | {"source": row["page"]}
    return parse_office(row["rules"], record, by_kind=row.get("by_kind"))


def asked(name, moment, **more):
    return when(office(name), requested_at=datetime.fromisoformat(moment), **more)


def d(text):
    return date.fromisoformat(text)


def at(text):
    return datetime.fromisoformat(text)


def window(opens, closes):
    return Window(time.fromisoformat(opens), time.fromisoformat(closes))


def test_every_office_is_read_and_names_its_page():
    assert len(PAGES) == 10
    assert all(office(name).source == PAGES[name]["page"] for name in PAGES)


def test_lake_oswego_comes_the_same_day_when_asked_before_seven():
    # ci.oswego.or.us/building/building-inspection-process
    name = "Lake Oswego OR"

    assert asked(name, "2026-12-02T06:59") == Earliest(
        d("2026-12-02"), d("2026-12-02"), None
    )
    assert asked(name, "2026-12-04T07:00") == Earliest(
        d("2026-12-07"), d("2026-12-07"), None
    )
    assert reinspection_fee(office(name), reason="no_access", visit=1) == Fee(
        None, False
    )
    assert permit_expires(
        office(name),
        issued_on=d("2026-01-05"),
        inspected=[(d("2026-05-01"), True), (d("2026-06-01"), False)],
    ) == d("2026-10-28")  # 180 days from the last approved inspection


def test_roseville_takes_calls_until_half_past_eleven_for_15_days_ahead():
    # roseville.ca.us building inspection page
    name = "Roseville CA"
    by_day = office(name)

    assert asked(name, "2026-12-01T23:30").inspect_on == d("2026-12-02")
    assert asked(name, "2026-12-01T23:31").inspect_on == d("2026-12-03")
    late = "2026-12-01T14:01"
    assert asked(name, late, kind="pre_final_sewer").inspect_on == d("2026-12-03")
    assert asked(name, late, not_before=d("2026-12-17")) == TooFarAhead(d("2026-12-02"))
    assert by_when(by_day, inspect_on=d("2026-12-25")) == NotHeld("holiday")


def test_san_rafael_comes_the_same_day_when_asked_by_six():
    # cityofsanrafael.org/construction-inspections-information
    name = "San Rafael CA"
    there = office(name)

    assert asked(name, "2026-12-02T06:00") == Earliest(
        d("2026-12-02"), d("2026-12-02"), window("08:00", "12:00")
    )
    assert asked(name, "2026-12-02T06:01").inspect_on == d("2026-12-03")
    today = d("2026-12-02")
    assert why_not_ask(there, today=today) is None
    assert "fee" in why_not_ask(there, today=today, fees_due=True)
    assert "expired" in why_not_ask(
        there, today=today, permit_expires_on=d("2026-12-01")
    )
    assert "hold" in why_not_ask(there, today=today, hold=True)


def test_diamond_bar_has_no_fridays_and_overlapping_windows():
    # diamondbarca.gov/999/Request-Inspection (a page of the pandemic years)
    name = "Diamond Bar CA"

    assert asked(name, "2026-12-03T23:00") == Earliest(
        d("2026-12-03"), d("2026-12-07"), window("09:00", "12:00")
    )
    assert by_when(office(name), inspect_on=d("2026-12-04")) == NotHeld("weekday")


def test_cleburne_comes_the_next_workday_and_charges_by_the_third_request():
    # codelibrary.amlegal.com/codes/cleburne (mechanical chapter)
    name = "Cleburne TX"
    there = office(name)

    assert asked(name, "2026-12-04T23:59").inspect_on == d("2026-12-07")
    assert asked(name, "2026-12-04T09:00", kind="gas_test") == Within(
        d("2026-12-04"), d("2026-12-04"), d("2026-12-07")
    )
    assert reinspection_fee(there, reason="failed", visit=2) is None
    assert reinspection_fee(there, reason="failed", visit=3) == Fee(None, False)
    assert [visits_left(there, made=made) for made in (0, 2, 3)] == [2, 0, 0]
    day = d("2026-12-08")
    assert why_not_cancel(there, inspect_on=day, now=at("2026-12-08T07:59")) is None
    assert why_not_cancel(there, inspect_on=day, now=at("2026-12-08T08:00")) == (
        "cancelling ended on 2026-12-08 at 08:00"
    )


def test_kennedale_publishes_no_lead_so_it_is_asked_by_phone():
    # cityofkennedale.com/295/Inspections
    name = "Kennedale TX"

    assert asked(name, "2026-12-01T09:00") == AskByPhone(("lead", "cutoff"))
    assert by_when(office(name), inspect_on=d("2026-12-03")) == AskByPhone(
        ("lead", "cutoff")
    )
    assert why_closed(office(name).usual.rules, d("2026-12-07")) == "weekday"
    assert reinspection_fee(office(name), reason="failed", visit=1) == Fee(
        Decimal("55.00"), False
    )


def test_lake_worth_wants_its_fee_before_anything_further():
    # lakeworthtx.org/permitsinspections.htm
    name = "Lake Worth TX"

    answer = asked(name, "2026-12-01T09:00")

    assert answer == AskByPhone(("lead", "cutoff", "inspection_weekdays"))
    assert answer.sentence == (
        "Ask the office by phone: it does not publish how soon it comes and "
        "its cut-off and its inspection days."
    )
    assert reinspection_fee(office(name), reason="failed", visit=1) == Fee(
        Decimal("50.00"), True
    )
    assert "paid" in why_not_ask(office(name), today=d("2026-12-01"), fees_due=True)


def test_deer_park_promises_72_hours_so_the_lot_is_ready_at_once():
    # deerparktx.gov/508/Building-Inspections
    name = "Deer Park TX"

    assert asked(name, "2026-12-03T13:00") == Within(
        d("2026-12-03"), d("2026-12-03"), d("2026-12-06")
    )
    # Nobody may stand before a lot that is ready on the 10th: so it is asked then.
    assert asked(name, "2026-12-03T13:00", not_before=d("2026-12-10")) == Within(
        d("2026-12-10"), d("2026-12-10"), d("2026-12-13")
    )


def test_missouri_city_names_what_passes_first_and_no_dates():
    # tx-missouricity.civicplus.com/331/Inspection-Process
    there = office("Missouri City TX")

    assert isinstance(asked("Missouri City TX", "2026-12-01T09:00"), AskByPhone)
    assert first_to_pass(there, "frame", passed=[]) == ("top_out",)
    assert first_to_pass(there, "building_final", passed=["plumbing_final"]) == (
        "gas_test",
    )


def test_kanab_comes_within_three_days_and_refuses_air_on_plastic_drains():
    # kanab.utah.gov/2267/Inspections
    name = "Kanab UT"
    there = office(name)

    # 26 November 2026 is Thanksgiving; Friday is a (short) workday in Utah.
    assert asked(name, "2026-11-25T12:00") == Within(
        d("2026-11-25"), d("2026-11-27"), d("2026-12-01")
    )
    assert by_when(there, inspect_on=d("2026-12-01")) == CallInBy(
        at("2026-11-25T23:59")
    )
    refused = why_test_refused(there, system="dwv", medium="air", plastic=True)
    assert say(refused) == "the office accepts no air test of plastic dwv"
    assert why_test_refused(there, system="dwv", medium="air", plastic=False) is None
    assert reinspection_fee(there, reason="not_on_test", visit=1) == Fee(None, True)


@pytest.mark.parametrize(
    ("day", "reason"),
    [
        # opm.gov federal holidays, 2026 and 2027 as published there
        ("2026-07-03", "holiday"),  # Independence Day, a Saturday, observed
        ("2026-11-26", "holiday"),  # Thanksgiving Day
        ("2026-12-25", "holiday"),
        ("2027-06-18", "holiday"),  # Juneteenth, a Saturday, observed
        ("2027-07-05", "holiday"),  # Independence Day, a Sunday, observed
        ("2027-12-24", "holiday"),  # Christmas Day, a Saturday, observed
        ("2027-12-31", "holiday"),  # New Year's Day of 2028, observed
        ("2027-12-30", None),
    ],
)
def test_federal_holidays_are_kept_on_the_day_they_are_observed(day, reason):
    rules = parse_rules(
        {
            "timezone": "America/New_York",
            "holidays": {"country": "US"},
            "lead": {"unit": "inspection_days", "amount": 1},
        }
    )

    assert why_closed(rules, d(day)) == reason


@pytest.mark.parametrize(
    ("inspect_on", "call_in_by"),
    [
        # 15 U.S.C. 260a: clocks change at 02:00 on the second Sunday of March and
        # the first Sunday of November.
        ("2026-03-08", "2026-03-07T07:00"),
        ("2026-11-01", "2026-10-31T09:00"),
        ("2026-11-08", "2026-11-07T08:00"),
    ],
)
def test_24_elapsed_hours_are_another_clock_time_when_the_clock_changes(
    inspect_on, call_in_by
):
    rules = parse_rules(
        {
            "timezone": "America/Chicago",
            "inspection_weekdays": ["sun"],
            "lead": {"unit": "hours", "amount": 24},
            "windows": [["08:00", "12:00"]],
        }
    )

    assert latest_request(rules, inspect_on=d(inspect_on)) == CallInBy(
        datetime.fromisoformat(call_in_by)
    )
