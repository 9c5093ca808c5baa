"""What is noticed of tests on the pipe: none is up, or frost may come to it."""

from datetime import date

import pytest

from inspections.actions import call_in, put_up_test, say_forecast
from inspections.models import Delivery, Notice
from inspections.notices.writing import look
from phases.actions.work import plan_phase
from phases.log import Who
from tests.factories import NOW, kind_of, make_crew, make_member, phase_of
from tests.inspections.scene import at, change_kind, finish, office_lot
from tracker.words import say

pytestmark = pytest.mark.django_db
TUE, WED, THU = (date(2026, 3, d) for d in (3, 4, 5))


@pytest.fixture
def office():
    return Who(member=make_member("office"))


def open_notices():
    return list(Notice.objects.open().values_list("reason", "subject"))


def test_nothing_on_test_on_the_eve_of_the_inspection(office):
    lot = office_lot(office)
    change_kind(lot, "topout", on_test=["gas"])
    finish(lot, office)
    call_in(lot, kind_of(lot), for_date=WED, who=office, now=NOW)

    look(now=at("2026-03-03T15:00"))
    assert open_notices() == [("not_on_test", "eve")]

    put_up_test(
        phase_of(lot), system="gas", medium="air", material="steel", who=office, now=NOW
    )
    look(now=at("2026-03-03T15:10"))
    assert open_notices() == []


def test_frost_on_a_water_test_is_warned_of(office):
    lot = office_lot(office)
    finish(lot, office)
    put_up_test(
        phase_of(lot),
        system="dwv",
        medium="water",
        material="pvc",
        who=office,
        now=NOW,
        readings={"head_ft": 10.0},
    )
    say_forecast(lot.subdivision, on=TUE, low_f=27, who=office, now=NOW)

    look(now=NOW)

    assert "frost is forecast (27 F on 2026-03-03)" in say(
        Notice.objects.get(reason="frost").words, "en"
    )


def test_the_lead_hears_of_his_own_lots_test_alone(office):
    crew = make_crew()
    lead = make_member("lead", crew=crew, email="l@example.com", wants_email=True)
    make_member("lead", crew=make_crew(), email="o@example.com", wants_email=True)
    lot = office_lot(office)
    change_kind(lot, "topout", on_test=["gas"])
    plan_phase(phase_of(lot), crew=crew, start=TUE, end=TUE, who=office, now=NOW)
    finish(lot, office)
    call_in(lot, kind_of(lot), for_date=WED, who=office, now=NOW)

    look(now=at("2026-03-03T15:00"))

    told = Delivery.objects.filter(notice__reason="not_on_test")
    assert [row.member for row in told] == [lead]


def test_one_notice_names_every_kind_of_a_visit_that_finds_no_test(office):
    lot = office_lot(office, kinds=("ground", "topout", "gas"))
    change_kind(lot, "topout", on_test=["water"], proves=["topout"])
    change_kind(lot, "gas", on_test=["gas"], proves=["topout"])
    finish(lot, office)
    for code in ("topout", "gas"):
        call_in(lot, kind_of(lot, code), for_date=WED, who=office, now=NOW)

    look(now=at("2026-03-03T15:00"))

    (notice,) = Notice.objects.filter(reason="not_on_test")
    assert sorted(notice.words["kinds"]) == ["gas", "topout"]
    said = say(notice.words, "es", {"gas": "Gas", "topout": "Muros"})
    assert said in (
        "Muros, Gas viene el 2026-03-04 y no hay prueba buena puesta: agua, gas",
        "Gas, Muros viene el 2026-03-04 y no hay prueba buena puesta: gas, agua",
    )
