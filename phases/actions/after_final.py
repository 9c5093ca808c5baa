"""After final: the builder's walk list, closing, warranty, and call-backs."""

from datetime import date, datetime

from phases import rules
from phases.actions.corrections import Finding, append_correction
from phases.log import Who, writing
from phases.models import CheckItem, Correction, LotPhase
from tracker.errors import Refused
from tracker.sites.models import Lot

WARRANTY_DAYS = 365  # common practice: one year from closing


def why_not_call_back(lot: Lot, *, today: date) -> Refused | None:
    """A call-back is on a closed lot, until its warranty date."""
    if lot.closed_on is None or lot.closed_on > today:
        return Refused("not_closed_yet")
    if lot.warranty_until is not None and today > lot.warranty_until:
        return Refused("warranty_over", date=lot.warranty_until.isoformat())
    return None


def open_call_back(
    lot: Lot,
    *,
    text: str,
    phase: LotPhase,
    who: Who,
    now: datetime,
    today: date,
    item: CheckItem | None = None,
    due_on: date | None = None,
    photo: str = "",
) -> Correction:
    """A correction on a closed lot; the crew that built the phase answers for it."""
    rules.check(rules.why_not_office(who.member))
    rules.check(why_not_call_back(lot, today=today))
    finding = Finding(
        text=text,
        source="call_back",
        phase=phase,
        item=item,
        crew=phase.crew,
        due_on=due_on,
        photo=photo,
    )
    with writing(now=now) as log:
        return append_correction(log, lot, finding, who=who)


def add_walk_item(
    lot: Lot, *, text: str, phase: LotPhase, who: Who, now: datetime, due_on: date
) -> Correction:
    """One line of the list that the builder made on his walk before closing."""
    if who.superintendent is None:
        rules.check(rules.why_not_office(who.member))
    finding = Finding(text=text, source="builder_walk", phase=phase, due_on=due_on)
    with writing(now=now) as log:
        return append_correction(log, lot, finding, who=who)
