"""Long work of the office pages."""

from celery import shared_task


# Ten thousand lots are one transaction, which may take longer than other tasks.
@shared_task(soft_time_limit=3300, time_limit=3400)
def apply_list(pk: int) -> str:
    """Apply a lot list; a second delivery of the same task does nothing."""
    from django.utils import timezone  # leaf

    from tracker.desk.imports import applying  # leaf

    return applying.work_on(pk, clock=timezone.now)


@shared_task
def sweep_lists() -> int:
    """Take up again what a dead worker left behind."""
    from django.utils import timezone  # leaf

    from tracker.desk.imports import applying  # leaf

    left = applying.left_behind(now=timezone.now())
    for pk in left:
        apply_list.delay(pk)
    return len(left)
