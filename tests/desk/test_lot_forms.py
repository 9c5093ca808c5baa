"""What is typed on the page of a lot: each form leads to one action."""

from datetime import date

import pytest
from django.urls import reverse

from inspections.actions import call_in
from inspections.models import InspectionRequest
from phases.actions.work import put_on_test, start_work, work_done
from phases.models import CheckItem, Correction, Hold
from tests.desk.scene import NOW, Street, signed_in
from tests.factories import kind_of, make_option, prove_phase
from tracker.sites.models import BuilderDate

pytestmark = pytest.mark.django_db


def post(client, route, thing, **data):
    return client.post(reverse(f"desk:{route}", args=[thing.pk]), data)


def test_say_a_date_keeps_it_with_its_history():
    street = Street()
    lot, phase = street.lots[0], street.phase("topout")
    client, _ = signed_in("office")

    for day in ("2026-03-09", "2026-03-12"):
        data = {"what": "cover", "phase": phase.pk, "status": "revised", "date": day}
        answer = post(client, "lot-dates", lot, said_by="Dell Marchetti", **data)
        assert answer.status_code == 302

    phase.refresh_from_db()
    days = BuilderDate.objects.filter(lot=lot).values_list("date", "said_by")
    assert phase.cover_date == date(2026, 3, 12)
    assert list(days) == [
        (date(2026, 3, 9), "Dell Marchetti"),
        (date(2026, 3, 12), "Dell Marchetti"),
    ]


def test_a_refused_form_stays_open_as_it_was_typed():
    street = Street()
    client, _ = signed_in("office")

    data = {"what": "cover", "status": "revised", "date": "2026-03-09"}
    answer = post(client, "lot-dates", street.lots[0], said_by="Iva Sund", **data)

    text = answer.content.decode()
    assert answer.status_code == 422
    assert 'value="Iva Sund"' in text
    assert 'value="2026-03-09"' in text
    assert BuilderDate.objects.count() == 0


def test_a_wrong_date_says_so_at_its_field():
    street = Street()
    client, _ = signed_in("office")

    answer = post(client, "lot-dates", street.lots[0], what="closing", date="soon")

    assert "date" in answer.context["forms"]["date"].errors
    assert answer.status_code == 422


def test_a_phase_of_another_lot_is_no_choice():
    street = Street(lots=2)
    client, _ = signed_in("office")

    answer = post(
        client,
        "lot-holds",
        street.lots[0],
        owed_by="city",
        text="Permit",
        phase=street.phase("topout", 1).pk,
    )

    assert answer.status_code == 422
    assert Hold.objects.count() == 0


def test_calling_in_is_blocked_until_the_items_are_proven():
    street = Street()
    lot, phase = street.lots[0], street.phase("topout")
    client, _ = signed_in("office")
    # The office gave the day itself, whatever day it is when this runs.
    data = {
        "kind": kind_of(lot).pk,
        "for_date": "2099-03-04",
        "confirmation": "71820",
    }
    start_work(phase, who=street.lead, now=NOW)
    work_done(phase, who=street.lead, now=NOW)

    answer = post(client, "lot-calls", lot, **data)
    assert answer.status_code == 422
    assert "Cannot be called in yet" in answer.content.decode()

    prove_phase(phase, who=street.lead)
    answer = post(client, "lot-calls", lot, **data)
    assert (answer.status_code, InspectionRequest.objects.count()) == (302, 1)


def test_a_failed_result_opens_a_correction_for_each_line():
    street = Street()
    lot = street.lots[0]
    client, _ = signed_in("office")

    post(
        client,
        "lot-results",
        lot,
        kind=kind_of(lot).pk,
        result="failed",
        on="2026-03-02",
        found="No plate at the stud\n\n Vent too short ",
    )

    texts = Correction.objects.values_list("text", "source")
    assert sorted(texts) == [
        ("No plate at the stud", "inspector"),
        ("Vent too short", "inspector"),
    ]


def test_a_call_is_cancelled_with_its_reason():
    street = Street()
    lot, phase = street.lots[0], street.phase("topout")
    prove_phase(phase, who=street.lead)
    work_done(phase, who=street.lead, now=NOW)
    put_on_test(phase, who=street.lead, now=NOW)
    request = call_in(
        lot, kind_of(lot), for_date=date(2026, 3, 6), who=street.office, now=NOW
    )
    client, _ = signed_in("office")

    post(client, "call-cancelling", request, reason="Rain")

    request.refresh_from_db()
    assert (request.status, request.note) == ("cancelled", "Rain")


def test_details_are_changed_and_written_into_the_record():
    street = Street()
    lot = street.lots[0]
    client, _ = signed_in("office")

    answer = post(
        client,
        "lot-details",
        lot,
        label=lot.label,
        gate_code="4417#",
        position="3",
        address="12 Wick Street",
    )

    lot.refresh_from_db()
    record = client.get(reverse("desk:lot-record", args=[lot.pk])).content.decode()
    assert answer.status_code == 302
    assert (lot.gate_code, lot.position) == ("4417#", 3)
    assert "gate code: – → 4417#" in record


def test_an_option_adds_its_items():
    street = Street()
    lot = street.lots[0]
    option = make_option(street.plan, fixtures=("lavatory",))
    client, _ = signed_in("office")
    before = CheckItem.objects.filter(lot_phase__lot=lot).count()

    post(client, "lot-plan", lot, plan=street.plan.pk, options=[option.pk])

    assert list(lot.options.all()) == [option]
    assert CheckItem.objects.filter(lot_phase__lot=lot).count() > before
