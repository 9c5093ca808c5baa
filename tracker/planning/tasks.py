"""The planner in the worker."""

from celery import shared_task


@shared_task
def run_planner(run_id: int) -> str:
    """Do one run; a second delivery of the same task does nothing."""
    from django.utils import timezone  # leaf

    from tracker.planning.actions.running import work_on  # leaf

    return work_on(run_id, clock=timezone.now)
