"""The office of a lot, read from its row: one home for what each rule says.

What must pass first stands on the kind of inspection (`after`), and so do date rules
that differ for a kind; what must ride together stands in the office's record.
"""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Any
from zoneinfo import ZoneInfo

from inspections.dates import Complaint, Malformed
from inspections.offices import OfficeRecord, parse_office, when
from inspections.offices.asking import NAMES
from tracker.sites.models import InspectionKind, Jurisdiction, Lot

ANY_DAY = datetime(2026, 1, 2, 12, 0)  # noqa: DTZ001 (the office's own clock)


@dataclass(frozen=True)
class Office:
    """A jurisdiction as the rules use it. `trouble`: why its rules cannot be read;
    then everything about dates is unknown, and the office is asked by phone.
    """

    record: OfficeRecord
    trouble: Complaint | None = None

    @property
    def zone(self) -> ZoneInfo:
        return self.record.usual.rules.zone


def office_of(
    jurisdiction: Jurisdiction, kinds: Iterable[InspectionKind], *, time_zone: str
) -> Office:
    """The office of a row and its kinds; `time_zone` for one that cannot be read."""
    record = dict(jurisdiction.record or {})
    twice = record.pop("must_pass_first", None)
    record["must_pass_first"] = {
        kind.code: list(kind.after) for kind in kinds if kind.after
    }
    by_kind = {kind.code: kind.rules for kind in kinds if kind.rules}
    told = json.dumps([jurisdiction.rules, record, by_kind], sort_keys=True)
    office = _read(told, time_zone)
    if twice and not office.trouble:
        said = Complaint("record.must_pass_first", "passes_elsewhere")
        return Office(office.record, said)
    return office


@lru_cache(maxsize=128)
def _read(told: str, time_zone: str) -> Office:
    rules, record, by_kind = json.loads(told)
    try:
        office = parse_office(rules, record, by_kind=by_kind)
        for kind in ("", *by_kind):
            # Rules that leave no day open are found out here, not in the morning.
            when(office, kind=kind, requested_at=ANY_DAY)
        return Office(office)
    except Malformed as wrong:
        return Office(_unknown(rules, time_zone), wrong.complaint)


def _unknown(rules: Any, time_zone: str) -> OfficeRecord:
    return parse_office({"timezone": time_zone} | dict.fromkeys(NAMES, "unknown"))


def office_of_lot(lot: Lot) -> Office | None:
    """The office of one lot; None where the subdivision names none."""
    jurisdiction = lot.subdivision.jurisdiction
    if jurisdiction is None:
        return None
    kinds = list(jurisdiction.kinds.all())
    return office_of(jurisdiction, kinds, time_zone=lot.subdivision.time_zone)


def why_office_unreadable(jurisdiction: Jurisdiction) -> Complaint | None:
    """What is wrong with a jurisdiction's rules or record, with its key."""
    kinds = list(jurisdiction.kinds.all())
    return office_of(jurisdiction, kinds, time_zone="UTC").trouble
