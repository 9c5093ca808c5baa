"""Calling in under the office's own rules."""

from datetime import date

import pytest

from inspections.actions import Told, call_in, call_in_visit, cancel_call, pay_fee
from inspections.actions import record_result as result_of
from inspections.calls import calls_of, first_together
from inspections.models import InspectionRequest, VisitFee
from inspections.office import why_office_unreadable
from inspections.offices import AskByPhone
from inspections.standing import standing_of
from phases.actions.holds import set_hold
from phases.log import Who
from tests.factories import NOW, kind_of, make_crew, make_member, phase_of
from tests.inspections.scene import (
    NEXT_DAY,
    at,
    change_kind,
    cover_on,
    finish,
    office_lot,
    plan_for,
)
from tracker.errors import Refused

pytestmark = pytest.mark.django_db
TUE, WED, SAT = date(2026, 3, 3), date(2026, 3, 4), date(2026, 3, 7)


@pytest.fixture
def office():
    return Who(member=make_member("office"))


def call_of(lot, code="topout", now=NOW, member=None):
    calls = calls_of(standing_of(lot, now=now), now=now, member=member)
    return next(call for call in calls if call.kind.code == code)


def test_a_finished_phase_is_ready_to_call_with_its_first_day_and_cut_off(office):
    lot = office_lot(office)
    finish(lot, office)

    call = call_of(lot)

    assert (call.missing, call.inspect_on) == ([], TUE)
    assert call.call_by == at("2026-03-02T15:00")


def test_planned_work_gives_a_date_and_says_what_is_missing(office):
    lot = office_lot(office)
    plan_for(lot, make_crew(), TUE, WED, office)

    call = call_of(lot)

    assert call.inspect_on == date(2026, 3, 5)
    assert [r["code"] for r in call.missing] == ["work_not_done", "concealed_unproven"]


def test_the_cap_counts_what_we_have_asked_for_whatever_its_lot(office):
    lot = office_lot(office, rules=NEXT_DAY | {"cap_per_day": 1})
    finish(lot, office)
    finish(lot, office, "rough")
    call_in(lot, kind_of(lot, "rough"), for_date=TUE, who=office, now=NOW)

    assert call_of(lot).inspect_on == WED
    with pytest.raises(Refused, match="used up"):
        call_in(lot, kind_of(lot), for_date=TUE, who=office, now=NOW)


def test_a_visit_of_two_needs_two_places_of_the_day(office):
    lot = office_lot(office, rules=NEXT_DAY | {"cap_per_day": 2})
    change_kind(lot, "topout", rides_with=["rough"])
    for code in ("ground", "rough", "topout"):
        finish(lot, office, "underground" if code == "ground" else code)
    call_in(lot, kind_of(lot, "ground"), for_date=TUE, who=office, now=NOW)

    calls = [call_of(lot, "rough"), call_of(lot)]
    assert [call.inspect_on for call in calls] == [TUE, TUE]
    assert first_together(calls) == WED
    both = [kind_of(lot, "rough"), kind_of(lot)]
    with pytest.raises(Refused, match="used up"):
        call_in_visit(lot, both, for_date=TUE, who=office, now=NOW)
    assert InspectionRequest.objects.waiting().count() == 1


def test_a_day_the_rules_do_not_give_needs_the_offices_word(office):
    lot = office_lot(office)
    finish(lot, office)
    kind = kind_of(lot)

    with pytest.raises(Refused, match="no inspections on that weekday"):
        call_in(lot, kind, for_date=SAT, who=office, now=NOW)
    request = call_in(lot, kind, for_date=SAT, who=office, now=NOW, confirmation="S-1")

    assert "no inspections on that weekday" in request.against_rules


def test_a_day_that_was_asked_for_too_late_is_refused(office):
    lot = office_lot(office)
    finish(lot, office)
    late = at("2026-03-02T15:01")

    with pytest.raises(Refused, match="too late"):
        call_in(lot, kind_of(lot), for_date=TUE, who=office, now=late)


def test_an_office_that_publishes_nothing_gives_no_date_and_takes_what_it_says(office):
    lot = office_lot(office, rules={"timezone": "America/Chicago", "lead": "unknown"})
    finish(lot, office)

    assert isinstance(call_of(lot).first, AskByPhone)
    call_in(lot, kind_of(lot), for_date=WED, who=office, now=NOW)


def test_rules_that_cannot_be_read_are_named_and_asked_by_phone(office):
    lot = office_lot(office, rules={"timezone": "America/Chicago", "lead": "soon"})
    finish(lot, office)

    assert why_office_unreadable(lot.subdivision.jurisdiction).key == "rules.lead"
    assert isinstance(call_of(lot).first, AskByPhone)


def test_must_pass_first_has_one_home(office):
    lot = office_lot(office, record={"must_pass_first": {"topout": ["rough"]}})

    trouble = why_office_unreadable(lot.subdivision.jurisdiction)

    assert str(trouble) == (
        "record.must_pass_first: say it on the kind of inspection instead"
    )


def test_a_kind_waits_for_what_must_pass_first(office):
    lot = office_lot(office)
    change_kind(lot, "topout", after=["rough"])
    finish(lot, office)

    with pytest.raises(Refused, match="must pass first"):
        call_in(lot, kind_of(lot), for_date=WED, who=office, now=NOW)
    result_of(
        lot,
        kind_of(lot, "rough"),
        result="passed",
        on=date(2026, 3, 2),
        who=office,
        now=NOW,
    )
    call_in(lot, kind_of(lot), for_date=WED, who=office, now=NOW)


