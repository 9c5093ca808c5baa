"""Links: hard to guess, kept as a hash, dead when they should be."""

import base64
import hashlib
import logging
from datetime import timedelta

import pytest
from django.test import Client

from tests.factories import make_member, make_superintendent
from tests.status.scene import now
from tracker.errors import Refused
from tracker.status import guard
from tracker.status.actions.links import make_link, revoke_link
from tracker.status.models import Link

pytestmark = pytest.mark.django_db
WRONG = "A" * 43


def secret_of(address):
    return address.removeprefix("/b/").rstrip("/")


def test_a_secret_has_256_bits_and_only_its_hash_is_stored(scene):
    link, secret = make_link(scene.builder, by=scene.office, now=now())

    stored = [str(value) for value in Link.objects.values_list().get(pk=link.pk)]
    assert len(base64.urlsafe_b64decode(secret + "=")) * 8 == 256
    assert link.token_hash == hashlib.sha256(secret.encode()).hexdigest()
    assert not any(secret in value for value in stored)


def test_two_links_of_one_builder_have_different_secrets(scene):
    assert scene.link() != scene.link()


@pytest.mark.parametrize("role", ["lead", "plumber"])
def test_only_office_and_owner_make_and_revoke_links(scene, role):
    link, _ = make_link(scene.builder, by=scene.office, now=now())
    member = make_member(role)

    with pytest.raises(Refused, match="Your role may not"):
        make_link(scene.builder, by=member, now=now())
    with pytest.raises(Refused, match="Your role may not"):
        revoke_link(link, by=member, now=now())
    link.refresh_from_db()
    assert (Link.objects.count(), link.revoked_at) == (1, None)


def test_a_link_is_not_made_for_another_builders_street_or_person(scene, other):
    for wrong in (
        {"subdivision": other.place},
        {"superintendent": other.superintendent},
        {"superintendent": make_superintendent(scene.builder, is_active=False)},
        {"days": 0},
        {"days": 401},
    ):
        with pytest.raises(Refused):
            make_link(scene.builder, by=scene.office, now=now(), **wrong)
    assert Link.objects.count() == 0


def test_wrong_ended_revoked_and_dismissed_answer_alike(scene, client):
    live = scene.link()
    revoked = scene.link()
    ended = scene.link(now=now() - timedelta(days=8), days=7)
    dismissed = scene.personal()
    assert client.get(dismissed).status_code == 200
    revoke_link(Link.objects.order_by("pk")[1], by=scene.office, now=now())
    scene.superintendent.is_active = False
    scene.superintendent.save()

    answers = [
        client.get(address)
        for address in (f"/b/{WRONG}/", revoked, ended, dismissed, f"{live}lots/999/")
    ]

    assert client.get(live).status_code == 200
    assert {a.status_code for a in answers} == {404}
    assert len({a.content for a in answers}) == 1
    assert len({tuple(sorted(a.headers.items())) for a in answers}) == 1


def test_a_person_who_went_to_another_builder_takes_no_link_along(scene, other, client):
    address = scene.personal()
    assert client.get(address).status_code == 200

    scene.superintendent.builder = other.builder
    scene.superintendent.save()

    assert client.get(address).status_code == 404


def test_numbers_that_no_row_can_have_are_simply_not_here(scene, client):
    address, huge = scene.link(), 10**30

    for path in (f"lots/{huge}/", f"streets/{huge}/sheet.pdf", "lots/0/"):
        assert client.get(address + path).status_code == 404
    client.force_login(scene.office)
    assert client.post(f"/links/{huge}/revocation/").status_code == 404
    phase = {"phase": str(huge), "part": "pad", "ready": "yes"}
    path = f"{scene.personal()}lots/{scene.lot.pk}/parts/"
    assert client.post(path, phase).status_code == 409


def test_revoking_works_at_once_and_the_first_time_stays_on_record(scene, client):
    address = scene.link()
    link = Link.objects.get()
    assert client.get(address).status_code == 200

    first = revoke_link(link, by=scene.office, now=now()).revoked_at
    again = revoke_link(link, by=make_member("owner"), now=now() + timedelta(days=1))

    assert client.get(address).status_code == 404
    assert client.get(f"{address}calendar.ics").status_code == 404
    assert (again.revoked_at, again.revoked_by) == (first, scene.office)


def test_an_address_that_tries_many_secrets_waits_and_others_do_not(scene, client):
    live = scene.link()

    tries = [client.get(f"/b/{n:043}/").status_code for n in range(guard.TRIES + 3)]

    assert tries == [404] * guard.TRIES + [429] * 3
    assert client.get(live).status_code == 429
    assert client.get(live).headers["Retry-After"] == str(guard.WINDOW_SECONDS)
    assert Client(REMOTE_ADDR="203.0.113.9").get(live).status_code == 200


def test_polling_one_ended_link_is_no_guessing(scene, client):
    live = scene.link()

    for _ in range(guard.TRIES + 5):
        assert client.get(f"/b/{WRONG}/calendar.ics").status_code == 404

    assert client.get(live).status_code == 200


def test_one_line_of_ipv6_counts_as_one_address(scene):
    for n in range(guard.TRIES):
        Client(REMOTE_ADDR=f"2001:db8:1:2::{n:x}").get(f"/b/{n:043}/")

    assert Client(REMOTE_ADDR="2001:db8:1:2::ffff").get("/b/x/").status_code == 429
    assert Client(REMOTE_ADDR="2001:db8:1:3::1").get("/b/x/").status_code == 404


def test_odd_secrets_are_simply_not_here(client):
    for odd in ("%00", "%F0%9F%9A%BF", "x" * 3000, "..%2f", "%ED%A0%80"):
        assert client.get(f"/b/{odd}/").status_code == 404


def test_use_is_noted_at_most_once_an_hour(scene, client):
    address = scene.link()

    client.get(address)
    first = Link.objects.get().last_used_at
    client.get(address)

    assert first is not None
    assert Link.objects.get().last_used_at == first


def test_every_answer_is_private_and_tells_nobody_its_address(scene, client):
    address = scene.link()

    for path in (address, f"{address}lots/{scene.lot.pk}/", f"/b/{WRONG}/"):
        headers = client.get(path).headers
        assert headers["Referrer-Policy"] == "no-referrer"
        assert headers["X-Robots-Tag"] == "noindex, nofollow, noarchive"
        assert headers["Cache-Control"].startswith("private")
    assert b'content="noindex' in client.get(address).content


def test_the_log_never_holds_the_key_of_a_calendar(client, caplog):
    with caplog.at_level(logging.DEBUG):
        client.get("/calendars/SECRETSECRET.ics")

    assert "Not Found: /calendars/…" in caplog.text
    assert "SECRET" not in caplog.text


def test_the_log_never_holds_a_secret(scene, client, caplog):
    address = scene.link()

    with caplog.at_level(logging.DEBUG):
        client.get(f"{address}lots/999/")
        Client(enforce_csrf_checks=True).post(f"{address}lots/1/dates/")

    assert "Not Found: /b/…/lots/999/" in caplog.text
    assert "CSRF" in caplog.text
    assert secret_of(address) not in caplog.text
