from django.core.management.base import BaseCommand
from django.utils import timezone

from phases.actions.following import catalogue_follows
from phases.defaults import load_defaults
from phases.log import SYSTEM


class Command(BaseCommand):
    help = (
        "Add the default phases, readiness parts and catalogue rows that are missing."
    )

    def handle(self, **options: object) -> None:
        added = load_defaults()
        if added["catalogue"]:
            # Unanswered items of open lots follow; a worker that is not up yet takes
            # it up by the sweep.
            catalogue_follows("catalogue", who=SYSTEM, now=timezone.now())
        self.stdout.write(", ".join(f"{n} {what}" for what, n in added.items()))
