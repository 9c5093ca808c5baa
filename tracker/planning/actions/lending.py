"""A second crew is lent to a job for a day, and told so."""

from datetime import date, datetime

from django.db import transaction

from phases.actions.work import lend_helper
from phases.log import Who
from phases.models import Fact, LotPhase
from tracker.people.models import Crew
from tracker.planning.adapter.labels import label_of
from tracker.planning.models import CrewNotice


@transaction.atomic
def lend(phase: LotPhase, *, crew: Crew, on: date, who: Who, now: datetime) -> Fact:
    """The fact, and a notice that the helping crew's lead acknowledges."""
    fact = lend_helper(phase, crew=crew, on=on, who=who, now=now)
    lent = {"crew": crew.pk, "start": on.isoformat(), "half": 0, "helps": True}
    told = {
        "lot": str(label_of(phase.lot, phase.lot.subdivision.name)),
        "lot_pk": phase.lot_id,
        "phase": phase.kind.code,
        "was": None,
        "now": lent,
    }
    CrewNotice.objects.create(crew=crew, changes=[told], first_day=on, made_at=now)
    return fact
