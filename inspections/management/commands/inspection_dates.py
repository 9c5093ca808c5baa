"""Answers inspection-date cases, one JSON object a line, from standard input."""

import sys
from typing import Any

from django.core.management.base import BaseCommand

from inspections.dates.command import run


class Command(BaseCommand):
    help = "Reads date cases (JSON lines) from standard input, prints one answer each."
    requires_system_checks: list[str] = []

    def handle(self, **_options: Any) -> None:
        if run(sys.stdin.buffer, self.stdout):
            sys.exit(1)
