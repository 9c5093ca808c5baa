"""The look-ahead of 30 crews, 60 days and 1,000 jobs against a bare page.

Run from the top of the project: `python -m deploy.bench_look_ahead`. The bar: 300 ms
of the server's time a page. Times are processor time of a warm request, and of a bare
view behind the same middleware, asked in the same run.
"""

import os
import sys
import tempfile
from datetime import timedelta
from typing import Any

from deploy.bench_street import asked, with_bare_page

LOTS, STREETS, CREWS = 250, 10, 30
KINDS = ("underground", "rough", "topout", "trim")
BAR = 0.3
PAGES = {
    "by crew": "?days=60",
    "by lot": "?days=60&by=lot",
    "draft": "?days=60&plan={draft}",
}


def main() -> int:
    with tempfile.TemporaryDirectory() as folder:
        os.mkdir(f"{folder}/static")
        os.environ["DATA_DIR"] = folder
        os.environ.pop("DATABASE_URL", None)
        os.environ.pop("REDIS_URL", None)
        os.environ["SECRET_KEY"] = "bench-only-" + "0123456789abcdef" * 4
        os.environ["DJANGO_SETTINGS_MODULE"] = "tracker.settings"
        import django

        django.setup()
        return measure()


def measure() -> int:
    from django.conf import settings
    from django.core.management import call_command
    from django.test import Client
    from django.test.utils import override_settings

    call_command("migrate", verbosity=0)
    owner = make_houses()
    draft = planned(owner)
    client = Client(SERVER_NAME="localhost")
    client.force_login(owner)
    plain = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
    storages = {**settings.STORAGES, "staticfiles": plain}  # nothing is collected
    fine = True
    with override_settings(ROOT_URLCONF=with_bare_page(), STORAGES=storages):
        bare, _ = asked(client, "/bare/")
        print(f"bare page: {bare * 1000:.1f} ms of processor time")
        for name, query in PAGES.items():
            path = "/look-ahead/" + query.format(draft=draft)
            seconds, statements = asked(client, path)
            fine = fine and seconds <= BAR
            print(
                f"look-ahead {name:8} {seconds * 1000:6.0f} ms, "
                f"{seconds / bare:5.1f} x bare, {statements} statements, "
                f"bar {BAR * 1000:.0f} ms  {'met' if seconds <= BAR else 'MISSED'}"
            )
    return 0 if fine else 1


def make_houses() -> Any:
    """An owner, and lots whose four phases are all still to come."""
    from django.utils import timezone

    from phases.actions.dates import say_date
    from phases.actions.lots import create_lot
    from phases.defaults import load_defaults
    from phases.log import Who, writing
    from tracker.people.models import Crew, Member
    from tracker.sites.models import Builder, Plan, Subdivision

    load_defaults()
    now = timezone.now()
    owner = Member.objects.create_user("owner", "bench", name="Owner", role="owner")
    who = Who(member=owner)
    for number in range(CREWS):
        Crew.objects.create(name=f"Crew {number + 1}", skills=list(KINDS))
    builder = Builder.objects.create(name="Builder")
    office = make_office()
    plan = Plan.objects.create(
        builder=builder, code="P1", crew_quarters=dict.fromkeys(KINDS, 6)
    )
    streets = [
        Subdivision.objects.create(
            builder=builder, jurisdiction=office, name=f"Street {number + 1}"
        )
        for number in range(STREETS)
    ]
    with writing(now=now):
        for n in range(LOTS):
            lot = create_lot(
                streets[n % STREETS],
                plan=plan,
                who=who,
                now=now,
                label=str(n + 1),
                position=n,
            )
            ready = now.date() + timedelta(days=n // 10)
            for place, phase in enumerate(lot.phases.order_by("kind__position")):
                need = ready + timedelta(days=12 + 14 * place)
                for what, date in (("ready", ready), ("need_by", need)):
                    say_date(lot, phase=phase, what=what, date=date, who=who, now=now)
                ready += timedelta(days=10)
    return owner


def make_office() -> Any:
    from tracker.sites.models import InspectionKind, Jurisdiction

    lead = {"unit": "inspection_days", "amount": 1}
    rules = {"timezone": "America/Chicago", "cutoff": "15:00", "lead": lead}
    office = Jurisdiction.objects.create(name="Office", rules=rules)
    for place, code in enumerate(KINDS):
        InspectionKind.objects.create(
            jurisdiction=office,
            code=code,
            name_en=code,
            name_es=code,
            proves=[code],
            position=place,
        )
    return office


def planned(owner: Any) -> int:
    """Publish a plan of all jobs and begin a draft beside it; the draft's number."""
    from django.utils import timezone

    from phases.log import Who
    from tracker.planning.actions.drafts import start_draft
    from tracker.planning.actions.publishing import publish
    from tracker.planning.actions.running import ask_run, work_on

    who, now = Who(member=owner), timezone.now()
    for turn in ("published", "draft"):
        draft = start_draft(who=who, now=now, today=now.date())
        run = ask_run(
            draft, who=who, now=now, seconds=None, iterations=20_000, queue=False
        )
        if work_on(run.pk, clock=lambda: now) != "done":
            raise SystemExit("The plan was not made.")
        draft.refresh_from_db()
        print(f"{turn}: {len(draft.plan['jobs'])} jobs")
        if turn == "published":
            publish(draft, who=who, now=now)
    return draft.pk


if __name__ == "__main__":
    sys.exit(main())
