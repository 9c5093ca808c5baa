"""What the builder's page shows, to whom, and in how many statements."""

import pytest

from phases.actions.corrections import Finding, correction_done, open_correction
from phases.actions.holds import set_hold
from phases.actions.lots import retire_lot
from phases.actions.money import price_extra
from phases.actions.work import say_part, work_done
from phases.log import Who
from tests.factories import make_crew, make_subdivision, prove
from tests.status.scene import Scene, day, now
from tracker.status import queries

pytestmark = pytest.mark.django_db


def seen(lot):
    return queries.houses([lot], now=now())[0]


def page(client, address):
    response = client.get(address)
    assert response.status_code == 200
    return response.content.decode()


def waits(lot):
    return [
        (w.sort, w.phase.kind.code if w.phase else "", w.text) for w in seen(lot).waits
    ]


def test_a_link_shows_its_own_houses_and_nobody_elses(scene, other, client):
    scene.lot.address, other.lot.address = "11 Mine Street", "22 Theirs Street"
    scene.lot.save()
    other.lot.save()
    assert "22 Theirs Street" in page(client, other.link())

    shown = page(client, scene.link())

    assert "11 Mine Street" in shown
    assert "22 Theirs Street" not in shown
    assert other.builder.name not in shown
    assert page(client, f"{other.link()}lots/{other.lot.pk}/")
    assert client.get(f"{scene.link()}lots/{other.lot.pk}/").status_code == 404


def test_a_link_to_one_subdivision_shows_no_other_of_the_same_builder(scene, client):
    second = make_subdivision(builder=scene.builder, name="Second Street")
    scene.place, first, lot = second, scene.place, scene.lot
    elsewhere = scene.house(address="33 Elsewhere")
    assert "33 Elsewhere" in page(client, scene.link())

    address = scene.link(subdivision=first)

    assert "33 Elsewhere" not in page(client, address)
    assert client.get(f"{address}lots/{elsewhere.pk}/").status_code == 404
    assert client.get(f"{address}lots/{lot.pk}/").status_code == 200


def test_a_retired_lot_is_off_the_street(scene, client):
    address = scene.link()
    assert client.get(f"{address}lots/{scene.lot.pk}/").status_code == 200

    who = Who(member=scene.office)
    retire_lot(scene.lot, reason="sold back", who=who, now=now())

    assert client.get(f"{address}lots/{scene.lot.pk}/").status_code == 404


@pytest.mark.parametrize("houses", [1, 3])
def test_the_street_takes_the_same_statements_for_1_and_3_houses(
    scene, client, houses, django_assert_num_queries
):
    for _ in range(houses - 1):
        scene.house()
    for lot in scene.place.lots.all():
        who = Who(member=scene.office)
        phase = scene.phase("underground", lot)
        prove(phase.items.filter(photos_needed__gt=0)[0], who=who, now=now())
        set_hold(lot, owed_by="builder", text="Forms", who=who, now=now())
        found = Finding(text="Frame it", owed_by="builder", phase=phase)
        open_correction(lot, found, who=who, now=now())
    address = scene.link()
    client.get(address)

    with django_assert_num_queries(12):
        assert page(client, address).count('<tr id="lot-') == houses


def test_each_phase_shows_its_word_date_and_last_proof(scene, client):
    phase = scene.phase("underground")
    who = Who(member=scene.office)
    first, last = phase.items.order_by("walk_order")[:2]
    prove(first, who=who, now=now())
    prove(last, who=who, now=now())

    line = seen(scene.lot).lines[0]
    shown = page(client, f"{scene.link()}lots/{scene.lot.pk}/")

    assert (line.phase.word, line.on) == ("working", day())
    assert (line.proof.on, line.proof.text_en) == (day(), last.spec["text_en"])
    assert 'Underground <span class="said"><span class="state s-working">' in shown
    assert last.spec["text_en"] in shown


def test_we_wait_for_what_the_builder_owes_and_for_nothing_else(scene):
    who = Who(member=scene.office)
    phase = scene.phase("underground")
    scene.says("underground", "ready", day(9))
    set_hold(scene.lot, owed_by="builder", text="No forms", who=who, now=now())
    set_hold(scene.lot, owed_by="city", text="No locate", who=who, now=now())
    theirs = Finding(text="Move the form", owed_by="builder", phase=phase)
    ours = Finding(text="Pipe too low", phase=phase)
    for found in (theirs, ours):
        open_correction(scene.lot, found, who=who, now=now())

    assert waits(scene.lot) == [
        ("hold", "", "No forms"),
        ("part", "underground", "Pad and forms"),
        ("correction", "underground", "Move the form"),
    ]


def test_a_held_phase_shows_no_date_of_work_as_if_it_were_the_holds(scene):
    scene.plans("underground", day(5))
    assert seen(scene.lot).lines[0].on == day(5)

    who = Who(member=scene.office)
    set_hold(scene.lot, owed_by="builder", text="Forms", who=who, now=now())

    line = seen(scene.lot).lines[0]
    assert (line.phase.word, line.on) == ("held", None)


