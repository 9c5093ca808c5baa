"""The office's page of links."""

import re
from html import unescape

import pytest

from tests.factories import make_member
from tests.status.scene import now
from tracker.status.actions.links import make_link
from tracker.status.models import Link
from tracker.status.office import drawing

pytestmark = pytest.mark.django_db


def posted(scene, **fields):
    data = {"builder": scene.builder.pk, "days": 30} | fields
    return data


def test_a_link_is_made_shown_once_and_opens_the_page(scene, client, settings):
    client.force_login(scene.office)

    made = client.post("/links/", posted(scene, note="For the trailer"))
    text = unescape(made.content.decode())
    address = re.search(r'class="address">([^<]+)<', text)[1]
    listed = client.get("/links/").content.decode()

    assert address.startswith(f"{settings.PUBLIC_URL}/b/")
    assert made.headers["Cache-Control"] == "no-store"
    assert text.count("<svg") > listed.count("<svg")
    assert "For the trailer" in listed
    secret = address.removesuffix("/").rsplit("/", 1)[1]
    assert secret not in listed
    client.logout()
    assert client.get(f"/b/{secret}/").status_code == 200


def test_a_personal_link_of_another_builder_is_refused_with_words(scene, other, client):
    client.force_login(scene.office)

    answer = client.post(
        "/links/", posted(scene, superintendent=other.superintendent.pk)
    )

    assert answer.status_code == 409
    assert "no such superintendent" in answer.content.decode()
    assert Link.objects.count() == 0


@pytest.mark.parametrize("days", ["0", "401", "many", ""])
def test_a_bad_number_of_days_makes_no_link(scene, client, days):
    client.force_login(scene.office)

    assert client.post("/links/", posted(scene, days=days)).status_code == 409
    assert Link.objects.count() == 0


def test_a_link_is_revoked_from_the_list(scene, client):
    link, secret = make_link(scene.builder, by=scene.office, now=now())
    client.force_login(scene.office)
    assert "Revoke" in client.get("/links/").content.decode()

    answer = client.post(f"/links/{link.pk}/revocation/", {"next": "//elsewhere/"})

    assert answer.url == "/links/"
    assert client.get(f"/b/{secret}/").status_code == 404
    assert "revoked" in client.get("/links/").content.decode()


@pytest.mark.parametrize("role", ["lead", "plumber"])
def test_crews_do_not_see_or_make_links(scene, client, role):
    link, _ = make_link(scene.builder, by=scene.office, now=now())
    client.force_login(make_member(role))

    assert client.get("/links/").status_code == 403
    assert client.post("/links/", posted(scene)).status_code == 403
    assert client.post(f"/links/{link.pk}/revocation/").status_code == 403
    assert Link.objects.filter(revoked_at=None).count() == 1


def test_who_is_not_signed_in_is_sent_to_sign_in(client, db):
    for answer in (client.get("/links/"), client.post("/links/")):
        assert answer.status_code == 302
        assert answer.url.startswith("/sign-in/")


@pytest.mark.parametrize("links", [1, 3])
def test_the_list_takes_the_same_statements_for_1_and_3_links(
    scene, client, links, django_assert_num_queries
):
    for _ in range(links):
        make_link(
            scene.builder,
            by=scene.office,
            now=now(),
            superintendent=scene.superintendent,
        )
    client.force_login(scene.office)
    client.get("/links/")

    # session, member, links, and the three lists of the form
    with django_assert_num_queries(6):
        client.get("/links/")


def test_the_drawing_is_a_square_svg_with_its_quiet_zone():
    svg = drawing("https://plumbrow.example/b/" + "x" * 43 + "/")

    size = re.search(r'width="(\d+)" height="(\d+)"', svg)
    # ISO/IEC 18004: version 5 (37 modules) holds 84 bytes at level M, 4 and more
    # modules of quiet zone on each side.
    assert size.groups() == (str((37 + 8) * 5),) * 2


def test_the_partial_lists_the_links_of_one_builder(scene, other, rf):
    from django.template import Context, Template

    make_link(scene.builder, by=scene.office, now=now(), note="Ours")
    make_link(other.builder, by=other.office, now=now(), note="Theirs")

    page = Template("{% load status %}{% builder_links pk %}")
    shown = page.render(Context({"request": rf.get("/"), "pk": scene.builder.pk}))

    assert "Ours" in shown
    assert "Theirs" not in shown
