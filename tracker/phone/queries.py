"""What the office reads about phones, in a fixed number of statements."""

from typing import Any

from django.db.models import Count, F, Max, Min, Q

from tracker.people.models import Device
from tracker.phone.models import SetAside
from tracker.phone.words import both
from tracker.sites.models import DrawingSheet


def devices() -> list[dict[str, Any]]:
    """All phones; `waiting` are entries that were still on one when it last spoke.

    A phone that is lost or was cleared keeps that figure, so that somebody asks what
    is missing. One statement.
    """
    rows = Device.objects.select_related("member")
    return [
        {
            "id": str(device.pk),
            "name": device.name,
            "member": device.member.name,
            "enrolled_at": device.enrolled_at,
            "last_seen_at": device.last_seen_at,
            "clock_skew_seconds": device.clock_skew_seconds,
            "waiting": device.waiting,
            "revoked_at": device.revoked_at,
        }
        for device in rows
    ]


def newest_sheet() -> int | None:
    """The drawing sheet that came last: no fact of a lot tells phones of it."""
    return DrawingSheet.objects.aggregate(last=Max("pk"))["last"]


def set_aside() -> list[dict[str, Any]]:
    """Operations that wait for somebody to settle them, the oldest first."""
    rows = SetAside.objects.filter(settled_at=None).select_related("device__member")
    return [
        {
            "id": row.pk,
            "device": row.device.name,
            "member": row.device.member.name,
            "operation": row.body,
            **both(row.reason),
            "set_aside_at": row.set_aside_at,
        }
        for row in rows[:500]
    ]


def set_aside_count() -> int:
    return SetAside.objects.filter(Q(settled_at=None)).count()


def set_aside_by_member() -> list[dict[str, Any]]:
    """Who sent how many of them and since when, the oldest first; one statement."""
    rows = SetAside.objects.filter(settled_at=None).order_by()
    return list(
        rows.values(member=F("device__member__name"))
        .annotate(count=Count("pk"), since=Min("set_aside_at"))
        .order_by("since")
    )
