"""What the clock does for the phases."""

from celery import shared_task


@shared_task
def refresh_for_today() -> int:
    """Midnight changes answers (a cover date comes near); safe to run twice."""
    from django.utils import timezone  # leaf

    from phases.log import writing  # leaf
    from phases.refresh import BATCH, refresh_lots  # leaf
    from tracker.sites.models import Lot  # leaf

    ids = list(Lot.objects.open().order_by("pk").values_list("pk", flat=True))
    changed = 0
    # Batch by batch, so that phones are not kept waiting behind one long lock.
    for start in range(0, len(ids), BATCH):
        now = timezone.now()
        with writing(now=now):
            changed += refresh_lots(ids[start : start + BATCH], now=now)
    return changed


@shared_task
def follow(following_id: int) -> int:
    """Lots follow a change of the design; safe to run twice."""
    from django.utils import timezone  # leaf

    from phases.actions import following  # leaf

    return following.work_on(following_id, clock=timezone.now)


@shared_task
def sweep_following() -> int:
    """Take up again what a dead worker left behind."""
    from django.utils import timezone  # leaf

    from phases.actions import following  # leaf

    left = following.left_behind(now=timezone.now())
    for pk in left:
        follow.delay(pk)
    return len(left)
