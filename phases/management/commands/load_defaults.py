from django.core.management.base import BaseCommand

from phases.defaults import load_defaults


class Command(BaseCommand):
    help = (
        "Add the default phases, readiness parts and catalogue rows that are missing."
    )

    def handle(self, **options: object) -> None:
        added = load_defaults()
        self.stdout.write(", ".join(f"{n} {what}" for what, n in added.items()))
