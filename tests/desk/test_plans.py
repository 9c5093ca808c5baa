"""Plans and catalogue: what is edited, and the list that comes of it."""

import io
from datetime import date

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image

from phases.actions.entries import answer_item
from phases.models import CatalogueRow, CheckItem, Correction
from tests.desk.scene import NOW, Street, signed_in
from tests.factories import make_option
from tracker.sites.models import DrawingSheet, Plan

pytestmark = pytest.mark.django_db
HTMX = {"HTTP_HX_REQUEST": "true"}


def fixture_data(street, **more):
    room = street.plan.rooms.first()
    data = {
        "room": room.pk,
        "key": "lav",
        "kind": "lavatory",
        "quantity": "1",
        "place": "wall",
        "wall": "left",
        "along_from": "left",
        "position": "5",
    }
    return data | more


def parts(street, what="fixtures"):
    return reverse("desk:plan-parts", args=[street.plan.pk, what])


@pytest.mark.parametrize("rows", [1, 3])
def test_a_plan_takes_as_many_statements_for_any_number_of_fixtures(
    rows, django_assert_num_queries
):
    street = Street(fixtures=("closet", "lavatory", "tub_shower")[:rows])
    client, _ = signed_in("office")
    page = reverse("desk:plan", args=[street.plan.pk])
    client.get(page)

    with django_assert_num_queries(19):
        answer = client.get(page)

    assert len(answer.context["rooms"][0].fixtures) == rows


@pytest.mark.parametrize("rows", [1, 3])
def test_the_list_of_plans_takes_seven_statements(rows, django_assert_num_queries):
    for _ in range(rows):
        Street()
    client, _ = signed_in("office")
    client.get(reverse("desk:plans"))

    with django_assert_num_queries(7):
        answer = client.get(reverse("desk:plans"))

    assert len(answer.context["builders"]) == rows


def test_a_new_fixture_changes_the_list_at_once_and_the_lots_follow(
    django_capture_on_commit_callbacks,
):
    street = Street()
    client, _ = signed_in("office")
    lot = street.lots[0]
    before = set(CheckItem.objects.filter(lot_phase__lot=lot).values_list("key"))

    with django_capture_on_commit_callbacks(execute=True):
        answer = client.post(parts(street), fixture_data(street), **HTMX)

    text = answer.content.decode()
    after = set(CheckItem.objects.filter(lot_phase__lot=lot).values_list("key"))
    assert answer.status_code == 200
    assert "What changed on the list" in text
    assert any(
        line.startswith("+ Bath: Lavatory") for line in answer.context["changes"]
    )
    assert {key for (key,) in after - before if key.startswith("bath/lav/")}


def test_a_taken_away_fixture_that_was_answered_becomes_a_correction(
    django_capture_on_commit_callbacks,
):
    street = Street()
    fixture = street.plan.fixtures.get()
    item = street.phase("underground").items.filter(key__contains=fixture.key).first()
    answer_item(item, answer="note", who=street.lead, now=NOW, payload={"text": "ok"})
    client, _ = signed_in("office")

    with django_capture_on_commit_callbacks(execute=True):
        client.post(
            reverse(
                "desk:plan-part-removal", args=[street.plan.pk, "fixtures", fixture.pk]
            ),
            **HTMX,
        )

    item.refresh_from_db()
    said = Correction.objects.filter(item=item, source="change")
    assert (item.removed_at is not None, said.count()) == (True, 1)


def test_a_fixture_is_changed():
    street = Street()
    fixture = street.plan.fixtures.get()
    client, _ = signed_in("office")
    data = fixture_data(street, key=fixture.key, kind="closet", along="15 1/2")

    answer = client.post(
        reverse("desk:plan-part", args=[street.plan.pk, "fixtures", fixture.pk]), data
    )

    fixture.refresh_from_db()
    assert (answer.status_code, fixture.wall, fixture.along) == (302, "left", 248)


