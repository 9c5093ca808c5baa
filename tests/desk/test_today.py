"""Today: each line that needs a decision, with its one action."""

from datetime import UTC, date, datetime, timedelta

import pytest
from django.urls import reverse

from phases.actions.corrections import Finding, open_correction
from phases.actions.dates import say_date
from phases.actions.holds import set_hold
from phases.actions.work import plan_phase, say_part, start_work, work_done
from phases.models import DrawTerm, PhaseKind
from tests.desk.scene import NOW, Street, signed_in
from tests.factories import make_member, prove_phase
from tracker.desk.doing import office_today
from tracker.desk.today.queries import today_lines
from tracker.desk.today.rules import next_workday
from tracker.people.models import Device, Member
from tracker.phone.intake import set_aside

pytestmark = pytest.mark.django_db
TODAY = NOW.date()


def lines(street, role="office", today=TODAY):
    return today_lines(make_member(role, crew=street.crew), today=today, now=NOW)


def send(street, phase, day):
    plan_phase(phase, crew=street.crew, start=day, end=day, who=street.office, now=NOW)


def test_a_cover_date_near_with_the_gate_shut_is_a_line():
    street = Street()
    phase = street.phase("underground")
    say_date(
        phase.lot, what="cover", date=TODAY, phase=phase, who=street.office, now=NOW
    )

    assert lines(street).cover_near == [phase]


def test_a_wall_covered_before_it_was_proven_is_a_line():
    street = Street()
    phase = street.phase("topout")
    say_date(
        phase.lot,
        what="cover",
        date=TODAY,
        phase=phase,
        status="actual",
        who=street.office,
        now=NOW,
    )

    found = lines(street)
    assert (found.covered, found.cover_near) == ([phase], [])


def test_a_planned_start_that_nobody_confirmed_stands_there_the_day_before():
    street = Street()
    phase = street.phase("underground")
    send(street, phase, TODAY + timedelta(days=1))

    assert lines(street).unconfirmed == [phase]
    assert lines(street, today=TODAY - timedelta(days=4)).unconfirmed == []


def test_a_confirmed_start_is_no_line():
    street = Street()
    phase = street.phase("underground")
    send(street, phase, TODAY + timedelta(days=1))
    for part in ("permit", "locate", "pad"):
        say_part(phase, part, ready=True, who=street.lead, now=NOW)

    assert lines(street).unconfirmed == []


def test_proven_work_is_to_be_called_in_and_unproven_work_to_be_proven():
    street = Street(lots=2)
    proven, open_one = street.phase("underground"), street.phase("underground", 1)
    for phase in (proven, open_one):
        start_work(phase, who=street.lead, now=NOW)
        work_done(phase, who=street.lead, now=NOW)
    prove_phase(proven, who=street.lead)

    found = lines(street)
    assert [visit.lot for visit in found.visits] == [proven.lot]
    assert found.unproven == [open_one]


def test_a_phase_that_is_inspected_with_a_later_one_is_no_line_until_that_is_done():
    street = Street()
    kind = street.jurisdiction.kinds.get(code="topout")
    kind.proves = ["rough", "topout"]
    kind.save()
    street.jurisdiction.kinds.exclude(code="topout").delete()
    for code in ("rough", "topout"):
        phase = street.phase(code)
        start_work(phase, who=street.lead, now=NOW)
        work_done(phase, who=street.lead, now=NOW)
        prove_phase(phase, who=street.lead)
        found = lines(street)
        assert (len(found.visits), found.unproven) == (code == "topout", [])


def test_done_work_that_no_office_inspects_is_a_line_that_says_so():
    street = Street()
    street.subdivision.jurisdiction = None
    street.subdivision.save()
    phase = street.phase("underground")
    start_work(phase, who=street.lead, now=NOW)
    work_done(phase, who=street.lead, now=NOW)
    prove_phase(phase, who=street.lead)

    found = lines(street)
    assert (found.visits, found.no_office) == ([], [phase])


def test_what_a_phone_sent_and_a_rule_refused_is_a_line_of_the_office():
    street = Street()
    device = Device.objects.create(
        member=street.lead.member, name="Lead's phone", enrolled_at=NOW
    )
    for n in range(2):
        set_aside({"n": n}, {"code": "not_yours"}, device=device, now=NOW)

    page = signed_in("office")[0].get("/").content.decode()
    assert "Refused entries of phones" in page
    assert "2 entries are kept" in page
    assert f'href="{reverse("desk:people")}#set-aside"' in page

    lead = signed_in("lead", crew=street.crew)[0].get("/").content.decode()
    assert "Refused entries of phones" not in lead


