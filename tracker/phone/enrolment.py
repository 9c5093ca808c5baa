"""Letting phones in and shutting them out. Only hashes of codes and tokens are kept."""

import hashlib
import secrets
from datetime import datetime, timedelta

from django.db import transaction

from phases import rules
from tracker.errors import Refused
from tracker.people.models import Device, EnrolCode, Member

CODE_LIVES = timedelta(hours=48)


def hashed(secret: str) -> str:
    """SHA-256 as hex; codes and tokens are long and random, so no salt is needed."""
    return hashlib.sha256(secret.encode()).hexdigest()


def make_code(member: Member, *, made_by: Member, now: datetime) -> str:
    """A code by which one phone of this member is let in once, within two days."""
    rules.check(rules.why_not_office(made_by))
    if not member.is_active:
        raise Refused("no_such", what="member")
    code = secrets.token_urlsafe(16)
    EnrolCode.objects.create(
        code_hash=hashed(code),
        member=member,
        made_by=made_by,
        expires_at=now + CODE_LIVES,
    )
    return code


def enrol(code: str, *, name: str, now: datetime) -> tuple[Device, str] | None:
    """The device and its token; None when the code is unknown, used or out of date."""
    with transaction.atomic():
        # Claim before acting: two phones may show the same code.
        claimed = EnrolCode.objects.filter(
            code_hash=hashed(code),
            used_at=None,
            expires_at__gt=now,
            member__is_active=True,
        ).update(used_at=now)
        if not claimed:
            return None
        member = EnrolCode.objects.select_related("member").get(code_hash=hashed(code))
        token = secrets.token_urlsafe(32)
        device = Device.objects.create(
            member=member.member,
            name=name,
            token_hash=hashed(token),
            enrolled_at=now,
        )
        return device, token


def revoke(device: Device, *, by: Member, now: datetime) -> Device:
    """Shut a phone out. What it still sends is kept for the office, not applied."""
    rules.check(rules.why_not_office(by))
    if device.revoked_at is None:
        device.revoked_at = now
        device.save(update_fields=["revoked_at"])
    return device
