"""Workers that die at any step, come late or work side by side."""

import threading
from datetime import timedelta

import pytest
from django.core import mail
from django.db import connection

from inspections import tasks
from inspections.models import Delivery, Notice
from inspections.notices import sending, writing
from inspections.notices.sending import send_due
from inspections.notices.writing import look
from phases.log import Who
from tests.factories import NOW, make_member
from tests.inspections.scene import at, finish, office_lot


@pytest.fixture(autouse=True)
def clock(monkeypatch):
    """A task that starts by itself sees the moment of the test."""
    monkeypatch.setattr(tasks, "_moment", lambda at: NOW)


def by_mail():
    """A lot with one notice, and one member who asked for mail."""
    fields = {"email": "sadie@example.com", "wants_email": True}
    who = Who(member=make_member("office", **fields))
    finish(office_lot(who), who)


class Killed(BaseException):
    """The worker's process ended here."""


STEPS = [
    (writing, "standings", "before"),
    (writing, "_write", "before"),
    (writing, "_new", "after"),
    (writing, "_outbox", "before"),
    (writing, "_outbox", "after"),
    (writing, "_send_soon", "before"),
    (sending, "take", "before"),
    (sending, "take", "after"),
    (sending, "send_one", "before"),
    (sending, "_email", "before"),
    (sending, "_email", "after"),
    (sending, "mark_sent", "before"),
    (sending, "mark_sent", "after"),
]


def work_once():
    look(now=NOW)
    send_due(now=NOW)


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize(
    ("module", "step", "when"), STEPS, ids=[f"{s[1]}-{s[2]}" for s in STEPS]
)
def test_a_worker_killed_at_any_step_loses_and_doubles_nothing(
    module, step, when, monkeypatch
):
    by_mail()
    real = getattr(module, step)

    def dies(*args, **kwargs):
        if when == "after":
            real(*args, **kwargs)
        raise Killed

    with monkeypatch.context() as patched:
        patched.setattr(module, step, dies)
        with pytest.raises(Killed):
            work_once()
    assert connection.in_atomic_block is False

    # The next worker, at once and again when the dead one's claim has run out.
    for moment in ("2026-03-02T09:01", "2026-03-02T09:12", "2026-03-02T09:13"):
        look(now=at(moment))
        send_due(now=at(moment))

    delivery = Delivery.objects.get()
    assert Notice.objects.count() == 1
    assert delivery.state == "sent"
    ids = [message.extra_headers["Message-ID"] for message in mail.outbox]
    # Sent but not marked is sent again under the same id, so it is shown once.
    assert set(ids) == {f"<{delivery.message_id}@localhost>"}
    again = (step, when) in (("_email", "after"), ("mark_sent", "before"))
    assert len(ids) == (2 if again else 1)


@pytest.mark.django_db(transaction=True)
def test_a_broker_that_is_down_costs_no_notice_and_the_clock_sends_it_later(
    monkeypatch,
):
    by_mail()

    def down(*_args):
        raise OSError("no broker")

    monkeypatch.setattr(tasks.send_notices, "delay", down)
    assert look(now=NOW) == 1
    assert mail.outbox == []

    assert send_due(now=NOW) == 1


@pytest.mark.django_db(transaction=True)
def test_two_workers_that_look_and_send_at_once_write_and_send_once():
    by_mail()

    def work():
        try:
            for _ in range(3):
                look(now=NOW)
                send_due(now=NOW)
        finally:
            connection.close()

    workers = [threading.Thread(target=work) for _ in range(2)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()

    assert (Notice.objects.count(), Delivery.objects.count()) == (1, 1)
    assert len(mail.outbox) == 1


@pytest.mark.django_db(transaction=True)
def test_a_worker_that_died_while_the_clock_was_ahead_holds_nothing_back(monkeypatch):
    by_mail()
    ahead = NOW + timedelta(days=200)
    with monkeypatch.context() as patched:
        patched.setattr(tasks.send_notices, "delay", lambda: None)
        look(now=NOW)
    (delivery,) = Delivery.objects.all()
    assert sending.take(delivery.pk, now=ahead) is True

    assert send_due(now=NOW) == 1
