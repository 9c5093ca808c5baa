"""The office's morning page: what to call in, in order; what is asked; what waits."""

from datetime import date

import pytest
import time_machine
from django.urls import reverse

from inspections.actions import call_in
from inspections.call_list import call_list
from inspections.models import InspectionRequest, InspectionResult, VisitFee
from inspections.notices.writing import look
from phases.log import Who
from phases.models import Correction
from tests.factories import NOW, kind_of, make_crew, make_member
from tests.inspections.scene import (
    NEXT_DAY,
    change_kind,
    cover_on,
    finish,
    office_lot,
    plan_for,
)

pytestmark = pytest.mark.django_db
TUE, WED = date(2026, 3, 3), date(2026, 3, 4)


@pytest.fixture
def office():
    return Who(member=make_member("office"))


@pytest.fixture
def page(client, office):
    client.force_login(office.member)
    return client


def test_the_list_is_in_order_of_cut_off_and_by_office(office):
    late = office_lot(office, name="Late", rules=NEXT_DAY | {"cutoff": "16:00"})
    early = office_lot(office, name="Early", rules=NEXT_DAY | {"cutoff": "10:00"})
    for lot in (late, early):
        finish(lot, office)

    found = call_list(office.member, now=NOW)

    assert [row.jurisdiction.name for row in found.offices] == ["Early", "Late"]
    assert [row.visits[0].lot for row in found.offices] == [early, late]


def test_kinds_that_may_share_a_visit_are_one_row(office):
    lot = office_lot(office)
    change_kind(lot, "topout", rides_with=["rough"])
    finish(lot, office)
    finish(lot, office, "rough")

    (row,) = call_list(office.member, now=NOW).offices

    assert [visit.codes for visit in row.visits] == ["rough,topout"]


def test_what_is_not_ready_is_not_on_the_list_and_says_why(office):
    lot = office_lot(office)
    plan_for(lot, make_crew(), TUE, WED, office)

    found = call_list(office.member, now=NOW)

    assert found.offices == []
    assert [call.kind.code for call in found.waiting] == ["topout"]


def test_rules_that_cannot_be_read_are_said_and_give_no_date(page, office):
    lot = office_lot(office, rules=NEXT_DAY | {"cutoff": "25:00"})
    finish(lot, office)

    with time_machine.travel(NOW, tick=False):
        shown = page.get(reverse("desk:inspections")).content.decode()

    assert "rules.cutoff: must be a time such as" in shown
    assert "it does not publish" in shown


def test_what_is_weeks_away_stands_apart_from_what_lacks_something_now(office):
    near, far = office_lot(office), office_lot(office)
    cover_on(near, date(2026, 3, 10), office)
    cover_on(far, date(2026, 4, 10), office)

    found = call_list(office.member, now=NOW)

    assert [call.standing.lot for call in found.waiting] == [near]
    assert [call.standing.lot for call in found.later] == [far]


def test_a_lead_sees_his_own_lots_alone(office):
    crew = make_crew()
    lead = make_member("lead", crew=crew)
    mine, other = office_lot(office), office_lot(office)
    for lot in (mine, other):
        finish(lot, office)
    plan_for(mine, crew, TUE, TUE, office)

    found = call_list(lead, now=NOW)

    assert [v.lot for o in found.offices for v in o.visits] == [mine]


def test_the_page_calls_in_and_shows_what_the_office_said(page, office):
    lot = office_lot(office)
    lot.gate_code = "4417#"
    lot.save()
    finish(lot, office)
    cover_on(lot, date(2026, 3, 6), office)
    with time_machine.travel(NOW, tick=False):
        shown = page.get(reverse("desk:inspections")).content.decode()
        assert "Mon 2 Mar 15:00" in shown
        assert "P-7" in shown
        assert "4417#" in shown
        answer = page.post(
            reverse("desk:visit-calls", args=[lot.pk]),
            {
                "kinds": "topout",
                "for_date": "2026-03-03",
                "confirmation": "A-12",
                "window": "AM",
            },
        )
        assert answer.status_code == 302
        request = InspectionRequest.objects.get()
        assert (request.confirmation, request.window) == ("A-12", "AM")
        assert "A-12" in page.get(reverse("desk:inspections")).content.decode()


