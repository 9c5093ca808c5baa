"""Many lots without a plan at once, as a lot list brings them.

The same as `create_lot` and `say_date` one by one, in a few statements a batch: ten
thousand lots are one transaction, and everybody who writes waits behind it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from simple_history.utils import bulk_create_with_history

from phases import rules
from phases.actions.lots import check_fields, route_of
from phases.log import Log, Who, writing
from phases.models import Fact, LotPhase, PhaseKind
from tracker.sites.models import BuilderDate, Lot, Subdivision

BATCH = 200


@dataclass(frozen=True)
class BareLot:
    """A lot to make. `days` are first words on its start or closing."""

    subdivision: Subdivision
    fields: dict[str, Any]
    days: dict[str, date] = field(default_factory=dict)


def create_bare_lots(
    new: Sequence[BareLot], *, said_by: str, who: Who, now: datetime
) -> list[Lot]:
    """Make them all, or none, in order; the facts name each."""
    rules.check(rules.why_not_office(who.member))
    for one in new:
        check_fields(one.fields)
        for what in one.days:
            if what not in ("start", "closing"):
                raise ValueError(f"{what} is no date of a whole house")
    with writing(now=now) as log:
        lots = [Lot(subdivision=one.subdivision, **one.fields) for one in new]
        # The log writes who did it; the row's own history is for later changes.
        bulk_create_with_history(lots, Lot, batch_size=BATCH)
        _lay_routes(lots)
        _append(log, lots, new, said_by=said_by, who=who)
        return lots


def _lay_routes(lots: Sequence[Lot]) -> None:
    routes: dict[tuple[int, str], list[PhaseKind]] = {}
    rows = []
    for lot in lots:
        case = (lot.subdivision.builder_id, lot.stands_on)
        if case not in routes:
            routes[case] = route_of(lot)
        rows += [
            LotPhase(lot=lot, kind=kind, position=place)
            for place, kind in enumerate(routes[case], start=1)
        ]
    LotPhase.objects.bulk_create(rows, batch_size=BATCH)


def _append(
    log: Log, lots: Sequence[Lot], new: Sequence[BareLot], *, said_by: str, who: Who
) -> None:
    facts: list[Fact] = []
    dates: list[BuilderDate] = []
    for lot, one in zip(lots, new, strict=True):
        facts.append(log.draft("lot_made", lot=lot, who=who, plan=None))
        for what, day in one.days.items():
            said = {
                "what": what,
                "status": BuilderDate.PREDICTED,
                "said_by": said_by or who.name,
                "part": "",
            }
            fact = log.draft(
                "date_said", lot=lot, who=who, date=day.isoformat(), **said
            )
            facts.append(fact)
            row = BuilderDate(lot=lot, date=day, fact_no=fact.no, **said)
            row.recorded_at = log.now
            dates.append(row)
    log.append_all(facts)
    BuilderDate.objects.bulk_create(dates, batch_size=BATCH)
