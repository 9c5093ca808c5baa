import random
import subprocess
import sys
import time
from datetime import datetime, timedelta

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from tracker.desk.demo import scenario
from tracker.desk.demo.ahead import plan_the_season
from tracker.desk.demo.build import build
from tracker.desk.demo.matters import say_more_ready
from tracker.desk.demo.season import HISTORY_DAYS, Season
from tracker.desk.doing import office_today
from tracker.people.models import Member
from tracker.prepare import ADDRESS, keep_sign_ins, sign_ins
from tracker.status.demo import make_demo_links, move_a_date


class Command(BaseCommand):
    help = "Fill an empty database with the invented contractor's season."

    def add_arguments(self, parser) -> None:
        parser.add_argument("--seed", type=int, default=1)
        parser.add_argument("--now", type=datetime.fromisoformat, default=None)

    def handle(self, *, seed: int, now: datetime | None, **options: object) -> None:
        if Member.objects.exists():
            raise CommandError("The database is not empty, so no demo is made in it.")
        started = time.monotonic()
        now = now or timezone.now()
        if timezone.is_naive(now):
            raise CommandError("--now needs a UTC offset, as 2026-03-02T15:00+00:00.")
        compiling = _compiling()
        rng = random.Random(seed)
        world = build(rng, now=now - timedelta(days=HISTORY_DAYS))
        self.stdout.write(f"{len(world.lots)} lots laid out")
        Season(world, rng, now).tell(self.stdout.write)
        compiling.wait()
        plan_the_season(world.owner, now=now)
        self.stdout.write("The next weeks are planned and published")
        say_more_ready(world, now=now)
        move_a_date(now=now, today=office_today(now))
        links = make_demo_links(by=world.owner, now=now)
        self.stdout.write(f"Demo made in {time.monotonic() - started:.0f} s.")
        keep_sign_ins(_sign_ins(links))
        self.stdout.write(sign_ins())


def _compiling() -> "subprocess.Popen[bytes]":
    """A process that fills the planner's cache while the houses are told."""
    code = "from tracker.planning.core.warm import warm; warm()"
    return subprocess.Popen([sys.executable, "-c", code], cwd=settings.BASE_DIR)


def _sign_ins(links: list[tuple[str, str]]) -> str:
    """Who may sign in, the one password of all of them, and what builders open."""
    lead = scenario.CREWS[2][4][0]
    people = [*scenario.OFFICE, lead[:3]]
    return "\n".join(
        [
            f"Demo sign-ins, password {scenario.PASSWORD}:",
            *(f"  {username:8} {name}, {role}" for username, name, role in people),
            "Builders' pages, without a sign-in (new ones: People, Builder links):",
            *(f"  {ADDRESS}{path}  {whose}" for whose, path in links),
        ]
    )
