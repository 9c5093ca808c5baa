"""Tests on the pipe as records: put up, judged, photographed, disturbed, taken down."""

from datetime import date, timedelta

import pytest

from inspections.actions import (
    call_in,
    note_test,
    photograph_test,
    put_up_test,
    read_test,
    record_result,
    take_down_test,
)
from inspections.models import PipeTest
from inspections.pipe_state import rebuild_tests
from phases.actions.lots import choose_plan
from phases.log import Who
from phases.models import Fact
from tests.factories import (
    NOW,
    kind_of,
    make_jurisdiction,
    make_lot,
    make_member,
    make_plan,
    make_subdivision,
    phase_of,
    prove,
)
from tests.inspections.scene import change_kind, finish, office_lot
from tracker.errors import Refused

pytestmark = pytest.mark.django_db
WED = date(2026, 3, 4)
GAS = {
    "minutes": 15,
    "start_psig": 20.0,
    "end_psig": 20.0,
    "start_f": 60.0,
    "end_f": 60.0,
    "gauge_mark_psi": 0.1,
    "gauge_top_psi": 30.0,
    "leak_seen": False,
    "working_psig": 0.5,
}
HOUR = timedelta(hours=1)


@pytest.fixture
def office():
    return Who(member=make_member("office"))


def gas_up(lot, who, now=NOW, **readings):
    return put_up_test(
        phase_of(lot),
        system="gas",
        medium="air",
        material="steel",
        who=who,
        now=now,
        readings={**GAS, **readings},
    )


def test_a_good_gas_test_meets_the_lots_book_and_says_which(office):
    lot = office_lot(office)

    test = gas_up(lot, office)

    assert test.outcome == "pass"
    assert test.sentence.startswith("Meets IRC 2021")
    assert "Compressed gas stores energy" in test.caution
    assert phase_of(lot).on_test is True


def test_a_cold_morning_is_no_leak_and_a_leak_no_cold_morning(office):
    lot = office_lot(office)
    # 20 psi at 60 F: about 19.33 psi at 50 F in a tight pipe.
    cold = gas_up(lot, office, end_f=50.0, end_psig=19.33)
    leak = gas_up(lot, office, end_f=50.0, end_psig=17.0)

    assert cold.outcome == "pass"
    assert "temperature alone explains the fall" in cold.sentence
    assert leak.outcome == "fail"
    assert "no temperature explains" in leak.sentence


def test_readings_that_come_later_are_judged_again(office):
    lot = office_lot(office)
    test = put_up_test(
        phase_of(lot),
        system="gas",
        medium="air",
        material="steel",
        who=office,
        now=NOW,
        readings={"start_psig": 20.0, "start_f": 60.0},
    )
    assert test.outcome == "confirm"

    test = read_test(test, readings=GAS, who=office, now=NOW + HOUR)

    assert test.outcome == "pass"


@pytest.mark.parametrize(
    "readings",
    [
        {"start_psig": -1.0},
        {"start_psig": float("nan")},
        {"start_psig": "20"},
        {"pressure": 20.0},
        {"minutes": 1e9},
    ],
)
def test_a_reading_that_cannot_be_is_refused_and_nothing_is_kept(office, readings):
    lot = office_lot(office)

    with pytest.raises(Refused, match="cannot be"):
        gas_up(lot, office, **readings)
    assert Fact.objects.filter(kind="pipe_test").count() == 0


def air_on_drains(lot, who):
    return put_up_test(
        phase_of(lot, "rough"),
        system="dwv",
        medium="air",
        material="pvc",
        who=who,
        now=NOW,
        readings={"start_psig": 5.0},
    )


def test_air_on_plastic_drains_is_refused_where_the_office_refuses_it(office):
    record = {
        "tests_refused": [{"system": "dwv", "medium": "air", "material": "plastic"}]
    }
    lot = office_lot(office, record=record)

    with pytest.raises(Refused) as refused:
        air_on_drains(lot, office)

    assert "the office accepts no air test of plastic dwv" in str(refused.value)
    assert "can shatter" in str(refused.value)
    assert "Esta prueba no se permite" in refused.value.say("es")


def test_air_on_plastic_drains_is_refused_where_a_local_rule_refuses_it(office):
    note = "ordinance 12"
    change = {"cell": "test.dwv.no_plastic", "value": "refused", "note": note}
    jurisdiction = make_jurisdiction(amendments=[change])
    plan = make_plan()
    street = make_subdivision(builder=plan.builder, jurisdiction=jurisdiction)
    lot = make_lot(subdivision=street, plan=plan)

    with pytest.raises(Refused, match="ordinance 12"):
        air_on_drains(lot, office)


