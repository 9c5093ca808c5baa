"""What people do on a lot, against the database."""

from datetime import date, timedelta
from uuid import uuid4

import pytest

from phases.actions.corrections import Finding, close_correction, open_correction
from phases.actions.dates import say_date
from phases.actions.entries import answer_item
from phases.actions.gate import override_gate
from phases.actions.holds import lift_hold, set_hold
from phases.actions.lots import choose_plan, retire_lot
from phases.actions.work import say_part, start_work, work_done
from phases.log import Who, writing
from phases.models import CheckItem, Correction, Fact, Hold, LotPhase
from tests.factories import (
    NOW,
    make_lot,
    make_member,
    make_option,
    make_plan,
    make_superintendent,
    phase_of,
    prove,
)
from tracker.errors import Refused

pytestmark = pytest.mark.django_db
LATER = NOW + timedelta(hours=1)


@pytest.fixture
def lead():
    return Who(member=make_member("lead"))


def test_a_lot_without_plan_has_its_phases_and_its_gate_is_shut_for_want_of_a_list():
    lot = make_lot()

    phase = phase_of(lot)
    assert [p.kind.code for p in lot.phases.select_related("kind")] == [
        "underground",
        "rough",
        "topout",
        "trim",
    ]
    assert phase.gate_open is False
    assert {"code": "no_list"} in phase.gate_missing


def test_a_plan_gives_every_phase_its_items():
    lot = make_lot(plan=make_plan(fixtures=("closet", "lavatory", "tub_shower")))

    counts = {p.kind.code: p.items_total for p in lot.phases.select_related("kind")}
    assert all(counts.values()), counts
    assert phase_of(lot).items_total == phase_of(lot).items.count()


def test_a_tick_is_one_fact_and_proves_its_item(lead):
    lot = make_lot(plan=make_plan())
    item = phase_of(lot).items.filter(proof="tick", photos_needed=0).first()

    answer_item(item, answer="tick", who=lead, now=NOW)

    item.refresh_from_db()
    assert (item.state, item.proven_by) == ("proven", lead.member)
    assert phase_of(lot).work == "working"
    assert Fact.objects.filter(kind="entry", item=item).count() == 1


def test_facts_are_numbered_without_gaps():
    make_lot(plan=make_plan())

    assert list(Fact.objects.values_list("no", flat=True)) == list(
        range(1, Fact.objects.count() + 1)
    )


def test_an_action_that_fails_inside_another_leaves_no_gap(lead):
    lot = make_lot(plan=make_plan())
    phase = phase_of(lot)

    with writing(now=NOW):
        with pytest.raises(Refused):
            set_hold(lot, owed_by="builder", text=" ", who=lead, now=NOW)
        start_work(phase, who=lead, now=NOW)

    numbers = list(Fact.objects.values_list("no", flat=True))
    assert numbers == list(range(1, len(numbers) + 1))


def test_a_measure_needs_a_number_in_the_unit_of_the_item(lead):
    lot = make_lot(plan=make_plan(fixtures=("closet", "shower")))
    item = CheckItem.objects.filter(lot_phase__lot=lot, proof="measure").first()

    for payload in ({}, {"value": "tall"}, {"value": float("nan")}, {"value": True}):
        with pytest.raises(Refused):
            answer_item(item, answer="measure", who=lead, now=NOW, payload=payload)
    assert Fact.objects.filter(kind="entry").count() == 0


def test_a_removed_item_refuses_with_words_in_both_languages(lead):
    lot = make_lot(plan=make_plan(fixtures=("closet", "lavatory")))
    item = phase_of(lot).items.filter(spec__kind="lavatory").first()
    office = Who(member=make_member("office"))
    choose_plan(lot, plan=None, options=[], who=office, now=NOW)

    with pytest.raises(Refused) as refused:
        answer_item(item, answer="tick", who=lead, now=NOW)

    assert "took this item off" in refused.value.say("en")
    assert "quitó este punto" in refused.value.say("es")


def test_an_option_added_before_work_adds_items_silently():
    plan = make_plan(fixtures=("closet",))
    option = make_option(plan, fixtures=("lavatory",))
    lot = make_lot(plan=plan)
    office = Who(member=make_member("office"))

    choose_plan(lot, plan=plan, options=[option], who=office, now=NOW)

    assert phase_of(lot).items.filter(spec__kind="lavatory").exists()
    assert Correction.objects.count() == 0


def test_an_option_added_after_work_is_done_is_a_correction_with_its_reason(lead):
    plan = make_plan(fixtures=("closet",))
    option = make_option(plan, fixtures=("lavatory",))
    lot = make_lot(plan=plan)
    work_done(phase_of(lot), who=lead, now=NOW)
    office = Who(member=make_member("office"))

    choose_plan(lot, plan=plan, options=[option], who=office, now=NOW)

    found = Correction.objects.filter(lot_phase=phase_of(lot))
    assert found.exists()
    assert all(c.billable and "work is done" in c.text and c.text_es for c in found)
    # Phases whose work is still ahead just follow the plan.
    assert not Correction.objects.filter(lot_phase=phase_of(lot, "trim")).exists()


