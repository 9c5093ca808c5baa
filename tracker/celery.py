"""The queue, and what runs by the clock."""

import os

from celery import Celery
from celery.schedules import crontab
from celery.signals import worker_init

from tracker import folder_queue

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tracker.settings")

folder_queue.install()
app = Celery("plumbrow")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()

# Copied into the scheduler's tables when it starts. Times are UTC.
app.conf.beat_schedule = {
    # What an upload left behind when it was broken off for good.
    "uploads": {
        "task": "tracker.phone.tasks.sweep_files",
        "schedule": crontab(hour=9, minute=40),
    },
    # Hourly, for it is midnight somewhere: lots lie in several time zones.
    "answers": {
        "task": "phases.tasks.refresh_for_today",
        "schedule": crontab(minute=5),
    },
    # Changes of a plan or the catalogue that a dead worker left half done.
    "following": {
        "task": "phases.tasks.sweep_following",
        "schedule": crontab(minute="*/5"),
    },
    # Lot lists whose worker died.
    "lists": {
        "task": "tracker.desk.tasks.sweep_lists",
        "schedule": crontab(minute="*/5"),
    },
    # Runs of the planner asked for while the queue was out of order; somebody waits.
    "plans": {
        "task": "tracker.planning.tasks.sweep_runs",
        "schedule": crontab(),
    },
    # Ten minutes are close enough for a cut-off; a look that finds nothing is cheap.
    "notices": {
        "task": "inspections.tasks.look_for_notices",
        "schedule": crontab(minute="*/10"),
    },
    # They go out at once; this takes up what a stopped worker or a shut line left.
    "outbox": {
        "task": "inspections.tasks.send_notices",
        "schedule": crontab(minute="*/2"),
    },
}


@worker_init.connect
def compile_the_planner(**_: object) -> None:
    """Before the pool is forked, so that no owner waits for the compiler.

    The first time on a machine this takes 20 s, later it is read from a cache.
    """
    from tracker.planning.core.warm import warm

    warm()
