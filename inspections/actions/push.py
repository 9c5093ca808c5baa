"""A member's browser asks for push messages, or no longer wants them."""

from datetime import datetime
from urllib.parse import urlsplit

from inspections.models import PushAddress
from tracker.errors import Refused
from tracker.people.models import Member


def add_push_address(
    member: Member, *, endpoint: str, p256dh: str, auth: str, now: datetime
) -> PushAddress:
    """Kept once per browser; the one who signed in last has it."""
    parts = urlsplit(endpoint)
    if parts.scheme != "https" or not parts.hostname or len(endpoint) > 500:
        raise Refused("bad_value", field="endpoint", value=endpoint[:60])
    if not (0 < len(p256dh) <= 120 and 0 < len(auth) <= 60):
        raise Refused("bad_value", field="keys", value="")
    address, _ = PushAddress.objects.update_or_create(
        endpoint=endpoint,
        defaults={
            "member": member,
            "p256dh": p256dh,
            "auth": auth,
            "made_at": now,
            "gone_at": None,
        },
    )
    return address


def drop_push_address(member: Member, *, endpoint: str, now: datetime) -> None:
    PushAddress.objects.filter(member=member, endpoint=endpoint).update(gone_at=now)


def say_wishes(
    member: Member, *, email: str, wants_email: bool, wants_push: bool
) -> Member:
    """How he wants to be told of notices. Mail needs an address."""
    if wants_email and not email:
        raise Refused("bad_value", field="email", value="-")
    member.email, member.wants_email, member.wants_push = email, wants_email, wants_push
    member.save(update_fields=["email", "wants_email", "wants_push"])
    return member