def test_an_answered_item_keeps_its_version_when_the_plan_changes(lead):
    plan = make_plan(fixtures=("shower",))
    lot = make_lot(plan=plan)
    item = (
        phase_of(lot)
        .items.filter(proof="measure", spec__unit="in16", spec__kind="shower")
        .first()
    )
    before = item.spec
    prove(item, who=lead)
    room = plan.rooms.get()
    room.tiled, room.tile, room.backer = "all", 12, 8
    room.floor_finish = 24
    room.save()

    choose_plan(lot, plan=plan, options=[], who=lead_office(), now=NOW)

    item.refresh_from_db()
    assert (item.version, item.answered_version) == (1, 1)
    assert item.spec["least"] == before["least"]
    assert Correction.objects.filter(item=item, source="change").count() == 1

    choose_plan(lot, plan=plan, options=[], who=lead_office(), now=LATER)

    assert Correction.objects.filter(item=item, source="change").count() == 1


def lead_office():
    return Who(member=make_member("office"))


def test_readiness_is_said_part_by_part(lead):
    lot = make_lot()
    phase = phase_of(lot, "underground")
    parts = list(phase.kind.parts.values_list("code", flat=True))

    for part in parts:
        assert phase_of(lot, "underground").work == "not_ready"
        say_part(phase, part, ready=True, who=lead, now=NOW)

    assert phase_of(lot, "underground").work == "ready"


def test_a_superintendent_lifts_only_holds_that_name_the_builder(lead):
    lot = make_lot()
    super_ = Who(superintendent=make_superintendent(lot.subdivision.builder))
    ours = set_hold(lot, owed_by="us", text="Pan not in", who=lead, now=NOW)
    theirs = set_hold(lot, owed_by="builder", text="No power", who=lead, now=NOW)

    with pytest.raises(Refused, match="does not wait for the builder"):
        lift_hold(ours, who=super_, now=LATER)
    lift_hold(theirs, who=super_, now=LATER)

    assert list(Hold.objects.filter(lifted_on=None)) == [ours]


def test_the_cover_gate_is_overridden_by_the_owner_alone_with_a_reason(lead):
    phase = phase_of(make_lot(plan=make_plan()))
    owner = Who(member=make_member("owner"))

    with pytest.raises(Refused):
        override_gate(phase, gate="cover", reason="rain", who=lead, now=NOW)
    with pytest.raises(Refused):
        override_gate(phase, gate="cover", reason=" ", who=owner, now=NOW)
    override_gate(phase, gate="cover", reason="rain coming", who=owner, now=NOW)

    phase = phase_of(phase.lot)
    assert phase.gate_open is True
    assert phase.gate_missing != []


def test_a_cover_date_that_passes_with_the_gate_shut_is_due_and_says_so(lead):
    lot = make_lot(plan=make_plan())
    phase = phase_of(lot)
    say_date(lot, phase=phase, what="cover", date=date(2026, 3, 1), who=lead, now=NOW)

    phase = phase_of(lot)
    assert (phase.cover, phase.cover_reason["code"]) == (
        "due",
        "cover_passed_gate_shut",
    )


def test_an_open_correction_keeps_its_item_from_being_proven(lead):
    lot = make_lot(plan=make_plan())
    item = phase_of(lot).items.filter(proof="tick", photos_needed=0).first()
    answer_item(item, answer="tick", who=lead, now=NOW)
    correction = open_correction(
        lot, Finding("Plate proud", item=item), who=lead, now=NOW
    )

    item.refresh_from_db()
    assert item.state == "failed"

    close_correction(correction, who=lead, now=LATER)
    item.refresh_from_db()
    assert item.state == "proven"


def test_a_retired_lot_refuses_answers_but_keeps_what_it_has(lead):
    lot = make_lot(plan=make_plan())
    item = phase_of(lot).items.first()
    retire_lot(lot, reason="sold", who=lead_office(), now=NOW)

    with pytest.raises(Refused, match="closed this lot"):
        answer_item(item, answer="note", who=lead, now=NOW, payload={"text": "hm"})
    assert LotPhase.objects.filter(lot=lot).count() == 4


def test_the_same_operation_cannot_be_written_twice(lead):
    from django.db import IntegrityError, transaction

    lot = make_lot(plan=make_plan())
    item = phase_of(lot).items.filter(proof="tick").first()
    who = Who(member=lead.member, op=uuid4())
    answer_item(item, answer="tick", who=who, now=NOW)

    with pytest.raises(IntegrityError), transaction.atomic():
        answer_item(item, answer="tick", who=who, now=NOW)

    assert Fact.objects.filter(kind="entry").count() == 1
