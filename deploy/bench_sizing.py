"""Plan checks a second, and the plan check page against a bare page.

Run from the top of the project: `python -m deploy.bench_sizing`. The plans are the nine
of the demo. A check is every check of one outline in one code book, computed anew: the
memory of reports is emptied before each. The bare page is a view of two lines behind
the same middleware and session, asked in the same run. Times are processor time, which
neighbours on the machine do not change; statements are counted.
"""

import os
import sys
import tempfile
import time
from typing import Any

from deploy.bench_street import asked, with_bare_page

BOOKS = ("IRC", "IPC", "UPC")
ROUNDS = 5
LEAST_CHECKS = 50.0  # a second, on a machine that does nothing else
MOST_STATEMENTS = 20


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
    owner, plans = make_plans()
    failed = checks_a_second()
    client = Client(SERVER_NAME="localhost")
    client.force_login(owner)
    plain = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
    storages = {**settings.STORAGES, "staticfiles": plain}  # nothing is collected
    with override_settings(ROOT_URLCONF=with_bare_page(), STORAGES=storages):
        return pages(client, plans) or failed


def make_plans() -> tuple[Any, list[Any]]:
    """An owner and the demo's nine plans, each with its outlines."""
    from django.utils import timezone

    from phases.defaults import load_defaults
    from tracker.desk.demo.build import _plan as make_plan
    from tracker.desk.demo.outlines import lay_outlines
    from tracker.desk.demo.plans import PLANS
    from tracker.people.models import Member
    from tracker.sites.models import Builder, Plan, Subdivision

    load_defaults()
    owner = Member.objects.create_user(
        "owner", "bench", name="Owner Bench", role="owner"
    )
    for text in PLANS:
        builder, made = Builder.objects.get_or_create(name=text.builder)
        if made:
            Subdivision.objects.create(
                builder=builder, name="Street", code_book="IRC", edition="2021"
            )
        make_plan(builder, text)
    start = time.process_time()
    kept = lay_outlines(owner, now=timezone.now())
    print(f"{kept} outlines guessed and kept: {time.process_time() - start:.2f} s")
    return owner, list(Plan.objects.order_by("builder", "code"))


def checks_a_second() -> int:
    """Every outline in three books, nothing remembered."""
    from phases.models import PlanOutline
    from phases.plan_check import stored_piping
    from phases.sizing.plan.check import check_plan
    from phases.sizing.tables import Book
    from phases.sizing.takeoff import material_list

    rows = PlanOutline.objects.select_related("plan")
    piped = [
        stored_piping(row, storeys=row.plan.storeys, foundation=row.plan.foundation)
        for row in rows
    ]
    books = [Book(code, 2021) for code in BOOKS]
    cases = [(piping, book) for piping in piped for book in books] * ROUNDS

    def check(piping: Any, book: Any) -> int:
        report = check_plan(
            piping.outline, book=book, site=piping.site, extras=piping.extras
        )
        return len(report.findings)

    start = time.process_time()
    findings = sum(check(piping, book) for piping, book in cases)
    took = time.process_time() - start
    rate = len(cases) / took
    print(
        f"{len(cases)} plan checks, {findings} findings: {took:.2f} s, "
        f"{rate:.0f} plans a second, {findings / took:.0f} findings a second"
    )
    start = time.process_time()
    for piping, book in cases:
        material_list(piping.outline, book=book, site=piping.site)
    took = time.process_time() - start
    print(f"{len(cases)} material lists: {len(cases) / took:.0f} a second")
    if rate < LEAST_CHECKS:
        print(f"Too slow: {LEAST_CHECKS:.0f} plans a second are asked.")
        return 1
    return 0


def pages(client: Any, plans: list[Any]) -> int:
    """The plan check page of each plan against the bare one."""
    bare, _ = asked(client, "/bare/")
    print(f"bare page: {bare * 1000:.1f} ms of processor time")
    counted = set()
    for plan in plans:
        seconds, statements = asked(client, f"/plans/{plan.pk}/check/")
        counted.add(statements)
        print(
            f"plan check {plan.code:>6}: {seconds * 1000:6.1f} ms, "
            f"{seconds / bare:5.1f} x bare, {statements} statements"
        )
    if len(counted) > 1 or max(counted) > MOST_STATEMENTS:
        print(f"Too many statements: at most {MOST_STATEMENTS}, the same for each.")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
