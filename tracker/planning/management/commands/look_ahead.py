"""look_ahead solve, check, explain, odds: the planner on files of its JSON."""

import sys
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from tracker.planning.core import cli


class Command(BaseCommand):
    help = "Plans, checks, explains and weighs a look-ahead kept in files."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        cli.add_arguments(parser)

    def handle(self, **options: Any) -> None:
        # Straight to the streams: the plan is data, not styled text.
        code = cli.run(options, sys.stdout, sys.stderr)
        if code:
            sys.exit(code)
