"""The page of one house: what it shows, and what its forms and buttons do."""

from datetime import date

import pytest
from django.urls import reverse

from inspections.actions import call_in
from inspections.models import InspectionRequest
from phases.actions.corrections import Finding, correction_done, open_correction
from phases.actions.entries import answer_item
from phases.actions.holds import set_hold
from phases.actions.work import put_on_test, start_work, work_done
from phases.models import CheckItem, Correction, Hold
from tests.desk.scene import NOW, Street, signed_in
from tests.factories import kind_of, make_option, prove_phase
from tracker.sites.models import BuilderDate, Company

pytestmark = pytest.mark.django_db


def page_of(lot, **asked):
    return reverse("desk:lot", args=[lot.pk]), asked


def post(client, route, thing, **data):
    return client.post(reverse(f"desk:{route}", args=[thing.pk]), data)


def answered(street):
    """A measure, a hold and a correction on the first lot; the measured item."""
    lot = street.lots[0]
    item = street.phase("topout").items.filter(proof="measure").first()
    least = item.spec["least"] - 2
    payload = {"value": least, "unit": item.spec["unit"], "reason": "stud in the way"}
    answer_item(item, answer="measure", who=street.lead, now=NOW, payload=payload)
    set_hold(lot, owed_by="electrician", text="Panel", who=street.lead, now=NOW)
    finding = Finding(text="Strap it", text_es="Sujetar", item=item)
    open_correction(lot, finding, who=street.lead, now=NOW)
    return item


@pytest.mark.parametrize("rows", [1, 3])
def test_a_lot_takes_as_many_statements_for_any_number_of_things(
    rows, django_assert_num_queries
):
    street = Street(fixtures=("closet", "lavatory", "tub_shower")[:rows])
    lot = street.lots[0]
    for _ in range(rows):
        set_hold(lot, owed_by="city", text="Permit", who=street.lead, now=NOW)
        open_correction(lot, Finding(text="Strap"), who=street.lead, now=NOW)
    client, _ = signed_in("office")
    client.get(*page_of(lot))

    with django_assert_num_queries(31):
        answer = client.get(*page_of(lot, phase="all"))

    house = answer.context["house"]
    assert (len(house.holds), len(house.corrections)) == (rows, rows)


def test_a_lot_shows_items_answers_holds_and_corrections():
    street = Street(fixtures=("lavatory",))
    item = answered(street)
    client, _ = signed_in("office")

    text = client.get(*page_of(street.lots[0], phase="topout")).content.decode()

    for said in (item.spec["text_en"], "Panel", "Strap it", "off by", "from subfloor"):
        assert said in text


def test_a_lot_reads_in_spanish():
    street = Street(fixtures=("lavatory",))
    item = answered(street)
    client, _ = signed_in("office", language="es")

    text = client.get(*page_of(street.lots[0], phase="topout")).content.decode()

    for said in (item.spec["text_es"], "Sujetar", "electricista", "fuera por", "Lote"):
        assert said in text


def test_items_of_the_phase_that_needs_looking_at_are_listed_first():
    street = Street()
    client, _ = signed_in("office")
    prove_phase(street.phase("underground"), who=street.lead)

    def phases(**asked):
        house = client.get(*page_of(street.lots[0], **asked)).context["house"]
        lines = [line for room in house.rooms for line in room.items]
        return {line.item.lot_phase.kind.code for line in lines}

    assert phases() == {"underground"}
    assert phases(phase="trim") == {"trim"}
    assert phases(phase="underground", show="open") == set()
    assert len(phases(phase="all")) > 2


def test_a_lot_without_plan_says_not_proven_no_list():
    street = Street(lots=0)
    lot = street.lot(plan=None)
    client, _ = signed_in("office")

    text = client.get(*page_of(lot)).content.decode()

    assert "not proven: no list" in text
    assert "Not proven: no list. Choose a plan with fixtures" in text


def test_a_foreign_lot_answers_like_a_missing_one():
    street = Street()
    client, _ = signed_in("plumber", crew=street.crew)

    foreign = client.get(*page_of(street.lots[0]))
    missing = client.get(reverse("desk:lot", args=[street.lots[0].pk + 999]))

    assert (foreign.status_code, missing.status_code) == (404, 404)
    assert foreign.content.decode().count("csrf") == missing.content.decode().count(
        "csrf"
    )


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


def test_a_hold_is_set_and_lifted():
    street = Street()
    client, _ = signed_in("office")

    post(client, "lot-holds", street.lots[0], owed_by="city", text="Permit not there")
    hold = Hold.objects.get()
    post(client, "hold-lifting", hold)

    hold.refresh_from_db()
    assert (hold.text, hold.lifted_on is not None) == ("Permit not there", True)


def test_a_correction_is_opened_said_done_accepted_and_reopened():
    street = Street()
    client, _ = signed_in("office")
    data = {"text": "Strap it", "owed_by": "us", "source": "walk"}
    states = []

    post(client, "lot-corrections", street.lots[0], **data)
    correction = Correction.objects.get()
    for route, more in (
        ("correction-done", {}),
        ("correction-closing", {}),
        ("correction-reopening", {"reason": "Loose again"}),
    ):
        post(client, route, correction, **more)
        correction.refresh_from_db()
        states.append(correction.state)

    assert states == ["done", "closed", "open"]


