"""What each kind of operation does on the lot, over the API."""

import pytest

from phases.models import CheckItem, Correction, Fact, Hold
from tests.phone.asking import results, send, state
from tests.phone.scene import make_member, make_scene, on_item, op
from tracker.phone.models import Operation

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene():
    return make_scene()


@pytest.fixture
def phone(scene):
    return scene.phone()


def test_a_reading_out_of_tolerance_needs_a_reason(client, scene, phone):
    low = {"value": 1200, "unit": "in16"}
    bare = on_item(scene, "measure", "shower-head", version=1, payload=low)
    said = on_item(
        scene,
        "measure",
        "shower-head",
        version=1,
        payload={**low, "reason": "beam above"},
    )

    receipts = send(client, scene, phone, bare, said)

    assert results(receipts) == [("refused", "off_needs_reason"), ("applied", "")]
    assert receipts[0]["en"].startswith('Out of tolerance by 4 3/4"')
    assert state(scene, "shower-head") == "failed"


def test_an_answer_stays_tied_to_the_version_it_was_given_on(client, scene, phone):
    item = scene.items["shower-head"]
    CheckItem.objects.filter(pk=item.pk).update(
        version=2, spec={**item.spec, "least": 1500, "most": 1510}
    )
    good_then = {"value": 1280, "unit": "in16"}

    receipts = send(
        client,
        scene,
        phone,
        on_item(scene, "measure", "shower-head", version=1, payload=good_then),
    )

    assert results(receipts) == [("applied", "")]
    assert Fact.objects.get(kind="entry").payload["version"] == 1


def test_two_different_readings_are_both_kept_for_the_office(client, scene, phone):
    other = make_member("Quint", "plumber", scene.crew)
    his = scene.phone(other)
    send(
        client,
        scene,
        phone,
        on_item(
            scene, "measure", "shower-head", payload={"value": 1280, "unit": "in16"}
        ),
    )

    send(
        client,
        scene,
        his,
        on_item(
            scene,
            "measure",
            "shower-head",
            member=str(other.pk),
            payload={"value": 1290, "unit": "in16"},
        ),
    )

    assert state(scene, "shower-head") == "conflict"
    assert [f.payload["value"] for f in Fact.objects.filter(kind="entry")] == [
        1280,
        1290,
    ]


def test_the_phones_clock_is_a_claim_put_right_by_its_skew(client, scene, phone):
    ahead = on_item(scene, "tick", "closet-drain", at="2031-01-01T08:00:00Z")

    send(client, scene, phone, ahead, sent_at="2031-01-01T09:00:00Z")

    fact = Fact.objects.get(kind="entry")
    assert 3590 < (fact.recorded_at - fact.happened_at).total_seconds() < 3660
    assert Operation.objects.get().claimed_at.year == 2031
    phone.refresh_from_db()
    assert phone.clock_skew_seconds > 4 * 365 * 24 * 3600 - 10**8


def test_not_done_sets_a_hold_for_the_other_trade(client, scene, phone):
    because = {"owed_by": "framer", "text": "Something is in the way"}

    receipts = send(
        client, scene, phone, on_item(scene, "not_done", "tub-valve", payload=because)
    )

    assert results(receipts) == [("applied", "")]
    assert [(h.owed_by, h.text) for h in Hold.objects.all()] == [
        ("framer", "Something is in the way")
    ]
    assert state(scene, "tub-valve") == "not_done"


def test_a_walk_correction_has_the_operations_id_and_can_be_done_offline(
    client, scene, phone
):
    walk = on_item(
        scene,
        "walk_correction",
        "closet-drain",
        payload={"owed_by": "us", "text": "Drain knocked loose"},
    )
    done = op(scene, "correction_done", f"correction:{walk['id']}", after=walk["id"])

    receipts = send(client, scene, phone, walk, done)

    assert results(receipts) == [("applied", ""), ("applied", "")]
    correction = Correction.objects.get()
    assert (str(correction.pk), correction.state) == (walk["id"], "done")


def test_only_a_lead_walks_and_says_work_done(client, scene, phone):
    leads = scene.phone(scene.lead)
    target = f"phase:{scene.phase.pk}"
    as_lead = {"member": str(scene.lead.pk)}

    mine = send(
        client,
        scene,
        phone,
        on_item(scene, "walk_good", "closet-drain"),
        op(scene, "work", target, payload={"what": "started"}),
        op(scene, "work", target, payload={"what": "done"}),
    )
    his = send(
        client,
        scene,
        leads,
        on_item(scene, "walk_good", "closet-drain", **as_lead),
        op(scene, "work", target, payload={"what": "done"}, **as_lead),
        op(scene, "work", target, payload={"what": "on_test"}, **as_lead),
        op(
            scene,
            "inspection_result",
            target,
            payload={
                "inspection": "top-out",
                "result": "failed",
                "corrections": ["No plate at the lavatory"],
            },
            **as_lead,
        ),
    )

    assert results(mine) == [
        ("refused", "not_yours"),
        ("applied", ""),
        ("refused", "not_yours"),
    ]
    assert results(his) == [("applied", "")] * 4
    scene.phase.refresh_from_db()
    assert scene.phase.inspection == "failed"
    assert [c.text for c in Correction.objects.all()] == ["No plate at the lavatory"]


def test_a_hundred_operations_come_back_in_the_order_they_were_asked(
    client, scene, phone
):
    notes = [
        on_item(scene, "note", "closet-drain", payload={"text": f"{n}"})
        for n in range(100)
    ]

    receipts = send(client, scene, phone, *reversed(notes))

    assert [one["id"] for one in receipts] == [one["id"] for one in reversed(notes)]
    texts = [f.payload["text"] for f in Fact.objects.filter(kind="entry")]
    assert texts == [str(n) for n in range(100)]
