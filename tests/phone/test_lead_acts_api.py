"""Tests on the pipe, results and corrections with pictures, over the API."""

import pytest

from inspections.models import InspectionResult, PipeTest, WalkHint
from phases.models import Correction, Fact, PhotoUse
from tests.phone import pictures_made as made
from tests.phone.asking import results, send
from tests.phone.scene import TODAY, make_scene, on_item, op
from tests.phone.sending import upload
from tracker.phone.lot_docs import lot_docs
from tracker.sites.models import InspectionKind, Subdivision

pytestmark = pytest.mark.django_db
PICTURE = made.jpeg(seed=3, size=(64, 48))
SHA = made.sha(PICTURE)
UP = {
    "system": "gas",
    "medium": "air",
    "material": "steel",
    "readings": {"start_psig": 20, "start_f": 60, "gauge_top_psi": 30},
}
HELD = {
    "minutes": 15,
    "end_psig": 20,
    "end_f": 60,
    "leak_seen": False,
    "working_psig": 0.5,
}


@pytest.fixture
def scene():
    made_scene = make_scene()
    Subdivision.objects.update(code_book="IRC", edition="2021")
    return made_scene


@pytest.fixture
def phone(scene):
    return scene.phone()


def put_up(scene, **payload):
    return op(scene, "pipe_test", f"phase:{scene.phase.pk}", payload={**UP, **payload})


def later(scene, up, what, **payload):
    known = {"payload": {"what": what, **payload}, "after": up["id"]}
    return op(scene, "pipe_test", f"test:{up['id']}", **known)


def doc(scene, member=None):
    return lot_docs([scene.lot.pk], member=member or scene.plumber, today=TODAY)[0]


def test_a_test_is_put_up_read_and_photographed_in_one_batch(client, scene, phone):
    upload(client, scene, phone, PICTURE)
    up = put_up(scene)
    more = [
        later(scene, up, "photo", sha=SHA),
        later(scene, up, "read", readings={**HELD, "gauge_mark_psi": 0.1}),
    ]

    receipts = send(client, scene, phone, up, *more)

    assert results(receipts) == [("applied", "")] * 3
    test = PipeTest.objects.get()
    assert (str(test.pk), test.photo, test.put_up_by) == (up["id"], SHA, "Pilar")
    assert (test.readings["start_psig"], test.readings["end_psig"]) == (20, 20)
    assert PhotoUse.objects.get().photo_sha == SHA
    [shown] = doc(scene)["phases"][0]["tests"]
    assert (shown["id"], shown["photo"]) == (up["id"], True)
    assert shown["outcome"] == "pass", shown["words"]["en"]
    assert shown["words"]["es"] != shown["words"]["en"]
    assert doc(scene)["phases"][0]["on_test"] is True


def test_readings_wait_for_the_test_that_they_belong_to(client, scene, phone):
    up = put_up(scene)
    early = later(scene, up, "read", readings=HELD)

    first = send(client, scene, phone, early)
    rest = send(client, scene, phone, up, early)

    assert results(first) == [("later", "waits_for")]
    assert results(rest) == [("applied", "")] * 2


def test_the_gauges_picture_waits_for_its_bytes(client, scene, phone):
    up = put_up(scene)

    receipts = send(client, scene, phone, up, later(scene, up, "photo", sha=SHA))

    assert results(receipts) == [("applied", ""), ("later", "photo_missing")]


def test_a_test_that_is_down_leaves_the_phone_and_caps_become_an_item(
    client, scene, phone
):
    up = put_up(scene)

    receipts = send(client, scene, phone, up, later(scene, up, "down", caps=4))

    assert results(receipts) == [("applied", "")] * 2
    assert doc(scene)["phases"][0]["tests"] == []
    trim = scene.lot.phases.get(kind__code="trim")
    assert trim.items.get().spec["text_es"] == "Quitar 4 tapones de prueba (gas)"


@pytest.mark.parametrize("what", ["lost_pressure", "disturbed"])
def test_a_test_that_is_no_longer_good_says_test_again(client, scene, phone, what):
    up = put_up(scene)

    send(client, scene, phone, up, later(scene, up, what))

    [shown] = doc(scene)["phases"][0]["tests"]
    assert shown["again"] in ("test_lost", "test_disturbed")


@pytest.mark.parametrize(
    ("payload", "code"),
    [
        ({"system": "steam"}, "bad_reading"),
        ({"readings": {"start_psig": -5}}, "bad_reading"),
        ({"readings": {"start_psig": "20"}}, "bad_reading"),
        ({"readings": [20]}, "bad_value"),
        ({"readings": {"leak_seen": "no"}}, "bad_value"),
        ({"medium": "fuel_gas"}, "test_refused"),
    ],
)
def test_a_test_that_cannot_be_is_refused_with_a_reason_and_kept(
    client, scene, phone, payload, code
):
    [receipt] = send(client, scene, phone, put_up(scene, **payload))

    assert (receipt["result"], receipt["code"]) == ("refused", code)
    assert receipt["es"]
    assert PipeTest.objects.count() == 0


