"""Results: partial ones, whose fault, fees, and what is learnt from failures."""

from datetime import date

import pytest
import time_machine
from django.urls import reverse

from inspections.actions import (
    Found,
    call_in,
    change_fee,
    decide_hint,
    record_result,
)
from inspections.calls import calls_of
from inspections.models import Finding, InspectionResult, VisitFee, WalkHint
from inspections.rates import rates
from inspections.standing import standing_of
from phases.log import Who
from phases.models import Correction, Fact
from tests.factories import NOW, kind_of, make_crew, make_member, phase_of
from tests.inspections.scene import change_kind, finish, office_lot, plan_for
from tracker.errors import Refused

pytestmark = pytest.mark.django_db
TUE, WED = date(2026, 3, 3), date(2026, 3, 4)


@pytest.fixture
def office():
    return Who(member=make_member("office"))


def enter(lot, who, result, code="topout", on=TUE, **more):
    return record_result(
        lot, kind_of(lot, code), result=result, on=on, who=who, now=NOW, **more
    )


def test_a_partial_pass_names_what_passed_and_corrects_the_rest(office):
    lot = office_lot(office)
    change_kind(lot, "topout", on_test=["gas", "water"])
    finish(lot, office)
    item = phase_of(lot).items.first()

    row = enter(
        lot,
        office,
        "partly_passed",
        passed_parts=["system:gas", f"item:{item.pk}"],
        found=[Found("Water line loose")],
    )

    assert row.passed_parts == ["system:gas", f"item:{item.pk}"]
    assert phase_of(lot).inspection == "partly_passed"
    assert [c.text for c in Correction.objects.all()] == ["Water line loose"]


@pytest.mark.parametrize("part", ["system:steam", "item:999999", "gas", ""])
def test_a_part_that_is_not_there_is_refused(office, part):
    lot = office_lot(office)

    with pytest.raises(Refused):
        enter(lot, office, "partly_passed", passed_parts=[part])
    assert InspectionResult.objects.count() == 0


def test_a_visit_that_saw_nothing_is_no_bad_work_and_keeps_whose_fault_it_was(office):
    lot = office_lot(office)
    enter(lot, office, "no_access", fault_of="builder")
    enter(lot, office, "passed", on=WED)

    found = rates()
    assert (found.all.passed, found.all.total) == (1, 1)
    assert found.not_seen == [("builder", "no_access", 1)]
    assert Correction.objects.count() == 0


def test_only_the_first_judgement_counts_for_the_rate(office):
    lot = office_lot(office)
    crew = make_crew(name="Frame One")
    plan_for(lot, crew, TUE, TUE, office)
    enter(lot, office, "failed", found=[Found("No plate")])
    enter(lot, office, "passed", on=WED)

    found = rates()

    assert [(name, r.passed, r.total) for name, r in found.crews] == [
        ("Frame One", 0, 1)
    ]
    assert [(name, r.passed, r.total) for name, r in found.phases] == [
        ("Top out", 0, 1)
    ]
    assert found.all.few is True
    assert [(r.reason, r.count) for r in found.reasons] == [("No plate", 1)]


def test_an_item_that_failed_has_a_rate_and_is_offered_to_the_walks(office):
    lots = [office_lot(office) for _ in range(3)]
    for lot in lots:
        finish(lot, office)
    item = phase_of(lots[0]).items.first()
    enter(lots[0], office, "failed", found=[Found("Not plated", item=item)])
    for lot in lots[1:]:
        enter(lot, office, "passed")

    finding = Finding.objects.get()
    assert finding.demand
    assert finding.demand in item.key
    (row,) = rates().items
    assert (row[0], row[1].passed, row[1].total) == (item.spec["text_en"], 2, 3)
    hint = WalkHint.objects.get()
    assert (hint.state, hint.text_es) == ("offered", item.spec["text_es"])
    assert decide_hint(hint, take=True, who=office).state == "taken"


def test_what_another_trade_must_put_right_is_no_failure_of_ours(office):
    lot = office_lot(office)
    item = phase_of(lot).items.first()
    enter(
        lot,
        office,
        "failed",
        found=[Found("Stud cut", item=item, owed_by="framer")],
    )

    assert rates().reasons == []
    assert WalkHint.objects.count() == 0


def test_the_rates_take_five_statements(office, django_assert_num_queries):
    for n in range(2):
        lot = office_lot(office)
        item = phase_of(lot).items.first()
        enter(lot, office, "failed", found=[Found(f"Bad {n}", item=item)])
        with django_assert_num_queries(5):
            rates()


def test_a_fee_is_changed_with_a_reason_and_stays_on_the_record(office):
    record = {"reinspection": {"reasons": ["no_access"], "amount": "unknown"}}
    lot = office_lot(office, record=record)
    enter(lot, office, "no_access", fault_of="builder", pays="builder")
    fee = VisitFee.objects.get()
    assert (fee.amount, fee.pays, fee.reason) == (None, "builder", "no_access")

    with pytest.raises(Refused):
        change_fee(fee, amount=None, pays="us", note=" ", who=office, now=NOW)
    change_fee(fee, amount=60, pays="us", note="clerk said", who=office, now=NOW)

    assert Fact.objects.get(kind="visit_fee").payload["before"] == ["None", "builder"]


