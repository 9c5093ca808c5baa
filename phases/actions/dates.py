"""Builder dates: predicted, revised, actual; who said so, when."""

from datetime import date, datetime

from phases import rules
from phases.earning import settle_charges
from phases.log import Who, writing
from phases.models import Fact, LotPhase
from tracker.errors import Refused
from tracker.sites.models import BuilderDate, Lot

WHATS = ("ready", "cover", "need_by", "start", "closing")


def say_date(
    lot: Lot,
    *,
    what: str,
    date: date | None,
    who: Who,
    now: datetime,
    phase: LotPhase | None = None,
    status: str = BuilderDate.PREDICTED,
    said_by: str = "",
    part: str = "",
) -> Fact:
    """Somebody says a date (None: it is no longer known). The latest word counts.

    A cover date with status `actual` says that the phase has been concealed. `part` is
    one part of the phase's readiness, such as framing: the day by which it is due.
    """
    if what not in WHATS:
        raise Refused("unknown_kind", value=what)
    if status not in (BuilderDate.PREDICTED, BuilderDate.REVISED, BuilderDate.ACTUAL):
        raise Refused("unknown_kind", value=status)
    if what in ("ready", "cover", "need_by") and phase is None:
        raise Refused("bad_value", field="phase", value="")
    if part and what != "ready":
        raise Refused("bad_value", field="part", value=part)
    if who.superintendent is None:
        rules.check(rules.why_not_lead(who.member))
    with writing(now=now) as log:
        fact = log.append(
            "date_said",
            lot=lot,
            phase=phase,
            who=who,
            what=what,
            status=status,
            date=date.isoformat() if date else None,
            said_by=said_by or who.name,
            part=part,
        )
        BuilderDate.objects.create(
            lot=lot,
            phase=phase.kind.code if phase else "",
            part=part,
            what=what,
            status=status,
            date=date,
            said_by=said_by or who.name,
            fact_no=fact.no,
            recorded_at=now,
        )
        if what == "closing" and status == BuilderDate.ACTUAL:
            lot.closed_on = date
            lot.save(update_fields=["closed_on"])
            settle_charges([lot.pk], now=now)
        return fact