def test_the_life_of_a_test(office):
    lot = office_lot(office)
    change_kind(lot, "topout", on_test=["gas"])
    finish(lot, office)
    test = gas_up(lot, office)
    assert (test.is_up, test.photo, test.inspected_at) == (True, "", None)

    test = photograph_test(test, photo="a" * 64, who=office, now=NOW + HOUR)
    call_in(lot, kind_of(lot), for_date=WED, who=office, now=NOW)
    record_result(
        lot, kind_of(lot), result="passed", on=WED, who=office, now=NOW + 48 * HOUR
    )
    test = PipeTest.objects.get()
    assert test.photo == "a" * 64
    assert test.inspected_at == NOW + 48 * HOUR

    test = take_down_test(test, who=office, now=NOW + 50 * HOUR, caps_left=3)
    assert (test.is_up, test.down_by) == (False, office.name)
    assert phase_of(lot).on_test is False
    with pytest.raises(Refused):
        take_down_test(test, who=office, now=NOW + 51 * HOUR)


def test_a_test_that_lost_its_pressure_blocks_the_call_until_it_is_done_again(office):
    lot = office_lot(office)
    change_kind(lot, "topout", on_test=["gas"])
    finish(lot, office)
    test = gas_up(lot, office)
    note_test(test, event="lost_pressure", who=office, now=NOW + HOUR)
    assert phase_of(lot).on_test is False

    with pytest.raises(Refused, match="it lost pressure"):
        call_in(lot, kind_of(lot), for_date=WED, who=office, now=NOW)
    gas_up(lot, office, now=NOW + 2 * HOUR)
    call_in(lot, kind_of(lot), for_date=WED, who=office, now=NOW)

    assert phase_of(lot).on_test is True


def test_a_test_taken_down_before_the_call_is_missing_until_one_stands_again(office):
    lot = office_lot(office)
    change_kind(lot, "topout", on_test=["gas"])
    finish(lot, office)
    water = {"system": "water_supply", "medium": "water", "material": "pex"}
    put_up_test(phase_of(lot), **water, who=office, now=NOW)
    take_down_test(gas_up(lot, office), who=office, now=NOW + HOUR)
    ask = {"for_date": WED, "who": office, "now": NOW + 2 * HOUR}

    with pytest.raises(Refused, match=r"test taken down \(gas\)") as no:
        call_in(lot, kind_of(lot), **ask)
    assert "prueba quitada (gas)" in no.value.say("es")

    gas_up(lot, office, now=NOW + 2 * HOUR)
    assert call_in(lot, kind_of(lot), **ask).status == "asked"


def test_a_test_that_fails_the_code_is_missing_until_it_is_read_or_done_again(office):
    lot = office_lot(office)
    change_kind(lot, "topout", on_test=["gas"])
    finish(lot, office)
    test = gas_up(lot, office, end_psig=12.0)
    assert test.outcome == "fail"

    with pytest.raises(Refused, match=r"does not meet the code \(gas\)"):
        call_in(lot, kind_of(lot), for_date=WED, who=office, now=NOW)

    read_test(test, readings={"end_psig": 20.0}, who=office, now=NOW)
    call_in(lot, kind_of(lot), for_date=WED, who=office, now=NOW)


def test_one_test_taken_down_leaves_the_other_standing(office):
    lot = office_lot(office)
    first = gas_up(lot, office)
    put_up_test(
        phase_of(lot),
        system="water_supply",
        medium="water",
        material="pex",
        who=office,
        now=NOW,
        readings={"start_psig": 80.0},
    )

    take_down_test(first, who=office, now=NOW + HOUR)

    assert phase_of(lot).on_test is True


def test_caps_left_in_are_an_item_of_the_trim_that_no_change_of_plan_drops(office):
    lot = office_lot(office)
    test = gas_up(lot, office)
    take_down_test(test, who=office, now=NOW + HOUR, caps_left=4)

    item = phase_of(lot, "trim").items.get(key=f"caps/{test.pk}")
    assert item.spec["text_en"] == "Clear 4 test caps or plugs (gas)"
    prove(item, who=office, now=NOW)
    other = make_plan(builder=lot.subdivision.builder, fixtures=("lavatory",))
    choose_plan(lot, plan=other, options=[], who=office, now=NOW)

    item.refresh_from_db()
    assert (item.state, item.removed_at) == ("proven", None)


def test_a_street_without_a_code_book_is_to_be_confirmed_never_passed(office):
    plan = make_plan()
    street = make_subdivision(builder=plan.builder, code_book="", edition="")
    lot = make_lot(subdivision=street, plan=plan)

    test = gas_up(lot, office)

    assert test.outcome == "confirm"
    assert "no code book and edition is set" in test.sentence


def test_every_row_can_be_made_again_from_its_facts(office):
    lot = office_lot(office)
    test = gas_up(lot, office)
    photograph_test(test, photo="b" * 64, who=office, now=NOW + HOUR)
    note_test(test, event="disturbed", who=office, now=NOW + 2 * HOUR)
    take_down_test(test, who=office, now=NOW + 3 * HOUR, caps_left=1)
    gas_up(lot, office, now=NOW + 4 * HOUR)
    before = list(PipeTest.objects.order_by("put_up_at").values())
    PipeTest.objects.all().delete()

    assert rebuild_tests(now=NOW + 5 * HOUR) == 2

    assert list(PipeTest.objects.order_by("put_up_at").values()) == before
