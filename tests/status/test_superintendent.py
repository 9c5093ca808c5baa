"""Through his own link a superintendent acts, under his name, on his houses only."""

from uuid import uuid4

import pytest
from django.test import Client

from phases.actions.corrections import Finding, correction_done, open_correction
from phases.actions.holds import set_hold
from phases.actions.work import start_work
from phases.log import Who
from phases.models import Fact
from tests.status.scene import day, now
from tracker.sites.models import BuilderDate
from tracker.status.models import DateProposal

pytestmark = pytest.mark.django_db


def post_date(client, address, phase, on, *, was="", what="ready", lot=None):
    return client.post(
        f"{address}lots/{lot or phase.lot_id}/dates/",
        {"phase": phase.pk, "what": what, "date": str(on), "was": str(was or "")},
    )


def facts_of(scene, kind):
    rows = Fact.objects.filter(lot=scene.lot, kind=kind).exclude(superintendent=None)
    return [(fact.superintendent, fact.by) for fact in rows]


def made_hold(scene, owed_by="builder"):
    who = Who(member=scene.office)
    return set_hold(scene.lot, owed_by=owed_by, text="Forms", who=who, now=now())


def made_correction(scene, source="inspector", done=True):
    who = Who(member=scene.office)
    found = Finding(text="Plate", source=source, phase=scene.phase("underground"))
    correction = open_correction(scene.lot, found, who=who, now=now())
    if done:
        correction_done(correction, who=who, now=now())
    return correction


def test_he_says_a_date_and_it_counts_under_his_name(scene, client):
    phase = scene.phase("underground")

    answer = post_date(client, scene.personal(), phase, day(5))

    assert (answer.status_code, answer.url[-10:]) == (302, "?said=date")
    assert scene.phase("underground").ready_date == day(5)
    said = BuilderDate.objects.get(lot=scene.lot)
    assert (said.said_by, said.status) == (scene.superintendent.name, "predicted")
    assert facts_of(scene, "date_said") == [(scene.superintendent, None)]


def test_he_moves_and_confirms_a_cover_date(scene, client):
    scene.says("underground", "cover", day(3))
    phase, address = scene.phase("underground"), scene.personal()

    post_date(client, address, phase, day(4), was=day(3), what="cover")
    post_date(client, address, phase, day(4), was=day(4), what="cover")

    assert scene.phase("underground").cover_date == day(4)
    assert facts_of(scene, "date_said") == [(scene.superintendent, None)] * 2
    assert DateProposal.objects.count() == 0


def test_a_date_somebody_else_moved_meanwhile_is_looked_at_again(scene, client):
    scene.says("underground", "ready", day(3))
    address = scene.personal()
    scene.says("underground", "ready", day(6))

    answer = post_date(client, address, scene.phase("underground"), day(4), was=day(3))

    assert answer.status_code == 409
    assert "Somebody changed this date" in answer.content.decode()
    assert scene.phase("underground").ready_date == day(6)


@pytest.mark.parametrize("on", ["", "soon", "03/09/2026", "2026-02-30"])
def test_a_date_that_cannot_be_read_says_how_to_write_it(scene, client, on):
    answer = post_date(client, scene.personal(), scene.phase("underground"), on)

    assert answer.status_code == 409
    assert "year-month-day" in answer.content.decode()
    assert facts_of(scene, "date_said") == []


def test_a_day_gone_by_and_work_begun_are_refused_with_the_reason(scene, client):
    address, phase = scene.personal(), scene.phase("underground")

    gone = post_date(client, address, phase, day(-1))
    start_work(phase, who=Who(member=scene.office), now=now())
    begun = post_date(client, f"{address}", phase, day(2))

    assert (gone.status_code, begun.status_code) == (409, 409)
    assert "This day has gone by" in gone.content.decode()
    assert "Work has begun here" in begun.content.decode()


def test_a_refusal_is_said_in_spanish_too(scene, client):
    scene.superintendent.language = "es"
    scene.superintendent.save()

    answer = post_date(client, scene.personal(), scene.phase("underground"), day(-1))

    assert "Ese día ya pasó" in answer.content.decode()


def test_he_says_a_part_there_and_takes_it_back(scene, client):
    phase, address = scene.phase("underground"), scene.personal()
    parts = f"{address}lots/{scene.lot.pk}/parts/"

    client.post(parts, {"phase": phase.pk, "part": "pad", "ready": "yes"})
    there = scene.phase("underground").work_reason["parts"]
    client.post(parts, {"phase": phase.pk, "part": "pad", "ready": "no"})

    assert there == ["permit", "locate"]
    assert scene.phase("underground").work_reason["parts"] == [
        "permit",
        "locate",
        "pad",
    ]
    assert facts_of(scene, "part_said") == [(scene.superintendent, None)] * 2


