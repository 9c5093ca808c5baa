"""What is noticed, when, for whom; once, whatever happens to the worker."""

from datetime import date, timedelta

import pytest

from inspections.actions import (
    call_in,
    record_result,
)
from inspections.models import Delivery, Notice
from inspections.notices.writing import look
from phases.actions.corrections import close_correction
from phases.log import Who
from phases.models import Correction
from tests.factories import NOW, kind_of, make_crew, make_member
from tests.inspections.scene import (
    NEXT_DAY,
    at,
    cover_on,
    finish,
    office_lot,
    plan_for,
)
from tracker.sites.models import Lot
from tracker.words import say

pytestmark = pytest.mark.django_db
TUE, WED, THU, FRI = (date(2026, 3, d) for d in (3, 4, 5, 6))


@pytest.fixture
def office():
    return Who(member=make_member("office"))


def open_notices():
    return list(Notice.objects.open().values_list("reason", "subject"))


def test_a_proven_phase_is_proposed_once_however_often_the_clock_looks(office):
    lot = office_lot(office)
    finish(lot, office)

    assert [look(now=NOW), look(now=NOW), look(now=NOW)] == [1, 0, 0]

    notice = Notice.objects.get()
    assert (notice.reason, notice.subject) == ("propose", "proven")
    assert say(notice.words, "en") == "call in topout: ready for 2026-03-03"
    assert notice.due_at == at("2026-03-02T15:00")


def test_a_planned_finish_gives_a_date_a_few_days_before(office):
    lot = office_lot(office)
    plan_for(lot, make_crew(), TUE, WED, office)

    look(now=NOW)

    assert open_notices() == [("propose", "planned")]
    assert Notice.objects.get().words["date"] == "2026-03-05"


def test_the_proposal_of_a_re_inspection_says_the_fee_and_the_visits_left(office):
    lot = office_lot(
        office,
        record={
            "reinspection": {
                "reasons": ["failed"],
                "amount": "55.00",
                "pay_first": False,
            },
            "visit_limit": {"visits": 3, "penalty": "a meeting"},
        },
    )
    finish(lot, office)
    record_result(
        lot, kind_of(lot), result="failed", on=TUE, who=office, now=NOW, pays="builder"
    )
    close_correction(Correction.objects.get(), who=office, now=NOW)
    look(now=NOW)

    words = Notice.objects.get(reason="reinspect").words
    assert say(words, "en").endswith(
        "; fee of the last visit 55.00 USD, to be paid by: builder, "
        "visits left before a meeting: 2"
    )
    assert "paga: constructor, visitas que quedan" in say(words, "es")


def test_what_no_longer_holds_is_settled(office):
    lot = office_lot(office)
    finish(lot, office)
    look(now=NOW)

    call_in(lot, kind_of(lot), for_date=TUE, who=office, now=NOW)
    look(now=NOW + timedelta(minutes=10))

    assert open_notices() == []


def test_the_call_in_by_is_warned_in_the_morning_and_before_the_cut_off(office):
    lot = office_lot(office)
    finish(lot, office)
    cover_on(lot, FRI, office)

    seen = []
    for moment in ("03T16:00", "04T05:50", "04T06:00", "04T12:50", "04T13:00"):
        look(now=at(f"2026-03-{moment}"))
        seen.append(("call_in_by", "morning") in open_notices())
    assert seen == [False, False, True, True, False]
    assert ("call_in_by", "cutoff") in open_notices()
    assert Notice.objects.filter(reason="call_in_by").count() == 2


def test_a_look_that_comes_late_writes_the_last_warning_alone(office):
    lot = office_lot(office)
    finish(lot, office)
    cover_on(lot, FRI, office)

    look(now=at("2026-03-04T14:30"))

    rows = Notice.objects.filter(reason="call_in_by")
    assert [row.subject for row in rows] == ["cutoff"]


def test_a_phase_that_is_not_ready_is_warned_of_with_what_it_lacks(office):
    lot = office_lot(office)
    cover_on(lot, FRI, office)

    look(now=at("2026-03-04T06:00"))

    words = Notice.objects.get(reason="call_in_by").words
    said = say(words, "en")
    assert said.startswith("topout must be called in by 2026-03-04 15:00")
    assert "in-wall items unproven" in said


def test_a_cover_before_the_first_inspection_is_said_with_its_options(office):
    lot = office_lot(office)
    plan_for(lot, make_crew(), TUE, THU, office)
    look(now=NOW)
    assert "cover_too_early" not in [reason for reason, _ in open_notices()]

    cover_on(lot, FRI, office)
    look(now=NOW)

    notice = Notice.objects.get(reason="cover_too_early")
    assert say(notice.words, "en") == (
        "cover on 2026-03-06, and the first inspection that can be had is 2026-03-06. "
        "Options: call in by 2026-03-05 15:00 for 2026-03-06, ask the builder to cover "
        "on 2026-03-07 or later, ask the office for a partial inspection of what is "
        "done, ask the office by phone for an earlier day"
    )


