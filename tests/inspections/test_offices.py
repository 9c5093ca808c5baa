"""Office records: what is read, what is refused with its key, what they answer."""

from datetime import date, datetime

import pytest

from inspections.dates import Earliest, Malformed
from inspections.offices import (
    AskByPhone,
    Within,
    parse_office,
    permit_expires,
    rides_with,
    visits_left,
    when,
    why_not_ask,
    why_test_refused,
)

RULES = {
    "timezone": "America/Denver",
    "lead": {"unit": "inspection_days", "amount": 1},
}
NOON = datetime.fromisoformat("2026-12-01T12:00")


@pytest.mark.parametrize(
    ("rules", "record", "key"),
    [
        ({"timezone": "unknown"}, {}, "rules.timezone"),
        (RULES | {"lead_time": 1}, {}, "rules.lead_time"),
        (RULES | {"within": {"unit": "hours", "amount": 1}}, {}, "rules.within"),
        (
            {"timezone": "UTC", "within": {"unit": "weeks", "amount": 1}},
            {},
            "rules.within.unit",
        ),
        (
            {"timezone": "UTC", "within": {"unit": "hours", "amount": 0}},
            {},
            "rules.within.amount",
        ),
        ({"timezone": "UTC"}, {}, "rules.lead"),
        (RULES, [], "record"),
        (RULES, {"fees": 1}, "record.fees"),
        (
            RULES,
            {"reinspection": {"reasons": ["failed"]}},
            "record.reinspection.amount",
        ),
        (
            RULES,
            {"reinspection": {"reasons": ["late"], "amount": "5"}},
            "record.reinspection.reasons",
        ),
        (
            RULES,
            {"reinspection": {"reasons": ["failed"], "amount": "-5"}},
            "record.reinspection.amount",
        ),
        (
            RULES,
            {"reinspection": {"reasons": ["failed"], "amount": "five"}},
            "record.reinspection.amount",
        ),
        (RULES, {"permit": {"days": 0}}, "record.permit.days"),
        (
            RULES,
            {"permit": {"days": 9, "renewed_by": "rain"}},
            "record.permit.renewed_by",
        ),
        (RULES, {"turned_away_when": ["monday"]}, "record.turned_away_when"),
        (RULES, {"tests_refused": [{"system": "dwv"}]}, "record.tests_refused.medium"),
        (RULES, {"ride_together": [["sewer"]]}, "record.ride_together"),
        (RULES, {"visit_limit": {"visits": 2}}, "record.visit_limit.penalty"),
        (RULES, {"cancel_by": "8"}, "record.cancel_by"),
        (RULES, {"notes": "text"}, "record.notes"),
        (RULES, {"source": ""}, "record.source"),
    ],
)
def test_a_wrong_office_is_named_by_its_key(rules, record, key):
    with pytest.raises(Malformed) as refusal:
        parse_office(rules, record)

    assert refusal.value.key == key


def test_a_kind_has_its_own_rules_and_the_others_the_usual_ones():
    office = parse_office(
        RULES | {"cutoff": "15:00"},
        by_kind={
            "gas": {"cutoff": "10:00"},
            "final": {"within": {"unit": "inspection_days", "amount": 2, "first": 1}},
            "pan": {"cutoff": "unknown"},
        },
    )

    assert [when(office, kind=kind, requested_at=NOON) for kind in ("", "gas")] == [
        Earliest(date(2026, 12, 1), date(2026, 12, 2), None),
        Earliest(date(2026, 12, 2), date(2026, 12, 3), None),
    ]
    assert when(office, kind="final", requested_at=NOON) == Within(
        date(2026, 12, 1), date(2026, 12, 2), date(2026, 12, 3)
    )
    assert when(office, kind="pan", requested_at=NOON) == AskByPhone(("cutoff",))
    with pytest.raises(Malformed, match=r"by_kind\.gas\.cutof"):
        parse_office(RULES, by_kind={"gas": {"cutof": "10:00"}})


def test_hours_that_are_not_published_matter_only_to_a_lead_in_hours():
    in_days = parse_office(RULES | {"hours": "unknown"})
    in_hours = parse_office(
        RULES | {"hours": "unknown", "lead": {"unit": "hours", "amount": 24}}
    )

    assert when(in_days, requested_at=NOON).inspect_on == date(2026, 12, 2)
    assert when(in_hours, requested_at=NOON) == AskByPhone(("hours",))


def test_a_permit_is_renewed_only_by_what_the_office_counts_and_before_it_expires():
    issued = date(2026, 1, 1)
    visits = [(date(2026, 5, 1), False), (date(2026, 12, 1), True)]

    expires = {
        renewed_by: permit_expires(
            parse_office(RULES, {"permit": {"days": 180, "renewed_by": renewed_by}}),
            issued_on=issued,
            inspected=visits,
        )
        for renewed_by in ("nothing", "inspection", "approved_inspection")
    }

    assert expires == {
        "nothing": date(2026, 6, 30),
        "inspection": date(2026, 10, 28),
        "approved_inspection": date(2026, 6, 30),
    }
    assert permit_expires(parse_office(RULES), issued_on=issued) is None


def test_who_may_ask_what_rides_together_and_what_the_office_leaves_unsaid():
    office = parse_office(
        RULES,
        {
            "who_may_ask": ["licensed plumber"],
            "ride_together": [["sewer", "water"], ["water", "gas"]],
            "tests_refused": [{"system": "gas", "medium": "water"}],
        },
    )
    today = date(2026, 12, 1)

    assert why_not_ask(office, today=today, by="licensed plumber") is None
    assert why_not_ask(office, today=today, by="builder") == (
        "only licensed plumber may ask"
    )
    assert rides_with(office, "water") == {"sewer", "gas"}
    assert rides_with(office, "final") == frozenset()
    assert why_test_refused(office, system="gas", medium="water", plastic=False)
    assert visits_left(office, made=5) is None
    assert why_not_ask(parse_office(RULES), today=today, fees_due=True) is None