def test_a_ready_date_is_asked_for_then_its_coming_is_to_be_confirmed(scene):
    assert ("ready_date", "underground", "") in waits(scene.lot)

    scene.says("underground", "ready", day())

    assert ("ready_come", "underground", "") in waits(scene.lot)
    assert ("ready_date", "underground", "") not in waits(scene.lot)


def test_nothing_is_asked_of_a_phase_whose_turn_has_not_come(scene):
    assert {phase for _, phase, _ in waits(scene.lot)} == {"underground"}


def test_said_parts_and_begun_work_are_no_longer_waited_for(scene):
    who = Who(member=scene.office)
    phase = scene.phase("underground")
    for part in ("permit", "locate", "pad"):
        say_part(phase, part, ready=True, who=who, now=now())
    assert waits(scene.lot) == []

    work_done(phase, who=who, now=now())

    assert waits(scene.lot) == [("cover_date", "underground", "")]


def test_a_cover_date_with_the_gate_shut_says_do_not_cover(scene, client):
    work_done(scene.phase("underground"), who=Who(member=scene.office), now=now())
    scene.says("underground", "cover", day(1))

    assert waits(scene.lot) == [("gate_shut", "underground", "")]
    assert "Do not cover yet" in page(client, scene.link())


def test_the_next_date_is_the_earliest_that_is_still_to_come(scene):
    assert seen(scene.lot).next is None
    scene.says("underground", "ready", day(4))
    scene.says("rough", "cover", day(-3))
    scene.plans("underground", day(5))

    found = seen(scene.lot).next
    assert (found.on, found.what, found.phase.kind.code) == (
        day(5),
        "visit",
        "underground",
    )


def test_no_prices_are_shown(scene, client):
    price_extra(
        scene.lot,
        sort="extra",
        text="Extra hose bibb",
        amount=12345,
        signer="Somebody",
        on=day(),
        who=Who(member=scene.office),
        now=now(),
    )

    for path in ("", f"lots/{scene.lot.pk}/"):
        shown = page(client, scene.link() + path)
        assert "12345" not in shown.replace(",", "")
        assert "Extra hose bibb" not in shown


def test_crew_names_are_shown_only_where_the_builder_may_see_them(client):
    shy, open_ = Scene(shows_crew_names=False), Scene(shows_crew_names=True)
    for scene in (shy, open_):
        crew = make_crew(name=f"Kestrel {scene.builder.pk}")
        scene.plans("underground", day(3), crew=crew)

    for path in ("", "calendar.ics", "lot"):
        found = {}
        for scene in (shy, open_):
            tail = f"lots/{scene.lot.pk}/" if path == "lot" else path
            found[scene] = "Kestrel" in page(client, scene.link() + tail)
        assert found == {shy: False, open_: True}


def test_corrections_of_our_own_walk_are_not_for_the_builder(scene, client):
    who = Who(member=scene.office)
    for text, source in (("Our own slip", "walk"), ("The inspector said", "inspector")):
        found = Finding(text=text, source=source, phase=scene.phase("underground"))
        correction = open_correction(scene.lot, found, who=who, now=now())
        correction_done(correction, who=who, now=now())

    shown = page(client, scene.link())

    assert "Our own slip" not in shown
    assert "The inspector said" in shown


def test_the_page_speaks_spanish_when_asked_and_to_a_superintendent_of_that_tongue(
    scene, client
):
    assert "Esperamos de usted" in page(client, f"{scene.link()}?lang=es")
    assert "We wait for you" in page(client, scene.link())
    assert (
        "Esperamos de usted"
        in client.get(
            scene.link(), headers={"accept-language": "es-MX"}
        ).content.decode()
    )

    scene.superintendent.language = "es"
    scene.superintendent.save()

    shown = page(client, scene.personal())
    assert '<html lang="es">' in shown
    assert "Lote" in shown


def test_only_houses_that_wait_can_be_shown_alone(scene, client):
    done = scene.house(address="7 Nothing Owed")
    who = Who(member=scene.office)
    for part in ("permit", "locate", "pad"):
        say_part(scene.phase("underground", done), part, ready=True, who=who, now=now())
    assert "7 Nothing Owed" in page(client, scene.link())

    assert "7 Nothing Owed" not in page(client, f"{scene.link()}?show=waiting")


def test_a_shared_link_holds_no_form(scene, client):
    set_hold(
        scene.lot,
        owed_by="builder",
        text="Forms",
        who=Who(member=scene.office),
        now=now(),
    )
    path = f"lots/{scene.lot.pk}/"
    assert "<form" in page(client, scene.personal() + path)

    shown = page(client, scene.link() + path)

    assert "<form" not in shown
    assert "Forms" in shown


def test_a_builder_without_houses_is_told_so(client, db):
    scene = Scene()
    retire_lot(scene.lot, reason="x", who=Who(member=scene.office), now=now())

    assert "No subdivision here has a house yet." in page(client, scene.link())
