"""What an office is like to deal with: its date rules, and all that they cannot say.

`parse_office` reads a jurisdiction's `rules`, `record` and rules by kind of inspection.
`when` and `by_when` give dates, or say that the office must be asked by phone; the
other functions answer for fees, permits, refused tests and who may ask.
"""

from inspections.offices.asking import (
    AskByPhone,
    Within,
    by_when,
    first_to_pass,
    permit_expires,
    reinspection_fee,
    rides_with,
    visits_left,
    when,
    why_not_ask,
    why_not_cancel,
    why_test_refused,
)
from inspections.offices.reading import parse_office
from inspections.offices.records import (
    DateRules,
    Fee,
    OfficeRecord,
    PermitLife,
    Promise,
    Reinspection,
    TestRefused,
    VisitLimit,
)

__all__ = [
    "AskByPhone",
    "DateRules",
    "Fee",
    "OfficeRecord",
    "PermitLife",
    "Promise",
    "Reinspection",
    "TestRefused",
    "VisitLimit",
    "Within",
    "by_when",
    "first_to_pass",
    "parse_office",
    "permit_expires",
    "reinspection_fee",
    "rides_with",
    "visits_left",
    "when",
    "why_not_ask",
    "why_not_cancel",
    "why_test_refused",
]
