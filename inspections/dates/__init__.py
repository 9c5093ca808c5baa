"""When an office inspects: pure date rules, no Django.

`parse_rules` reads a jurisdiction's rules as data; `earliest` says which day a request
gets; `latest_request` says by when to call in for a day; `why_closed` and `is_open`
judge one day. Times of day are the office's local time. `Malformed` names the key that
is wrong and what to do about it.
"""

from inspections.dates.answers import (
    CallInBy,
    Earliest,
    NotHeld,
    TooFarAhead,
    earliest,
    latest_request,
)
from inspections.dates.malformed import Complaint, Malformed
from inspections.dates.reading import parse_rules
from inspections.dates.rules import Lead, Rules, Window, is_open, why_closed

__all__ = [
    "CallInBy",
    "Complaint",
    "Earliest",
    "Lead",
    "Malformed",
    "NotHeld",
    "Rules",
    "TooFarAhead",
    "Window",
    "earliest",
    "is_open",
    "latest_request",
    "parse_rules",
    "why_closed",
]