def test_a_refusal_of_a_button_is_said_in_words():
    street = Street()
    correction = open_correction(
        street.lots[0], Finding(text="Strap it"), who=street.lead, now=NOW
    )
    correction_done(correction, who=street.lead, now=NOW)
    client, _ = signed_in("office")

    answer = client.post(
        reverse("desk:correction-reopening", args=[correction.pk]),
        {"reason": " "},
        follow=True,
    )

    assert [str(message) for message in answer.context["messages"]] == ["Say why."]


def test_work_goes_from_started_to_done_to_on_test_and_back():
    street = Street()
    phase = street.phase("underground")
    client, _ = signed_in("lead", crew=street.crew)
    lead = client
    office, _ = signed_in("office")
    seen = []

    for act, reason in (
        ("started", ""),
        ("work_done", ""),
        ("on_test", ""),
        ("off_test", ""),
        ("reopened", "Wye the wrong way"),
    ):
        post(office, "progress", phase, act=act, reason=reason)
        phase.refresh_from_db()
        seen.append((phase.work, phase.on_test))

    assert seen == [
        ("working", False),
        ("done", False),
        ("done", True),
        ("done", False),
        ("working", False),
    ]
    assert post(lead, "progress", phase, act="work_done").status_code == 404


def test_an_unknown_act_is_refused():
    street = Street()
    client, _ = signed_in("office")

    answer = client.post(
        reverse("desk:progress", args=[street.phase("trim").pk]),
        {"act": "delete"},
        follow=True,
    )

    assert [str(m) for m in answer.context["messages"]] == ["Unknown kind: delete."]


def test_one_part_is_said_ready_and_taken_back():
    street = Street()
    phase = street.phase("underground")
    client, _ = signed_in("office")
    seen = []

    for ready in ("yes", "no"):
        post(client, "readiness", phase, part="permit", ready=ready)
        phase.refresh_from_db()
        seen.append("permit" in phase.work_reason["parts"])

    assert seen == [False, True]


def test_a_move_takes_a_planned_start_with_it():
    street = Street()
    phase = street.phase("underground")
    client, _ = signed_in("office")
    sent = {"crew": street.crew.pk, "start": "2026-03-04", "days": "2"}
    post(client, "sending", phase, **sent)

    post(client, "move", phase, start="2026-03-10")

    phase.refresh_from_db()
    assert (phase.ready_date, phase.planned_start, phase.planned_end) == (
        date(2026, 3, 10),
        date(2026, 3, 10),
        date(2026, 3, 11),
    )


def test_a_move_to_no_date_is_refused_in_words():
    street = Street()
    client, _ = signed_in("office")

    answer = client.post(
        reverse("desk:move", args=[street.phase("trim").pk]), {"start": ""}, follow=True
    )

    (said,) = [str(message) for message in answer.context["messages"]]
    assert said.startswith("Start: ")


def test_the_cover_gate_is_the_owners_alone():
    street = Street()
    phase = street.phase("topout")
    office, owner = signed_in("office")[0], signed_in("owner")[0]
    data = {"gate": "cover", "reason": "Builder signed for it"}

    post(office, "gate", phase, **data)
    phase.refresh_from_db()
    assert phase.gate_open is False

    post(owner, "gate", phase, **data)
    phase.refresh_from_db()
    assert phase.gate_open is True


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
    assert "gate_code: – → 4417#" in record


def test_an_option_adds_its_items():
    street = Street()
    lot = street.lots[0]
    option = make_option(street.plan, fixtures=("lavatory",))
    client, _ = signed_in("office")
    before = CheckItem.objects.filter(lot_phase__lot=lot).count()

    post(client, "lot-plan", lot, plan=street.plan.pk, options=[option.pk])

    assert list(lot.options.all()) == [option]
    assert CheckItem.objects.filter(lot_phase__lot=lot).count() > before


def test_the_record_keeps_money_from_those_it_is_not_for():
    street = Street()
    phase = street.phase("underground")
    start_work(phase, who=street.lead, now=NOW)
    lot = phase.lot
    lot.facts.create(
        no=10_000,
        kind="billed",
        payload={"invoice": "17"},
        happened_at=NOW,
        recorded_at=NOW,
    )
    phase.helper_rows.create(crew=street.crew)
    page = reverse("desk:lot-record", args=[lot.pk])

    office, lead = signed_in("office")[0], signed_in("lead", crew=street.crew)[0]

    assert "billed on invoice 17" in office.get(page).content.decode()
    text = lead.get(page).content.decode()
    assert ("work started" in text, "billed" in text) == (True, False)


def test_a_photo_is_shown_only_to_who_may_see_its_lot(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    street = Street(fixtures=("closet",))
    Company.objects.create()
    prove_phase(street.phase("underground"), who=street.lead)
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "p.jpg").write_bytes(b"picture")
    sha = street.lots[0].photo_uses.first().photo_sha
    office, other = signed_in("office")[0], signed_in("plumber", crew=street.crew)[0]
    page = reverse("desk:photo", args=[sha])

    shown = office.get(page)

    assert b"".join(shown.streaming_content) == b"picture"
    assert other.get(page).status_code == 404
    assert office.get(reverse("desk:photo", args=["0" * 64])).status_code == 404