def test_an_empty_day_says_what_would_stand_there():
    page = signed_in("office", language="es")[0].get("/").content.decode()

    assert "Nada espera una decisión." in page
    assert "Aquí aparece sola una línea" in page


def test_a_crew_without_a_ready_lot_is_a_line():
    street = Street()
    phase = street.phase("underground")
    send(street, phase, TODAY)

    (idle,) = lines(street).idle
    assert (idle.crew, idle.sent) == (street.crew, (phase,))

    start_work(phase, who=street.lead, now=NOW)
    assert lines(street).idle == []


def test_a_crew_that_is_off_is_not_idle():
    street = Street()
    street.crew.days_off.create(date=next_workday(TODAY))

    assert lines(street).idle == []


def test_a_hold_is_a_line_when_it_is_old_enough():
    street = Street()
    hold = set_hold(
        street.lots[0], owed_by="builder", text="No power", who=street.lead, now=NOW
    )

    assert lines(street, today=TODAY + timedelta(days=4)).holds == []
    assert lines(street, today=TODAY + timedelta(days=5)).holds == [hold]


def test_an_overdue_correction_is_a_line_until_it_is_closed():
    street = Street()
    finding = Finding(text="Strap it", due_on=TODAY)
    correction = open_correction(street.lots[0], finding, who=street.lead, now=NOW)

    assert lines(street).corrections == []
    assert lines(street, today=TODAY + timedelta(days=1)).corrections == [correction]


def test_what_is_earned_and_not_billed_is_one_line_a_builder_and_not_for_leads():
    street = Street()
    kind = PhaseKind.objects.get(code="underground")
    DrawTerm.objects.create(
        builder=street.builder, kind=kind, amount=2650, earned_on="cover"
    )
    phase = street.phase("underground")
    say_date(
        phase.lot,
        what="cover",
        date=TODAY,
        phase=phase,
        status="actual",
        who=street.office,
        now=NOW,
    )

    (line,) = lines(street).unbilled
    assert (line.builder, line.count, line.amount) == (street.builder.name, 1, 2650)
    assert lines(street, role="lead").unbilled == []


@pytest.mark.parametrize("rows", [1, 3])
def test_today_takes_as_many_statements_for_any_number_of_lines(
    rows, django_assert_num_queries
):
    street = Street(lots=rows)
    for place in range(rows):
        phase = street.phase("underground", place)
        send(street, phase, date(2020, 1, 2))
        done = street.phase("rough", place)
        start_work(done, who=street.lead, now=NOW)
        work_done(done, who=street.lead, now=NOW)
        set_hold(phase.lot, owed_by="city", text="Permit", who=street.lead, now=NOW)
        finding = Finding(text="Strap it", due_on=date(2020, 1, 2))
        open_correction(phase.lot, finding, who=street.lead, now=NOW)
    client, _ = signed_in("office")

    with django_assert_num_queries(28):
        answer = client.get("/")

    found = answer.context["lines"]
    assert (len(found.unconfirmed), len(found.unproven)) == (rows, rows)


def test_a_lead_sees_the_lines_of_his_own_lots_alone():
    street = Street(lots=2)
    send(street, street.phase("underground"), TODAY)
    for lot in street.lots:
        set_hold(lot, owed_by="city", text="Permit", who=street.lead, now=NOW)
    client = signed_in("lead", crew=street.crew)[0]

    found = client.get("/").context["lines"]

    assert [hold.lot for hold in found.holds] == [street.lots[0]]


def test_a_plumber_is_led_to_his_lots():
    street = Street()
    client, _ = signed_in("plumber", crew=street.crew)

    assert client.get("/").url == reverse("desk:lots")


def test_confirm_on_today_says_all_parts_ready_and_comes_back():
    street = Street()
    phase = street.phase("underground")
    send(street, phase, TODAY)
    client, office = signed_in("office")

    answer = client.post(reverse("desk:readiness", args=[phase.pk]), {"next": "/"})

    phase.refresh_from_db()
    said = phase.facts.filter(kind="part_said")
    assert answer.url == "/"
    assert phase.work_reason == {"code": "planned"}
    assert {fact.by for fact in said} == {Member.objects.get(pk=office.pk)}


@pytest.mark.parametrize(
    ("today", "day"),
    [
        (date(2026, 3, 2), date(2026, 3, 3)),
        (date(2026, 3, 6), date(2026, 3, 9)),
        (date(2026, 7, 2), date(2026, 7, 6)),
    ],
)
def test_the_next_working_day_skips_weekends_and_federal_holidays(today, day):
    assert next_workday(today) == day


def test_an_evening_hour_is_still_the_same_day_at_the_office():
    assert office_today(datetime(2026, 3, 3, 2, 0, tzinfo=UTC)) == date(2026, 3, 2)