def test_kinds_that_must_ride_together_are_asked_for_in_one_call(office):
    lot = office_lot(office, record={"ride_together": [["rough", "topout"]]})
    finish(lot, office)
    assert [r["code"] for r in call_of(lot).missing] == ["ride_waits"]
    finish(lot, office, "rough")

    with pytest.raises(Refused, match="one visit only"):
        call_in(lot, kind_of(lot), for_date=WED, who=office, now=NOW)
    both = [kind_of(lot, "rough"), kind_of(lot)]
    rows = call_in_visit(lot, both, for_date=WED, who=office, now=NOW)

    assert {row.visit for row in rows} == {rows[0].visit}
    assert InspectionRequest.objects.waiting().count() == 2


def test_a_call_for_two_of_which_one_is_not_ready_records_neither(office):
    lot = office_lot(office)
    finish(lot, office)
    both = [kind_of(lot), kind_of(lot, "rough")]

    with pytest.raises(Refused):
        call_in_visit(lot, both, for_date=WED, who=office, now=NOW, told=Told())

    assert InspectionRequest.objects.count() == 0
    assert phase_of(lot).inspection == "not_called"


PAY_FIRST = {
    "reinspection": {"reasons": ["failed"], "amount": "50.00", "pay_first": True}
}


def test_an_unpaid_fee_blocks_the_next_call_where_the_office_says_so(office):
    lot = office_lot(office, record=PAY_FIRST)
    finish(lot, office)
    finish(lot, office, "rough")
    result_of(
        lot,
        kind_of(lot, "rough"),
        result="failed",
        on=date(2026, 3, 2),
        who=office,
        now=NOW,
    )
    fee = VisitFee.objects.get()
    assert (str(fee.amount), fee.pays, fee.rule) == ("50.00", "us", "visit 1, failed")

    with pytest.raises(Refused, match="a fee is due"):
        call_in(lot, kind_of(lot), for_date=WED, who=office, now=NOW)
    pay_fee(fee, on=TUE, who=office, now=NOW)
    call_in(lot, kind_of(lot), for_date=WED, who=office, now=NOW)


def test_only_who_the_office_names_may_ask(office):
    lot = office_lot(office, record={"who_may_ask": ["licensed plumber"]})
    finish(lot, office)

    with pytest.raises(Refused, match="only licensed plumber may ask"):
        call_in(lot, kind_of(lot), for_date=WED, who=office, now=NOW)
    master = Who(member=make_member("owner", license_number="M-40"))
    call_in(lot, kind_of(lot), for_date=WED, who=master, now=NOW)


def test_an_expired_permit_and_a_hold_turn_the_call_away(office):
    record = {
        "permit": {"days": 180, "renewed_by": "approved_inspection"},
        "turned_away_when": ["permit_expired", "hold"],
    }
    lot = office_lot(office, record=record)
    finish(lot, office)
    lot.permit_issued_on = date(2025, 9, 1)
    lot.save()
    set_hold(lot, owed_by="city", text="survey", who=office, now=NOW)

    codes = [r["code"] for r in call_of(lot, member=office.member).missing]
    assert codes == ["office_permit_expired", "office_hold"]
    # A pass in time would have renewed it.
    result_of(
        lot,
        kind_of(lot, "rough"),
        result="passed",
        on=date(2026, 2, 20),
        who=office,
        now=NOW,
    )
    assert standing_of(lot, now=NOW).permit_ends == date(2026, 8, 19)


def test_the_cover_date_gives_the_last_call_and_the_request_keeps_it(office):
    lot = office_lot(office)
    finish(lot, office)
    cover_on(lot, date(2026, 3, 6), office)

    assert call_of(lot).deadline.call_in_by == at("2026-03-04T15:00")
    request = call_in(lot, kind_of(lot), for_date=TUE, who=office, now=NOW)
    assert request.call_in_by == at("2026-03-04T15:00")


def test_a_cover_before_the_first_inspection_is_seen_at_once(office):
    lot = office_lot(office)
    plan_for(lot, make_crew(), WED, date(2026, 3, 6), office)
    cover_on(lot, date(2026, 3, 6), office)

    assert call_of(lot).cover_too_early is True


def test_cancelling_after_the_offices_hour_brings_its_fee(office):
    record = {
        "reinspection": {"reasons": ["cancelled"], "amount": "unknown"},
        "cancel_by": "08:00",
    }
    lot = office_lot(office, record=record)
    finish(lot, office)
    request = call_in(lot, kind_of(lot), for_date=TUE, who=office, now=NOW)

    cancel_call(request, who=office, now=at("2026-03-03T08:30"), reason="rain")

    fee = VisitFee.objects.get()
    assert (fee.reason, fee.amount) == ("cancelled", None)
    assert fee.rule == "cancelling ended on 2026-03-03 at 08:00"


def test_what_is_asked_for_stays_on_the_list_when_it_was_covered_all_the_same(office):
    lot = office_lot(office)
    finish(lot, office)
    call_in(lot, kind_of(lot), for_date=TUE, who=office, now=NOW)
    cover_on(lot, date(2026, 3, 2), office, status="actual")

    assert call_of(lot).request is not None


def test_how_lots_stand_takes_the_same_number_of_statements(
    office, django_assert_num_queries
):
    from inspections.standing import relevant_lots, standings

    for rows in (1, 3):
        while relevant_lots().count() < rows:
            lot = office_lot(office)
            finish(lot, office)
        with django_assert_num_queries(10):
            assert len(standings(relevant_lots(), now=NOW)) == rows
