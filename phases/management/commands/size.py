"""`manage.py size < case.json`: the arithmetic of sizing cases with its sources."""

import sys
from typing import Any

from django.core.management.base import BaseCommand

from phases.sizing.cases.command import run


class Command(BaseCommand):
    """Thin: reads JSON cases from standard input, prints the answers as JSON."""

    help = "Answer sizing cases (a JSON object or list on standard input)."
    requires_system_checks: list[str] = []

    def handle(self, *args: Any, **options: Any) -> None:
        """Exit status 1 where the input is no JSON."""
        if status := run(sys.stdin.buffer, sys.stdout):
            sys.exit(status)
