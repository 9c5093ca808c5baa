"""A builder's word on a date of many lots: one transaction, a fact for each lot."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from phases import rules
from phases.actions.dates import say_date
from phases.log import Who, writing
from phases.models import LotPhase
from tracker.errors import Refused
from tracker.sites.models import BuilderDate, Lot

NAMED = 5


@dataclass(frozen=True)
class What:
    """Which date: of the whole house (no phase), of a phase, or of one part of it."""

    what: str
    phase: str = ""
    part: str = ""

    @property
    def code(self) -> str:
        return "|".join((self.what, self.phase, self.part))


def say_dates(
    lots: Sequence[Lot],
    *,
    what: What,
    day: date | None,
    status: str,
    said_by: str,
    who: Who,
    now: datetime,
) -> int:
    """Say one date of many lots: of all of them or of none; how many.

    Raises:
        Refused: when nothing is chosen, nobody said it, or a lot has no such phase.
    """
    rules.check(rules.why_not_office(who.member))
    if not lots:
        raise Refused("nothing_chosen")
    if not said_by.strip():
        raise Refused("who_said_needed")
    phases = {
        row.lot_id: row
        for row in LotPhase.objects.filter(lot__in=lots, kind__code=what.phase)
    }
    lacking = [lot for lot in lots if what.phase and lot.pk not in phases]
    if lacking:
        more = [f"+{len(lacking) - NAMED}"] if len(lacking) > NAMED else []
        raise Refused("phase_not_there", lots=[*lacking[:NAMED], *more])
    with writing(now=now):
        for lot in lots:
            say_date(
                lot,
                what=what.what,
                phase=phases.get(lot.pk),
                part=what.part,
                date=day,
                status=status,
                said_by=said_by.strip()[:120],
                who=who,
                now=now,
            )
    return len(lots)


def known_dates(lots: Sequence[Lot], what: What) -> dict[int, BuilderDate]:
    """The latest word on that date, by lot."""
    rows = BuilderDate.objects.filter(
        lot__in=lots, what=what.what, phase=what.phase, part=what.part
    ).order_by("fact_no")
    return {row.lot_id: row for row in rows}


def in_range(label: str, text: str) -> bool:
    """Whether a lot is one of `12-18, 21, 3A`: by its number, or its whole label."""
    number = re.match(r"\d+", label)
    for part in re.split(r"[,;\s]+", text.strip()):
        ends = re.fullmatch(r"(\d{1,5})[-–](\d{1,5})", part)
        if part and part.casefold() == label.casefold():
            return True
        if ends and number and int(ends[1]) <= int(number[0]) <= int(ends[2]):
            return True
    return False
