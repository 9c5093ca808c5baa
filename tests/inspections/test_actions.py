"""Calling in and results, in their simplest true form."""

from datetime import date

import pytest

from inspections.actions import Found, call_in, cancel_call, record_result
from inspections.models import InspectionRequest
from phases.actions.corrections import close_correction
from phases.actions.dates import say_date
from phases.actions.gate import override_gate
from phases.log import Who
from phases.models import Correction
from tests.factories import (
    NOW,
    kind_of,
    make_lot,
    make_member,
    make_plan,
    phase_of,
    prove_phase,
)
from tracker.errors import Refused

pytestmark = pytest.mark.django_db
WED = date(2026, 3, 4)


@pytest.fixture
def office():
    return Who(member=make_member("office"))


def proven_lot(office):
    """A lot whose top out items are all proven, photos and all."""
    lot = make_lot(plan=make_plan())
    prove_phase(phase_of(lot), who=office)
    return lot


def test_unproven_items_block_calling_in_until_the_lead_gives_a_reason(office):
    lot = make_lot(plan=make_plan())
    kind = kind_of(lot)

    with pytest.raises(Refused, match="in-wall items unproven"):
        call_in(lot, kind, for_date=WED, who=office, now=NOW)
    lead = Who(member=make_member("lead"))
    override_gate(phase_of(lot), gate="call_in", reason="seen it", who=lead, now=NOW)
    call_in(lot, kind, for_date=WED, who=office, now=NOW)

    assert phase_of(lot).inspection == "called_in"


def test_a_proven_phase_is_called_in_once(office):
    lot = proven_lot(office)
    kind = kind_of(lot)
    request = call_in(lot, kind, for_date=WED, who=office, now=NOW)

    with pytest.raises(Refused, match="already called in"):
        call_in(lot, kind, for_date=WED, who=office, now=NOW)
    cancel_call(request, who=office, now=NOW, reason="rain")

    assert phase_of(lot).inspection == "not_called"
    assert InspectionRequest.objects.waiting().count() == 0


def test_a_result_is_recorded_though_items_are_unproven_and_the_gate_stays_shut(
    office,
):
    lot = make_lot(plan=make_plan())

    record_result(lot, kind_of(lot), result="passed", on=WED, who=office, now=NOW)

    phase = phase_of(lot)
    assert (phase.inspection, phase.passed_on) == ("passed", WED)
    assert phase.gate_open is False
    assert [r["code"] for r in phase.gate_missing] == ["concealed_unproven"]


def test_a_wall_proven_and_passed_opens_the_gate_and_is_covered_proven(office):
    lot = proven_lot(office)
    record_result(lot, kind_of(lot), result="passed", on=WED, who=office, now=NOW)
    assert phase_of(lot).gate_open is True

    say_date(
        lot,
        phase=phase_of(lot),
        what="cover",
        status="actual",
        date=date(2026, 3, 5),
        who=office,
        now=NOW,
    )

    assert phase_of(lot).cover == "covered_proven"


def test_a_failure_opens_corrections_in_the_inspectors_words(office):
    lot = proven_lot(office)
    found = [Found("No plate at the stud"), Found("Vent under 6 in.")]

    record_result(
        lot, kind_of(lot), result="failed", on=WED, who=office, now=NOW, found=found
    )

    texts = list(Correction.objects.values_list("text", "source", "due_on"))
    assert texts == [
        ("No plate at the stud", "inspector", date(2026, 3, 6)),
        ("Vent under 6 in.", "inspector", date(2026, 3, 6)),
    ]
    assert phase_of(lot).inspection == "failed"
    assert "corrections_open" in [r["code"] for r in phase_of(lot).call_in_missing]

    for correction in Correction.objects.all():
        close_correction(correction, who=office, now=NOW)
    assert phase_of(lot).call_in_missing == []


def test_a_failure_with_nothing_named_is_not_forgotten(office):
    lot = proven_lot(office)

    record_result(lot, kind_of(lot), result="failed", on=WED, who=office, now=NOW)

    assert Correction.objects.filter(source="inspector").count() == 1


def test_a_plumber_may_neither_call_in_nor_enter_a_result():
    lot = make_lot(plan=make_plan())
    plumber = Who(member=make_member("plumber"))

    with pytest.raises(Refused):
        call_in(lot, kind_of(lot), for_date=WED, who=plumber, now=NOW)
    with pytest.raises(Refused):
        record_result(lot, kind_of(lot), result="passed", on=WED, who=plumber, now=NOW)
