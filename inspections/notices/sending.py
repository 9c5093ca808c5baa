"""The outbox emptied: each row is taken, sent and marked, each step by itself.

A worker that dies between sending and marking sends once more; the message carries the
same Message-ID (mail) or topic and tag (push), so that it is shown once.
"""

import json
import logging
from datetime import datetime, timedelta

from django.conf import settings
from django.core.mail import EmailMessage
from django.db.models import Q

from inspections.models import Delivery, Notice, PushAddress
from phases.names import name_kinds, names, names_by_office
from tracker.words import say

logger = logging.getLogger(__name__)

TAKEN_FOR = timedelta(minutes=10)
MOST_TRIES = 8
BATCH = 200
PUSH_TTL = 12 * 3600
PUSH_TIMEOUT = 20
GONE = (404, 410)
SUBJECTS = {
    "propose": ("Inspection to call in", "Inspección por pedir"),
    "reinspect": ("Re-inspection to call in", "Reinspección por pedir"),
    "call_in_by": ("Call in in time", "Pedir a tiempo"),
    "recall_by": ("Call in again in time", "Pedir otra vez a tiempo"),
    "cover_too_early": ("Cover before the inspection", "Cierre antes de la inspección"),
    "no_result": ("Inspection without a result", "Inspección sin resultado"),
    "not_on_test": ("Not on test", "Sin prueba"),
    "permit_ends": ("Permit about to expire", "Permiso por vencer"),
    "frost": ("Frost on a water test", "Helada con prueba de agua"),
    "holidays_missing": ("Closed days missing", "Faltan días cerrados"),
}


class Undelivered(Exception):
    """It could not be sent now; the text says why."""


def send_due(*, now: datetime) -> int:
    """Send what waits; returns how many went out. Two workers never take one row."""
    waiting = Delivery.objects.filter(
        free(now), state=Delivery.WAITING, next_try_at__lte=now
    )
    sent = 0
    for pk in list(waiting.order_by("pk").values_list("pk", flat=True)[:BATCH]):
        if take(pk, now=now):
            sent += send_one(pk, now=now)
    return sent


def free(now: datetime) -> Q:
    """No worker has it, or the one that had it is gone.

    A claim that reaches further than any can was made by a clock since set back.
    """
    return (
        Q(taken_until=None)
        | Q(taken_until__lt=now)
        | Q(taken_until__gt=now + TAKEN_FOR)
    )


def take(pk: int, *, now: datetime) -> bool:
    """Claim the row; False when another worker has it or it is done."""
    row = Delivery.objects.filter(free(now), pk=pk, state=Delivery.WAITING)
    return bool(row.update(taken_until=now + TAKEN_FOR))


def send_one(pk: int, *, now: datetime) -> bool:
    delivery = Delivery.objects.select_related(
        "member", "notice__lot__subdivision", "notice__lot_phase__kind"
    ).get(pk=pk)
    try:
        send = _email if delivery.way == "email" else _push
        send(delivery)
    except Undelivered as trouble:
        _try_later(delivery, str(trouble), now=now)
        return False
    mark_sent(delivery, now=now)
    return True


def mark_sent(delivery: Delivery, *, now: datetime) -> None:
    Delivery.objects.filter(pk=delivery.pk).update(
        state=Delivery.SENT, sent_at=now, taken_until=None, trouble=""
    )


def _try_later(delivery: Delivery, trouble: str, *, now: datetime) -> None:
    tries = delivery.tries + 1
    given_up = tries >= MOST_TRIES
    logger.warning("Notice %s by %s: %s", delivery.notice_id, delivery.way, trouble)
    Delivery.objects.filter(pk=delivery.pk).update(
        tries=tries,
        state=Delivery.GIVEN_UP if given_up else Delivery.WAITING,
        next_try_at=now + timedelta(minutes=2**tries),
        taken_until=None,
        trouble=trouble[:200],
    )


def text_of(notice: Notice, language: str) -> tuple[str, str]:
    """Subject and sentence of a notice in a language."""
    column = 1 if language == "es" else 0
    subject = SUBJECTS.get(notice.reason, (notice.reason, notice.reason))[column]
    where = []
    if notice.lot is not None:
        where = [str(notice.lot.subdivision), notice.lot.in_language(language)]
    if notice.lot_phase is not None:
        kind = notice.lot_phase.kind
        where.append(kind.name_es if language == "es" else kind.name_en)
    office = notice.lot.subdivision.jurisdiction_id if notice.lot else None
    words = name_kinds(notice.words, names_by_office(language).get(office or 0, {}))
    sentence = say(words, language, names(language))
    return subject, ": ".join([", ".join(where), sentence] if where else [sentence])


def _lot(delivery: Delivery) -> str:
    lot = delivery.notice.lot
    return lot.in_language(delivery.member.language) if lot else ""


def _email(delivery: Delivery) -> None:
    member = delivery.member
    subject, sentence = text_of(delivery.notice, member.language)
    host = settings.DEFAULT_FROM_EMAIL.rpartition("@")[2].rstrip(">") or "localhost"
    message = EmailMessage(
        subject=f"{subject}: {_lot(delivery)}".rstrip(": "),
        body=f"{sentence}\n\n{settings.PUBLIC_URL}/inspections/\n",
        to=[member.email],
        headers={"Message-ID": f"<{delivery.message_id}@{host}>"},
    )
    try:
        message.send()
    except OSError as trouble:  # smtplib's errors are OSErrors too
        raise Undelivered(f"mail: {trouble}") from trouble


def _push(delivery: Delivery) -> None:
    addresses = PushAddress.objects.filter(member=delivery.member, gone_at=None)
    subject, sentence = text_of(delivery.notice, delivery.member.language)
    body = json.dumps(
        {
            "title": subject,
            "body": sentence,
            "tag": delivery.message_id,
            "url": "/inspections/",
        }
    )
    troubles = [
        trouble
        for address in addresses
        if (trouble := push_to(address, body, topic=delivery.message_id))
    ]
    if troubles and len(troubles) == len(addresses):
        raise Undelivered("; ".join(troubles))
    if not addresses:
        raise Undelivered("push: no browser of this member takes messages")


def push_to(address: PushAddress, body: str, *, topic: str) -> str:
    """Send to one browser; "" or what went wrong. A gone address is marked so."""
    from pywebpush import WebPushException, webpush  # loads much, and is seldom needed
    from requests import RequestException

    try:
        webpush(
            {
                "endpoint": address.endpoint,
                "keys": {"p256dh": address.p256dh, "auth": address.auth},
            },
            data=body,
            vapid_private_key=settings.PUSH_PRIVATE_KEY,
            vapid_claims={"sub": settings.PUSH_CONTACT},
            ttl=PUSH_TTL,
            timeout=PUSH_TIMEOUT,
            headers={"Topic": topic},
        )
    except WebPushException as refused:
        status = getattr(refused.response, "status_code", None)
        if status in GONE:
            from django.utils import timezone

            address.gone_at = timezone.now()
            address.save(update_fields=["gone_at"])
        return f"push: {status or refused}"
    except (RequestException, ValueError) as trouble:
        return f"push: {trouble}"
    return ""