@pytest.mark.parametrize(
    ("more", "field"),
    [
        ({"kind": "spaceship"}, "kind"),
        ({"along": "a lot"}, "along"),
        ({"params": "bowls=9"}, "params"),
        ({"params": "wings=2"}, "params"),
        ({"quantity": "0"}, "__all__"),
        ({"key": "closet1"}, "__all__"),
        ({"quantity": "77"}, "__all__"),
        ({"wall": "ceiling"}, "wall"),
    ],
)
def test_a_fixture_that_cannot_be_is_refused_as_it_was_typed(more, field):
    street = Street()
    client, _ = signed_in("office")

    answer = client.post(parts(street), fixture_data(street, **more), **HTMX)

    assert answer.status_code == 422
    assert field in answer.context["form"].errors
    assert street.plan.fixtures.count() == 1


def test_a_room_of_another_plan_is_no_choice():
    street, other = Street(), Street()
    client, _ = signed_in("office")

    answer = client.post(
        parts(street), fixture_data(street, room=other.plan.rooms.first().pk)
    )

    assert "room" in answer.context["form"].errors


def test_a_room_keeps_its_finishes_in_sixteenths():
    street = Street()
    client, _ = signed_in("office")

    client.post(
        parts(street, "rooms"),
        {
            "key": "hall",
            "kind": "bath",
            "name_en": "Hall bath",
            "name_es": "Baño",
            "floor": "1",
            "position": "2",
            "board": "1/2",
            "backer": "1/2",
            "tile": "3/8",
            "tiled": "all",
            "floor_finish": "",
            "stud": '5 1/2"',
        },
    )

    room = street.plan.rooms.get(key="hall")
    assert (room.board, room.tile, room.floor_finish, room.stud) == (8, 6, 0, 88)


def test_an_option_that_a_lot_chose_is_not_taken_away():
    street = Street()
    option = make_option(street.plan)
    street.lots[0].options.add(option)
    client, _ = signed_in("office")

    answer = client.post(
        reverse("desk:plan-part-removal", args=[street.plan.pk, "options", option.pk]),
        follow=True,
    )

    (said,) = [str(message) for message in answer.context["messages"]]
    assert said.startswith("1 lots have chosen this option.")
    assert street.plan.options.count() == 1


def test_the_list_is_seen_with_an_option_and_mirrored():
    street = Street()
    option = make_option(street.plan, fixtures=("lavatory",))
    client, _ = signed_in("office")
    page = reverse("desk:plan", args=[street.plan.pk])

    plain = client.get(page).context["total"]
    with_option = client.get(page, {"option": option.code, "mirrored": "on"}).context

    assert with_option["total"] > plain
    assert (with_option["chosen"], with_option["mirrored"]) == ([option.code], True)


def test_a_new_plan_is_made_with_its_facts():
    street = Street()
    client, _ = signed_in("office")

    client.post(
        reverse("desk:plans"),
        {
            "builder": street.builder.pk,
            "code": "C-30",
            "storeys": "2",
            "foundation": "crawl",
            "is_active": "on",
            **{
                f"fact_{row.cells['name']}": row.cells["values"].split("|")[-1]
                for row in CatalogueRow.objects.filter(table="facts")
            },
        },
    )

    plan = Plan.objects.get(code="C-30")
    assert (plan.foundation, plan.facts["fuel"]) == ("crawl", "none")


def test_a_sheet_is_kept_as_what_it_really_is():
    street = Street()
    client, _ = signed_in("office")
    picture = io.BytesIO()
    Image.new("RGB", (4, 4)).save(picture, "PNG")
    url = reverse("desk:plan-sheets", args=[street.plan.pk])

    def send(name, data):
        file = SimpleUploadedFile(name, data, "image/jpeg")
        return client.post(url, {"title": "P-1", "dated": "2026-03-01", "file": file})

    assert send("walls.pdf", b"%PDF-1.7 ...").status_code == 302
    assert send("walls.png", picture.getvalue()).status_code == 302
    assert send("walls.pdf", b"<html>not a sheet</html>").status_code == 422

    types = DrawingSheet.objects.order_by("pk").values_list("content_type", "dated")
    assert list(types) == [
        ("application/pdf", date(2026, 3, 1)),
        ("image/png", date(2026, 3, 1)),
    ]
    shown = client.get(
        reverse("desk:sheet-file", args=[DrawingSheet.objects.last().pk])
    )
    assert shown["Content-Security-Policy"] == "sandbox"