def test_visits_beyond_the_offices_limit_say_its_penalty(office):
    record = {"visit_limit": {"visits": 2, "penalty": "the license is reported"}}
    lot = office_lot(office, record=record)
    enter(lot, office, "failed")
    assert VisitFee.objects.count() == 0
    enter(lot, office, "failed", on=WED)

    assert VisitFee.objects.get().rule == "visit 2, failed; the license is reported"


@pytest.mark.parametrize("page", ["pass-rates", "visit-fees"])
def test_the_pages_of_rates_and_fees_open(client, office, page):
    from django.urls import reverse

    record = {"reinspection": {"reasons": ["failed"], "amount": "55.00"}}
    lot = office_lot(office, record=record)
    item = phase_of(lot).items.first()
    enter(lot, office, "failed", found=[Found("No plate", item=item)])
    client.force_login(office.member)

    shown = client.get(reverse(f"desk:{page}")).content.decode()

    assert {"pass-rates": "0 of 1: 0%, between 0% and", "visit-fees": "55.00"}[
        page
    ] in shown


def test_a_fee_is_paid_and_a_hint_taken_on_the_pages(client, office):
    from django.urls import reverse

    record = {"reinspection": {"reasons": ["failed"], "amount": "55.00"}}
    lot = office_lot(office, record=record)
    item = phase_of(lot).items.first()
    enter(lot, office, "failed", found=[Found("No plate", item=item)])
    client.force_login(office.member)
    fee, hint = VisitFee.objects.get(), WalkHint.objects.get()

    client.post(reverse("desk:visit-fee", args=[fee.pk]), {"amount": "x"})
    client.post(
        reverse("desk:visit-fee", args=[fee.pk]),
        {"amount": "40", "pays": "builder", "note": "they locked us out"},
    )
    client.post(reverse("desk:visit-fee-paid", args=[fee.pk]), {"on": "2026-03-09"})
    client.post(reverse("desk:walk-hint", args=[hint.pk]), {"take": "no"})

    fee.refresh_from_db()
    hint.refresh_from_db()
    assert (str(fee.amount), fee.pays, fee.paid_on) == (
        "40.00",
        "builder",
        date(2026, 3, 9),
    )
    assert hint.state == "declined"


def test_what_passed_in_a_partial_need_not_stand_or_be_proven_again(office):
    lot = office_lot(office)
    kind = change_kind(lot, "topout", on_test=["gas", "water"])
    finish(lot, office)
    parts = ["system:gas"]
    enter(lot, office, "partly_passed", passed_parts=parts, found=[Found("Loose")])

    (call,) = calls_of(standing_of(lot, now=NOW), now=NOW)

    assert call.kind == kind
    assert (list(call.tests), call.passed_systems) == (["water"], ["gas"])
    assert call.again is True


def test_the_page_takes_items_that_passed_and_a_crew_for_what_was_found(client, office):
    lot = office_lot(office)
    crew = make_crew(name="Mend One")
    finish(lot, office)
    request = call_in(lot, kind_of(lot), for_date=TUE, who=office, now=NOW)
    good, bad = phase_of(lot).items.all()[:2]
    client.force_login(office.member)
    form = {
        "result": "partly_passed",
        "on": "2026-03-02",
        "pays": "us",
        "passed_items": [good.pk],
        "found_1": "No plate",
        "item_1": bad.pk,
        "owed_1": "us",
        "crew_1": crew.pk,
        "due_1": "2026-03-06",
    }

    with time_machine.travel(NOW, tick=False):
        client.post(reverse("desk:call-result", args=[request.pk]), form)

    row = InspectionResult.objects.get()
    assert row.passed_parts == [f"item:{good.pk}"]
    opened = Correction.objects.get()
    assert (opened.text, opened.item, opened.crew) == ("No plate", bad, crew)
    assert opened.due_on == date(2026, 3, 6)


def test_the_result_page_in_spanish_keeps_its_day_and_chooses_no_result(client):
    lead = Who(member=make_member("office", language="es"))
    lot = office_lot(lead)
    finish(lot, lead)
    request = call_in(lot, kind_of(lot), for_date=TUE, who=lead, now=NOW)
    client.force_login(lead.member)

    with time_machine.travel("2026-03-04T15:00Z", tick=False):
        page = client.get(
            reverse("desk:call-result", args=[request.pk]),
            headers={"accept-language": "es"},
        )

    form = page.context["form"]
    assert 'value="2026-03-03"' in str(form["on"])
    assert form["result"].value() is None
    assert '<option value="us" selected>nosotros</option>' in str(form["owed_1"])
