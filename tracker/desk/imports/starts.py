"""Many lots released at once: plan, options, handing and dates in one form."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from phases import rules
from phases.actions.dates import say_date
from phases.actions.lots import choose_plan, update_lot
from phases.log import Who, writing
from tracker.errors import Refused
from tracker.sites.models import Lot, Option, Plan


@dataclass(frozen=True)
class Start:
    """What a release says of one lot; None leaves that part as it is."""

    lot: Lot
    plan: Plan | None = None
    options: tuple[Option, ...] = ()
    mirrored: bool | None = None
    start: date | None = None
    ready: date | None = None
    closing: date | None = None


def release_lots(
    starts: Sequence[Start], *, said_by: str, who: Who, now: datetime
) -> int:
    """Set plan, options, handing and dates of many lots: all of them or none.

    `ready` is the predicted ready date of a lot's first phase.
    """
    rules.check(rules.why_not_office(who.member))
    if not starts:
        raise Refused("nothing_chosen")
    with writing(now=now):
        for one in starts:
            _release(one, said_by=said_by, who=who, now=now)
    return len(starts)


def _release(one: Start, *, said_by: str, who: Who, now: datetime) -> None:
    lot = one.lot
    if one.mirrored is not None:
        lot = update_lot(lot, who=who, now=now, mirrored=one.mirrored)
    if one.plan is not None:
        choose_plan(lot, plan=one.plan, options=one.options, who=who, now=now)
    days = {"start": one.start, "closing": one.closing}
    for what, day in days.items():
        if day is not None:
            say_date(lot, what=what, date=day, who=who, now=now, said_by=said_by)
    first = lot.phases.order_by("position").first()
    if one.ready is not None and first is not None:
        say_date(
            lot,
            what="ready",
            phase=first,
            date=one.ready,
            who=who,
            now=now,
            said_by=said_by,
        )