def test_the_page_enters_a_failure_with_its_fee(page, office):
    lot = office_lot(
        office, record={"reinspection": {"reasons": ["failed"], "amount": "55.00"}}
    )
    finish(lot, office)
    request = call_in(lot, kind_of(lot), for_date=TUE, who=office, now=NOW)
    with time_machine.travel("2026-03-03T21:00Z", tick=False):
        address = reverse("desk:call-result", args=[request.pk])
        assert page.get(address).status_code == 200
        item = lot.phases.get(kind__code="topout").items.first()
        answer = page.post(
            address,
            {
                "result": "failed",
                "on": "2026-03-03",
                "inspector": "R. Ames",
                "words": "see below",
                "pays": "builder",
                "found_1": "No plate at the stud",
                "item_1": item.pk,
                "owed_1": "us",
                "due_1": "2026-03-05",
            },
        )
    assert answer.status_code == 302
    assert InspectionResult.objects.get().result == "failed"
    correction = Correction.objects.get()
    assert (correction.text, correction.due_on) == (
        "No plate at the stud",
        date(2026, 3, 5),
    )
    fee = VisitFee.objects.get()
    assert (str(fee.amount), fee.pays) == ("55.00", "builder")


def test_a_day_the_office_does_not_give_is_said_on_the_page(page, office):
    lot = office_lot(office)
    finish(lot, office)
    with time_machine.travel(NOW, tick=False):
        answer = page.post(
            reverse("desk:visit-calls", args=[lot.pk]),
            {"kinds": "topout", "for_date": "2026-03-07"},
            follow=True,
        )

    assert "no inspections on that weekday" in answer.content.decode()
    assert InspectionRequest.objects.count() == 0


@pytest.mark.parametrize(
    "data", [{}, {"kinds": "nothing", "for_date": "2026-03-04"}, {"for_date": "soon"}]
)
def test_a_mistaken_form_is_answered_not_crashed(page, office, data):
    lot = office_lot(office)
    finish(lot, office)

    answer = page.post(reverse("desk:visit-calls", args=[lot.pk]), data, follow=True)

    assert (answer.status_code, InspectionRequest.objects.count()) == (200, 0)


def test_a_plumber_may_not_open_the_list(client):
    client.force_login(make_member("plumber"))

    assert client.get(reverse("desk:inspections")).status_code == 403


def test_moving_and_cancelling_from_the_list(page, office):
    lot = office_lot(office)
    finish(lot, office)
    request = call_in(lot, kind_of(lot), for_date=TUE, who=office, now=NOW)
    with time_machine.travel(NOW, tick=False):
        page.post(
            reverse("desk:call-day", args=[request.pk]),
            {"for_date": "2026-03-05", "note": "clerk moved it"},
        )
        request.refresh_from_db()
        assert (request.for_date, request.sequence) == (date(2026, 3, 5), 1)
        page.post(
            reverse("desk:call-withdrawal", args=[request.pk]), {"reason": "rain"}
        )
    request.refresh_from_db()
    assert request.status == "cancelled"


def test_the_page_is_in_spanish_for_who_reads_it(client):
    member = make_member("office", language="es")
    client.force_login(member)
    client.cookies["django_language"] = "es"

    shown = client.get(reverse("desk:inspections")).content.decode()

    assert "Nada está listo para pedir." in shown


def test_the_list_takes_the_same_number_of_statements(
    office, django_assert_max_num_queries
):
    counts = []
    for rows in (1, 3):
        while call_list(office.member, now=NOW).to_call < rows:
            finish(office_lot(office), office)
        with django_assert_max_num_queries(16) as counted:
            call_list(office.member, now=NOW)
        counts.append(len(counted))
    assert counts[0] == counts[1]


def test_the_page_takes_the_same_number_of_statements(page, office):
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    counts = []
    for rows in (1, 3):
        while call_list(office.member, now=NOW).to_call < rows:
            lot = office_lot(office)
            finish(lot, office)
            finish(lot, office, "rough")
            call_in(lot, kind_of(lot, "rough"), for_date=TUE, who=office, now=NOW)
        with (
            time_machine.travel(NOW, tick=False),
            CaptureQueriesContext(connection) as c,
        ):
            assert page.get(reverse("desk:inspections")).status_code == 200
        counts.append(len(c))
    assert counts[0] == counts[1]


def test_today_says_that_a_cover_comes_before_the_first_inspection(page, office):
    lot = office_lot(office)
    plan_for(lot, make_crew(), TUE, date(2026, 3, 5), office)
    cover_on(lot, date(2026, 3, 6), office)
    look(now=NOW)

    with time_machine.travel(NOW, tick=False):
        shown = page.get(reverse("desk:today")).content.decode()

    assert "the first inspection that can be had is Fri 6 Mar" in shown


@time_machine.travel(NOW)
@pytest.mark.parametrize(
    ("language", "said"),
    [
        ("en", "no date is known: rules.lead: must be an object, not &#x27;soon&#x27;"),
        ("es", "rules.lead: debe ser un objeto, no &#x27;soon&#x27;"),
    ],
)
def test_rules_that_cannot_be_read_are_said_in_the_readers_language(
    page, office, language, said
):
    lot = office_lot(office, rules={"timezone": "America/Chicago", "lead": "soon"})
    finish(lot, office)
    page.cookies["django_language"] = language

    assert said in page.get(reverse("desk:inspections")).content.decode()
