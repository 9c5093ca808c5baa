import random
import time
from datetime import datetime, timedelta

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from tracker.desk.demo import scenario
from tracker.desk.demo.ahead import plan_the_season
from tracker.desk.demo.build import build
from tracker.desk.demo.season import HISTORY_DAYS, Season
from tracker.people.models import Member
from tracker.prepare import SIGN_INS


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
        rng = random.Random(seed)
        world = build(rng, now=now - timedelta(days=HISTORY_DAYS))
        self.stdout.write(f"{len(world.lots)} lots laid out")
        Season(world, rng, now).tell(self.stdout.write)
        plan_the_season(world.owner, now=now)
        self.stdout.write("The next weeks are planned and published")
        self.stdout.write(f"Demo made in {time.monotonic() - started:.0f} s.")
        # `serve` prints these at every start.
        (settings.DATA_DIR / SIGN_INS).write_text(_sign_ins(), encoding="utf-8")
        self.stdout.write(_sign_ins())


def _sign_ins() -> str:
    """Who may sign in, and the one password of all of them."""
    lead = scenario.CREWS[2][4][0]
    people = [*scenario.OFFICE, lead[:3]]
    lines = [f"  {username:8} {name}, {role}" for username, name, role in people]
    return "\n".join([f"Demo sign-ins, password {scenario.PASSWORD}:", *lines, ""])
