"""The planner in the worker."""

from celery import shared_task


@shared_task
def run_planner(run_id: int) -> str:
    """Do one run; a second delivery of the same task does nothing."""
    from django.utils import timezone  # leaf

    from tracker.planning.actions.running import work_on  # leaf

    return work_on(run_id, clock=timezone.now)


@shared_task
def sweep_runs() -> int:
    """Send again what was asked for while the queue was out of order."""
    from django.utils import timezone  # leaf

    from tracker.planning.actions.running import left_waiting  # leaf

    left = left_waiting(now=timezone.now())
    for run_id in left:
        run_planner.delay(run_id)
    return len(left)