@pytest.mark.parametrize(
    ("what", "payload", "code"),
    [
        ("sung_to", {}, "unknown_kind"),
        ("down", {"caps": "four"}, "bad_value"),
        ("down", {"caps": -1}, "bad_value"),
        ("photo", {}, "photo_missing"),
    ],
)
def test_what_cannot_be_done_with_a_test_is_refused(
    client, scene, phone, what, payload, code
):
    up = put_up(scene)

    receipts = send(client, scene, phone, up, later(scene, up, what, **payload))

    assert results(receipts) == [("applied", ""), ("refused", code)]


def test_a_test_of_another_lot_is_not_there(client, scene, phone):
    stray = later(scene, {"id": "0199c5a8-0000-7000-8000-000000000001"}, "read")

    [receipt] = send(client, scene, phone, {**stray, "after": None})

    assert (receipt["result"], receipt["code"]) == ("refused", "no_such")


def result(scene, **payload):
    return op(
        scene,
        "inspection_result",
        f"phase:{scene.phase.pk}",
        member=str(scene.lead.pk),
        payload={"inspection": "top-out", **payload},
    )


def test_a_failure_opens_corrections_and_the_first_has_the_picture(client, scene):
    leads = scene.phone(scene.lead)
    upload(client, scene, leads, PICTURE)
    found = ["No plate at the lavatory", " ", "Vent too low"]

    receipts = send(
        client,
        scene,
        leads,
        result(scene, result="failed", corrections=found, sha=SHA),
    )

    assert results(receipts) == [("applied", "")]
    rows = Correction.objects.order_by("pk")
    assert {(one.text, one.photo) for one in rows} == {
        ("No plate at the lavatory", SHA),
        ("Vent too low", ""),
    }
    shown = {one["text"]: one["thumbnails"] for one in doc(scene)["corrections"]}
    assert shown["No plate at the lavatory"] == [f"photos/{SHA}/thumbnail/"]
    assert shown["Vent too low"] == []


def test_a_visit_that_saw_nothing_names_whose_fault_it_was(client, scene):
    said = result(scene, result="no_access", fault_of="builder")

    receipts = send(client, scene, scene.phone(scene.lead), said)

    assert results(receipts) == [("applied", "")]
    row = InspectionResult.objects.get()
    assert (row.result, row.fault_of) == ("no_access", "builder")
    assert Correction.objects.count() == 0


def test_a_part_that_passed_is_kept_by_its_system(client, scene):
    InspectionKind.objects.update(on_test=["water", "gas"])
    said = result(
        scene,
        result="partly_passed",
        passed_parts=["system:gas"],
        corrections=["Water lost pressure"],
    )

    receipts = send(client, scene, scene.phone(scene.lead), said)

    assert results(receipts) == [("applied", "")]
    assert InspectionResult.objects.get().passed_parts == ["system:gas"]
    assert doc(scene)["phases"][0]["inspections"][0]["systems"] == ["water", "gas"]


@pytest.mark.parametrize(
    "payload",
    [
        {"result": "passed", "inspection": "nothing"},
        {"result": "sung"},
        {"result": "failed", "corrections": "No plate"},
        {"result": "partly_passed", "passed_parts": ["system:steam"]},
    ],
)
def test_a_result_that_cannot_be_is_refused_and_kept(client, scene, payload):
    [receipt] = send(client, scene, scene.phone(scene.lead), result(scene, **payload))

    assert receipt["result"] == "refused"
    assert InspectionResult.objects.count() == 0


def test_a_correction_and_its_mending_each_keep_their_picture(client, scene, phone):
    other = made.jpeg(seed=4, size=(64, 48))
    for picture in (PICTURE, other):
        upload(client, scene, phone, picture)
    walk = on_item(
        scene,
        "walk_correction",
        "closet-drain",
        payload={
            "owed_by": "us",
            "text": "Drain knocked loose",
            "text_es": "Desagüe flojo por un golpe",
            "sha": SHA,
        },
    )
    mended = op(
        scene,
        "correction_done",
        f"correction:{walk['id']}",
        payload={"sha": made.sha(other)},
    )

    receipts = send(client, scene, phone, walk, mended)

    assert results(receipts) == [("applied", "")] * 2
    [shown] = doc(scene)["corrections"]
    assert shown["text_es"] == "Desagüe flojo por un golpe"
    assert shown["photos"] == [SHA, made.sha(other)]
    assert len(shown["thumbnails"]) == 2
    facts = Fact.objects.filter(kind__startswith="correction").order_by("no")
    assert [one.payload["photo"] for one in facts] == [SHA, made.sha(other)]


def test_what_inspectors_failed_before_is_marked_for_the_walk(scene):
    WalkHint.objects.create(
        phase_kind=scene.phase.kind,
        demand="closet-drain",
        state=WalkHint.TAKEN,
        text_en="closet drain",
        offered_at=scene.phase.refreshed_at,
    )

    items = doc(scene)["rooms"][0]["items"]

    marked = [one["id"] for one in items if one["look_first"]]
    assert marked == [scene.items["closet-drain"].pk]
