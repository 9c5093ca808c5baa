"""The outbox: sent once, to a local endpoint, by a worker that may die at any step."""

import base64
import json
import threading
from http.server import BaseHTTPRequestHandler, HTTPServer

import http_ece
import pytest
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from django.core import mail
from django.urls import reverse

from inspections import tasks
from inspections.actions.push import add_push_address
from inspections.models import Delivery, Notice, PushAddress
from inspections.notices.sending import send_due
from inspections.notices.writing import look
from phases.log import Who
from tests.factories import NOW, make_member
from tests.inspections.scene import finish, office_lot
from tracker.errors import Refused


def b64(raw):
    return base64.urlsafe_b64encode(raw).rstrip(b"=").decode()


def key_pair():
    private = ec.generate_private_key(ec.SECP256R1())
    point = private.public_key().public_bytes(
        Encoding.X962, PublicFormat.UncompressedPoint
    )
    number = private.private_numbers().private_value.to_bytes(32, "big")
    return private, b64(point), b64(number)


class PushService(HTTPServer):
    """Takes push messages as a browser's push service does, and keeps them."""

    def __init__(self, status=201):
        super().__init__(("127.0.0.1", 0), _Handler)
        self.status, self.taken = status, []
        threading.Thread(target=self.serve_forever, daemon=True).start()

    @property
    def address(self):
        return f"http://127.0.0.1:{self.server_port}/send/abc"


class _Handler(BaseHTTPRequestHandler):
    def do_POST(self):
        body = self.rfile.read(int(self.headers["Content-Length"]))
        self.server.taken.append((self.headers, body))
        self.send_response(self.server.status)
        self.end_headers()

    def log_message(self, *_):
        return


@pytest.fixture
def service():
    made = PushService()
    yield made
    made.shutdown()
    made.server_close()


@pytest.fixture
def pushing(settings):
    _, public, private = key_pair()
    settings.PUSH_PUBLIC_KEY, settings.PUSH_PRIVATE_KEY = public, private
    settings.PUSH_CONTACT = "mailto:office@example.com"


@pytest.fixture(autouse=True)
def clock(monkeypatch):
    """A task that starts by itself sees the moment of the test."""
    monkeypatch.setattr(tasks, "_moment", lambda at: NOW)


def notice_for(**member):
    """A lot with one notice, and one member who asked to be told."""
    who = Who(member=make_member("office", **member))
    finish(office_lot(who), who)
    return who.member


def by_mail():
    return notice_for(email="sadie@example.com", wants_email=True)


@pytest.mark.django_db
def test_a_mail_goes_out_once_with_an_id_of_its_own():
    by_mail()
    look(now=NOW)

    assert [send_due(now=NOW), send_due(now=NOW)] == [1, 0]

    (message,) = mail.outbox
    delivery = Delivery.objects.get()
    assert message.to == ["sadie@example.com"]
    assert message.subject.startswith("Inspection to call in: Lot ")
    assert "call in Topout: ready for 2026-03-03" in message.body
    assert message.extra_headers["Message-ID"] == f"<{delivery.message_id}@localhost>"
    assert (delivery.state, delivery.sent_at) == ("sent", NOW)


@pytest.mark.django_db
def test_a_member_reads_spanish():
    notice_for(email="r@example.com", wants_email=True, language="es")
    look(now=NOW)
    send_due(now=NOW)

    assert mail.outbox[0].subject.startswith("Inspección por pedir")
    assert "pida Topout: listo para el 2026-03-03" in mail.outbox[0].body


@pytest.mark.django_db
def test_a_push_message_arrives_encrypted_for_that_browser(service, pushing):
    member = notice_for(wants_push=True)
    browser, public, _ = key_pair()
    secret = b"0123456789abcdef"
    PushAddress.objects.create(
        member=member,
        endpoint=service.address,
        p256dh=public,
        auth=b64(secret),
        made_at=NOW,
    )
    look(now=NOW)

    assert send_due(now=NOW) == 1

    ((headers, body),) = service.taken
    plain = json.loads(
        http_ece.decrypt(
            body, private_key=browser, auth_secret=secret, version="aes128gcm"
        )
    )
    delivery = Delivery.objects.get()
    assert plain["title"] == "Inspection to call in"
    assert plain["tag"] == headers["Topic"] == delivery.message_id
    assert headers["Authorization"].lower().startswith("vapid")


@pytest.mark.django_db
def test_a_browser_that_is_gone_is_not_asked_again(service, pushing):
    service.status = 410
    member = notice_for(wants_push=True)
    _, public, _ = key_pair()
    PushAddress.objects.create(
        member=member,
        endpoint=service.address,
        p256dh=public,
        auth=b64(b"0123456789abcdef"),
        made_at=NOW,
    )
    look(now=NOW)

    assert send_due(now=NOW) == 0

    assert PushAddress.objects.get().gone_at is not None
    delivery = Delivery.objects.get()
    assert (delivery.state, delivery.tries, delivery.trouble) == (
        "waiting",
        1,
        "push: 410",
    )
    # The office page has it all the same.
    assert Notice.objects.open().count() == 1


@pytest.mark.django_db
def test_a_shut_line_is_tried_again_later_and_given_up_in_the_end(pushing):
    notice_for(wants_push=True)
    look(now=NOW)

    now, tries = NOW, 0
    while Delivery.objects.get().state == "waiting":
        send_due(now=now)
        tries += 1
        assert Delivery.objects.get().next_try_at > now
        now = Delivery.objects.get().next_try_at

    assert tries == 8
    assert Delivery.objects.get().trouble.endswith("takes messages")


@pytest.mark.django_db
@pytest.mark.parametrize(
    "endpoint", ["http://push.example/x", "ftp://x", "https://", "x" * 600]
)
def test_an_address_that_is_no_push_service_is_refused(endpoint):
    with pytest.raises(Refused):
        add_push_address(
            make_member(), endpoint=endpoint, p256dh="k", auth="a", now=NOW
        )


@pytest.mark.django_db
def test_a_member_asks_on_the_page_to_be_told_and_takes_it_back(client, pushing):
    member = make_member("lead")
    client.force_login(member)
    page = reverse("desk:telling")
    assert client.get(page).status_code == 200

    nowhere = client.post(page, {"wants_email": "on"})
    assert "email: - cannot be used" in nowhere.content.decode()
    said = {
        "email": "l@example.com",
        "wants_email": "on",
        "wants_push": "on",
        "endpoint": "https://push.example/abc",
        "p256dh": "key",
        "auth": "secret",
    }
    assert client.post(page, said).status_code == 302
    member.refresh_from_db()
    assert (member.email, member.wants_email, member.wants_push) == (
        "l@example.com",
        True,
        True,
    )
    assert PushAddress.objects.get().member == member

    client.post(page, {"email": "l@example.com"})
    member.refresh_from_db()
    assert (member.wants_email, member.wants_push) == (False, False)
