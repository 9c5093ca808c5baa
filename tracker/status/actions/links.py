"""Links to the builder's page: made once, shown once, revoked at once."""

import hashlib
import secrets
from datetime import datetime, timedelta

from phases import rules as house_rules
from tracker.people.models import Member
from tracker.sites.models import Builder, Subdivision, Superintendent
from tracker.status import rules
from tracker.status.models import Link

SECRET_BYTES = 32  # 256 bits
DEFAULT_DAYS = 180


def hashed(secret: str) -> str:
    """SHA-256 as hex; secrets are long and random, so no salt is needed."""
    return hashlib.sha256(secret.encode("utf-8", "surrogatepass")).hexdigest()


def make_link(
    builder: Builder,
    *,
    by: Member,
    now: datetime,
    subdivision: Subdivision | None = None,
    superintendent: Superintendent | None = None,
    days: int = DEFAULT_DAYS,
    note: str = "",
) -> tuple[Link, str]:
    """The link and its secret, which nobody can be shown a second time.

    For all houses of a builder or those of one subdivision; with a superintendent it
    is his own, and what he does through it stands under his name.
    """
    house_rules.check(
        rules.why_not_make_link(
            by,
            builder=builder,
            subdivision=subdivision,
            superintendent=superintendent,
            days=days,
        )
    )
    secret = secrets.token_urlsafe(SECRET_BYTES)
    link = Link.objects.create(
        token_hash=hashed(secret),
        builder=builder,
        subdivision=subdivision,
        superintendent=superintendent,
        note=note[:120],
        made_by=by,
        made_at=now,
        expires_at=now + timedelta(days=days),
    )
    return link, secret


def revoke_link(link: Link, *, by: Member, now: datetime) -> Link:
    """From this moment the address answers like one that never was."""
    house_rules.check(house_rules.why_not_office(by))
    # The first revocation stays on record.
    Link.objects.filter(pk=link.pk, revoked_at=None).update(
        revoked_at=now, revoked_by=by
    )
    link.refresh_from_db()
    return link
