"""How the page of a street grows: 20, 200 and 2,000 lots, against a bare page.

Run from the top of the project: `python -m deploy.bench_street`. The bare page is a
view of two lines behind the same middleware and session, asked in the same run. Times
are processor time, which neighbours on the machine do not change; statements are
counted, and must be the same few however long the street.
"""

import os
import statistics
import sys
import tempfile
import time
from datetime import timedelta
from typing import Any

SIZES = (20, 200, 2000)
MOST_STATEMENTS = 12
ASKED = 7


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
    owner, streets = make_streets()
    client = Client(SERVER_NAME="localhost")
    client.force_login(owner)
    plain = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
    storages = {**settings.STORAGES, "staticfiles": plain}  # nothing is collected
    with override_settings(ROOT_URLCONF=with_bare_page(), STORAGES=storages):
        return compare(client, streets)


def with_bare_page() -> type:
    """The project's addresses and one more."""
    from django.contrib.auth.decorators import login_required
    from django.http import HttpRequest, HttpResponse
    from django.template import RequestContext, Template
    from django.urls import include, path

    page = Template("<!doctype html><title>Bare</title><h1>{{ user.name }}</h1>")

    @login_required
    def bare(request: HttpRequest) -> HttpResponse:
        return HttpResponse(page.render(RequestContext(request)))

    class Addresses:
        urlpatterns = (path("bare/", bare), path("", include("tracker.urls")))

    return Addresses


def compare(client: Any, streets: dict[int, Any]) -> int:
    bare, _ = asked(client, "/bare/")
    print(f"bare page: {bare * 1000:.1f} ms of processor time")
    found = set()
    for size, street in streets.items():
        seconds, statements = asked(client, f"/streets/{street.pk}/")
        found.add(statements)
        print(
            f"street of {size:>5} lots: {seconds * 1000:8.1f} ms, "
            f"{seconds / bare:7.1f} x bare, {statements} statements"
        )
    if len(found) > 1 or max(found) > MOST_STATEMENTS:
        print(f"Too many statements: at most {MOST_STATEMENTS}, the same for each.")
        return 1
    return 0


def asked(client: Any, path: str) -> tuple[float, int]:
    """Median processor seconds of a warm request, and its SQL statements."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    with CaptureQueriesContext(connection) as captured:
        answer = client.get(path)
    if answer.status_code != 200:
        raise SystemExit(f"{path} answers {answer.status_code}.")
    statements = len(captured)  # before the next request forgets them
    times = []
    for _ in range(ASKED):
        start = time.process_time()
        client.get(path)
        times.append(time.process_time() - start)
    return statistics.median(times), statements


def make_streets() -> tuple[Any, dict[int, Any]]:
    """An owner, and streets of lots that have come differently far."""
    from django.utils import timezone

    from phases.actions.lots import create_lot
    from phases.actions.work import plan_phase, start_work
    from phases.defaults import load_defaults
    from phases.log import Who, writing
    from tracker.people.models import Crew, Member
    from tracker.sites.models import Builder, Jurisdiction, Plan, Subdivision

    load_defaults()
    now = timezone.now()
    owner = Member.objects.create_user("owner", "bench", name="Owner", role="owner")
    who = Who(member=owner)
    crew = Crew.objects.create(name="Crew")
    builder = Builder.objects.create(name="Builder")
    office = Jurisdiction.objects.create(name="Office")
    plan = Plan.objects.create(builder=builder, code="P1")
    streets = {}
    for size in SIZES:
        streets[size] = Subdivision.objects.create(
            builder=builder, jurisdiction=office, name=f"Street of {size}"
        )
        with writing(now=now):
            for n in range(size):
                lot = create_lot(
                    streets[size],
                    plan=plan,
                    who=who,
                    now=now,
                    label=str(n + 1),
                    position=n,
                )
                first = lot.phases.first()
                if n % 2:
                    day = (now + timedelta(days=n % 30)).date()
                    plan_phase(first, crew=crew, start=day, end=day, who=who, now=now)
                if n % 4 == 1:
                    start_work(first, who=who, now=now)
    return owner, streets


if __name__ == "__main__":
    sys.exit(main())
