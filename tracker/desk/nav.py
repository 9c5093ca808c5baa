"""Which pages stand in the bar at the top, and for whom."""

from dataclasses import dataclass
from functools import lru_cache

from django.urls import NoReverseMatch, reverse

from tracker.people.models import Member

EVERYBODY, LEADS, OFFICE = "everybody", "leads", "office"


@dataclass(frozen=True)
class Entry:
    text: str
    route: str
    who: str


ENTRIES = (
    Entry("Today", "desk:today", LEADS),
    Entry("Streets", "desk:streets", EVERYBODY),
    Entry("Lots", "desk:lots", EVERYBODY),
    Entry("Inspections", "desk:inspections", LEADS),
    Entry("Look-ahead", "desk:look-ahead", LEADS),
    Entry("Load", "desk:load", OFFICE),
    Entry("Season", "desk:season", OFFICE),
    Entry("Plans", "desk:plans", OFFICE),
    Entry("Catalogue", "desk:catalogue", OFFICE),
    Entry("Material", "desk:materials", OFFICE),
    Entry("Money", "desk:money", OFFICE),
    Entry("After final", "desk:after", OFFICE),
    Entry("Import", "desk:imports", OFFICE),
    Entry("People", "desk:people", OFFICE),
    Entry("Settings", "desk:setup", OFFICE),
    Entry("Record", "desk:record", OFFICE),
)


@lru_cache(maxsize=64)
def address(route: str) -> str | None:
    """Where a page is; None where it is not there."""
    try:
        return reverse(route)
    except NoReverseMatch:
        return None


def may_open(entry: Entry, member: Member) -> bool:
    if entry.who == OFFICE:
        return member.is_office
    if entry.who == LEADS:
        return member.is_office or member.is_lead
    return member.is_active


def entries(member: Member, path: str) -> list[dict[str, object]]:
    """Entries of this member, the one he is on marked; pages not there are left out."""
    shown = []
    for entry in ENTRIES:
        there = address(entry.route)
        if there is None or not may_open(entry, member):
            continue
        here = path == there if there == "/" else path.startswith(there)
        shown.append({"text": entry.text, "address": there, "here": here})
    return shown
