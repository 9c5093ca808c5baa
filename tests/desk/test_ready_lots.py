"""Lots a crew can be sent to."""

from datetime import date

import pytest
from django.urls import reverse

from phases.actions.work import say_part
from tests.desk.scene import NOW, Street, signed_in
from tests.factories import make_member, phase_of
from tracker.desk.today.queries import ready_phases

pytestmark = pytest.mark.django_db


def test_ready_lots_are_those_the_crew_is_qualified_for():
    street = Street()
    phase = street.phase("underground")
    for part in ("permit", "locate", "pad"):
        say_part(phase, part, ready=True, who=street.lead, now=NOW)
    office = make_member("office")

    assert ready_phases(office, street.crew) == [phase_of(phase.lot, "underground")]
    street.crew.skills = ["trim"]
    assert ready_phases(office, street.crew) == []


def test_the_page_of_ready_lots_sends_a_crew():
    street = Street()
    phase = street.phase("underground")
    for part in ("permit", "locate", "pad"):
        say_part(phase, part, ready=True, who=street.lead, now=NOW)
    client, _ = signed_in("office")
    page = client.get(reverse("desk:ready-lots"), {"crew": street.crew.pk})
    assert phase.lot.name in page.content.decode()

    client.post(
        reverse("desk:sending", args=[phase.pk]),
        {"crew": street.crew.pk, "start": "2026-03-04", "days": "2"},
    )

    phase.refresh_from_db()
    assert (phase.crew, phase.planned_start, phase.planned_end) == (
        street.crew,
        date(2026, 3, 4),
        date(2026, 3, 5),
    )
