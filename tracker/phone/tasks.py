"""What the clock does for uploads."""

from celery import shared_task


@shared_task
def sweep_files() -> int:
    """Clear files that no row speaks of; safe to run twice."""
    from django.utils import timezone  # leaf

    from tracker.phone.sweep import sweep  # leaf

    return len(sweep(now=timezone.now()))