def test_an_asked_inspection_without_a_result_is_noticed_that_evening(office):
    lot = office_lot(office)
    finish(lot, office)
    call_in(lot, kind_of(lot), for_date=TUE, who=office, now=NOW)

    look(now=at("2026-03-03T16:50"))
    assert open_notices() == []
    look(now=at("2026-03-03T17:00"))
    assert [reason for reason, _ in open_notices()] == ["no_result"]

    late = at("2026-03-03T17:30")
    record_result(lot, kind_of(lot), result="passed", on=TUE, who=office, now=late)
    look(now=late)
    assert open_notices() == []


def test_a_failure_put_right_is_proposed_again(office):
    lot = office_lot(office)
    finish(lot, office)
    record_result(lot, kind_of(lot), result="failed", on=TUE, who=office, now=NOW)
    look(now=NOW)
    assert "reinspect" not in [reason for reason, _ in open_notices()]

    close_correction(Correction.objects.get(), who=office, now=NOW)
    look(now=NOW)

    assert [reason for reason, _ in open_notices()] == ["reinspect"]


def test_a_permit_about_to_expire_is_said_a_month_and_a_week_before(office):
    lot = office_lot(office)
    finish(lot, office)
    lot.permit_expires_on = date(2026, 4, 1)
    lot.save()

    look(now=NOW)
    look(now=at("2026-03-26T09:00"))

    rows = Notice.objects.filter(reason="permit_ends").order_by("key")
    assert [row.subject for row in rows] == ["30 days", "7 days"]


@pytest.mark.parametrize(
    ("record", "fields"),
    [
        ({}, {"permit_expires_on": date(2026, 3, 20)}),
        ({"permit": {"days": 180}}, {"permit_issued_on": date(2025, 9, 25)}),
    ],
)
def test_a_permit_ends_on_a_lot_that_nobody_works_on(office, record, fields):
    lot = office_lot(office, record=record)
    Lot.objects.filter(pk=lot.pk).update(**fields)

    look(now=NOW)

    assert open_notices() == [("permit_ends", "30 days")]


def test_closed_days_of_next_year_are_asked_for_from_november(office):
    office_lot(office, rules=NEXT_DAY | {"closed_dates": ["2026-12-24"]})
    # An office that follows a public calendar needs nothing.
    office_lot(office, rules=NEXT_DAY | {"holidays": {"country": "US"}})

    for day in ("2026-10-31", "2026-11-01", "2026-11-20", "2026-12-15", "2026-12-20"):
        look(now=at(f"{day}T09:00"))

    rows = Notice.objects.filter(reason="holidays_missing").order_by("key")
    assert [row.key.rsplit(":", 1)[1] for row in rows] == ["1", "2"]


def test_there_are_never_more_than_two_of_a_reason_for_a_lot_phase(office):
    lot = office_lot(office)
    finish(lot, office)
    for days in range(1, 9):
        now = NOW + timedelta(days=7 * days)
        cover_on(lot, (now + timedelta(days=2)).date(), office, now=now)
        for hours in range(0, 36, 3):
            look(now=now + timedelta(hours=hours))

    for notice in Notice.objects.all():
        same = Notice.objects.filter(lot_phase=notice.lot_phase, reason=notice.reason)
        assert same.count() <= 2


def test_a_clock_set_back_writes_nothing_twice(office):
    lot = office_lot(office)
    finish(lot, office)
    cover_on(lot, FRI, office)
    for moment in ("06:00", "13:00", "06:30", "13:10", "05:00", "14:00"):
        look(now=at(f"2026-03-04T{moment}"))

    assert Notice.objects.filter(reason="call_in_by").count() == 2


def test_only_who_asked_and_only_a_server_that_can_send(office, settings):
    lot = office_lot(office)
    settings.EMAIL_BACKEND = "django.core.mail.backends.dummy.EmailBackend"
    wants = make_member("office", email="a@example.com", wants_email=True)
    make_member("office", email="b@example.com")
    make_member("plumber", email="c@example.com", wants_email=True)
    finish(lot, office)
    look(now=NOW)
    assert Delivery.objects.count() == 0

    settings.EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
    finish(lot, office, "rough")
    look(now=NOW)

    sent = list(Delivery.objects.values_list("member", "way", "notice__reason"))
    assert sent == [(wants.pk, "email", "propose")]


def test_a_look_takes_the_same_number_of_statements_when_nothing_is_new(
    office, django_assert_num_queries
):
    for rows in (1, 3):
        while Notice.objects.count() < rows:
            lot = office_lot(office)
            finish(lot, office)
            look(now=NOW)
        with django_assert_num_queries(22, exact=False) as counted:
            look(now=NOW)
        if rows == 1:
            first = len(counted)
    assert len(counted) == first
