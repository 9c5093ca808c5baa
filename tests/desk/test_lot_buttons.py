"""Buttons on the page of a lot: one press, one action."""

from datetime import date

import pytest
from django.urls import reverse

from phases.actions.corrections import Finding, correction_done, open_correction
from phases.models import Correction, Hold
from tests.desk.scene import NOW, Street, signed_in

pytestmark = pytest.mark.django_db


def post(client, route, thing, **data):
    return client.post(reverse(f"desk:{route}", args=[thing.pk]), data)


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
