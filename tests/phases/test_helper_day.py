"""The day for which a crew was lent, taken from the facts for rows that had none."""

from datetime import UTC, date, datetime
from importlib import import_module

import pytest
from django.apps import apps

from phases.actions.work import lend_helper, plan_phase
from phases.log import Who
from phases.models import Fact, PhaseHelper
from tests.factories import make_crew, make_lot, make_member, phase_of

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 3, 2, 15, 0, tzinfo=UTC)
DAYS = (date(2026, 3, 4), date(2026, 3, 9))


def test_old_rows_get_the_days_of_their_facts_and_former_crews_none():
    who = Who(member=make_member("owner"))
    lot = make_lot(by=who.member, now=NOW)
    phase = phase_of(lot, "underground")
    lent, unsaid, former, later = (make_crew() for _ in range(4))
    for crew in (former, later):
        phase.refresh_from_db()
        plan_phase(phase, crew=crew, start=DAYS[0], end=DAYS[0], who=who, now=NOW)
    for day in DAYS:
        lend_helper(phase, crew=lent, on=day, who=who, now=NOW)
    lend_helper(phase, crew=unsaid, on=DAYS[0], who=who, now=NOW)
    said = Fact.objects.get(kind="helper_lent", payload__crew=unsaid.pk)
    del said.payload["on"]
    said.save()
    # As it was: one row a crew, of no day.
    PhaseHelper.objects.all().delete()
    for crew in (lent, unsaid, former):
        PhaseHelper.objects.create(lot_phase=phase, crew=crew)

    import_module("phases.migrations.0006_helper_day").fill_days(apps, None)

    found = PhaseHelper.objects.order_by("crew", "on").values_list("crew", "on")
    assert sorted(found, key=str) == sorted(
        [
            (lent.pk, DAYS[0]),
            (lent.pk, DAYS[1]),
            (unsaid.pk, NOW.date()),
            (former.pk, None),
        ],
        key=str,
    )
