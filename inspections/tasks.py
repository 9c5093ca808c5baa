"""What the clock does for inspections. `at` (ISO) is the moment to look at: now when
it is left out."""

from datetime import datetime

from celery import shared_task


def _moment(at: str | None) -> datetime:
    from django.utils import timezone  # leaf

    return datetime.fromisoformat(at) if at else timezone.now()


@shared_task
def look_for_notices(at: str | None = None) -> int:
    """Propose, warn and notice; safe to run twice, late, or beside another worker."""
    from inspections.notices.writing import look  # leaf

    return look(now=_moment(at))


@shared_task
def send_notices(at: str | None = None) -> int:
    """Empty the outbox."""
    from inspections.notices.sending import send_due  # leaf

    return send_due(now=_moment(at))