def test_he_does_not_speak_for_what_we_owe(scene, client):
    address = scene.personal()
    for data in (
        {"phase": scene.phase("rough").pk, "part": "tubs", "ready": "yes"},
        {"phase": scene.phase("rough").pk, "part": "nothing", "ready": "yes"},
        {"phase": scene.phase("rough").pk, "part": "framing", "ready": "maybe"},
        {},
    ):
        answer = client.post(f"{address}lots/{scene.lot.pk}/parts/", data)
        assert answer.status_code == 409
    assert facts_of(scene, "part_said") == []


def test_he_lifts_a_hold_that_names_the_builder_and_no_other(scene, client):
    theirs, city = made_hold(scene), made_hold(scene, owed_by="city")
    address = scene.personal()

    lifted = client.post(f"{address}holds/{theirs.pk}/lifting/")
    again = client.post(f"{address}holds/{theirs.pk}/lifting/")
    refused = client.post(f"{address}holds/{city.pk}/lifting/")

    theirs.refresh_from_db()
    city.refresh_from_db()
    assert [r.status_code for r in (lifted, again, refused)] == [302, 409, 404]
    assert (theirs.lifted_by, city.lifted_on) == (scene.superintendent.name, None)
    assert facts_of(scene, "hold_lifted") == [(scene.superintendent, None)]


def test_he_accepts_what_was_put_right_and_nothing_before(scene, client):
    done, open_ = made_correction(scene), made_correction(scene, done=False)
    address = scene.personal()

    answers = [
        client.post(f"{address}corrections/{c.pk}/acceptance/") for c in (done, open_)
    ]

    done.refresh_from_db()
    open_.refresh_from_db()
    assert [answer.status_code for answer in answers] == [302, 409]
    assert (done.state, done.closed_by) == ("closed", scene.superintendent.name)
    assert open_.state == "open"
    assert facts_of(scene, "correction_closed") == [(scene.superintendent, None)]


def deeds(scene, address, lot=None):
    """Every act there is, on what exists in the scene, through an address."""
    phase, lot_pk = scene.phase("underground"), (lot or scene.lot).pk
    hold, correction = made_hold(scene), made_correction(scene)
    return [
        (
            f"{address}lots/{lot_pk}/dates/",
            {"phase": phase.pk, "what": "ready", "date": str(day(5)), "was": ""},
        ),
        (
            f"{address}lots/{lot_pk}/parts/",
            {"phase": phase.pk, "part": "pad", "ready": "yes"},
        ),
        (f"{address}holds/{hold.pk}/lifting/", {}),
        (f"{address}corrections/{correction.pk}/acceptance/", {}),
    ]


def test_every_deed_works_through_his_own_link(scene, client):
    found = [client.post(*deed) for deed in deeds(scene, scene.personal())]

    assert [answer.status_code for answer in found] == [302] * 4


def test_a_shared_link_only_reads(scene, client):
    acts = deeds(scene, scene.link())
    before = Fact.objects.count()

    answers = [client.post(*deed) for deed in acts]

    assert [answer.status_code for answer in answers] == [404] * 4
    assert Fact.objects.count() == before


def test_another_builders_house_answers_like_a_missing_one(scene, other, client):
    address = other.personal()
    acts = deeds(scene, address)
    before = Fact.objects.count()

    theirs = [client.post(*deed) for deed in acts]
    missing = [
        client.post(f"{address}lots/987654/dates/", acts[0][1]),
        client.post(f"{address}lots/987654/parts/", acts[1][1]),
        client.post(f"{address}holds/{uuid4()}/lifting/"),
        client.post(f"{address}corrections/{uuid4()}/acceptance/"),
    ]

    assert [answer.status_code for answer in theirs] == [404] * 4
    assert [a.content for a in theirs] == [a.content for a in missing]
    assert Fact.objects.count() == before


def test_a_phase_of_another_builders_lot_is_not_reached_through_his_own(
    scene, other, client
):
    phase = scene.phase("underground")

    answer = post_date(client, other.personal(), phase, day(5), lot=other.lot.pk)

    assert answer.status_code == 409
    assert scene.phase("underground").ready_date is None


def test_an_act_without_the_token_of_the_page_is_refused(scene):
    strict = Client(enforce_csrf_checks=True)
    address, phase = scene.personal(), scene.phase("underground")

    refused = post_date(strict, address, phase, day(5))
    shown = strict.get(f"{address}lots/{scene.lot.pk}/")
    token = strict.cookies["csrftoken"].value
    accepted = strict.post(
        f"{address}lots/{scene.lot.pk}/dates/",
        {
            "phase": phase.pk,
            "what": "ready",
            "date": str(day(5)),
            "was": "",
            "csrfmiddlewaretoken": token,
        },
    )

    assert (refused.status_code, accepted.status_code) == (403, 302)
    # A form under no-referrer would come with `Origin: null` and be refused.
    assert shown.headers["Referrer-Policy"] == "same-origin"


def test_acts_cannot_be_got(scene, client):
    address = scene.personal()

    for path, _ in deeds(scene, address):
        assert client.get(path).status_code == 405
