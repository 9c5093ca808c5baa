"""The demo planned again after rain, a failed inspection and a builder's slip.

Each event is written as people would write it, then a draft is solved from the
published plan, its differences counted, and published. Times are those of the whole
re-plan.
"""

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

TOP = Path(__file__).resolve().parents[1]
SECONDS = 1.0


def run() -> None:
    with tempfile.TemporaryDirectory(prefix="plumbrow-bench-") as folder:
        os.environ["DATA_DIR"] = folder
        os.environ.setdefault("SECRET_KEY", "bench-only-" + "0123456789abcdef" * 4)
        os.environ["DJANGO_SETTINGS_MODULE"] = "tracker.settings"
        for command in ("migrate", "demo"):
            print(f"{command} ...", flush=True)
            subprocess.run(
                [sys.executable, "manage.py", command],
                cwd=TOP,
                check=True,
                stdout=subprocess.DEVNULL,
            )
        import django

        django.setup()
        _events()


def _events() -> None:
    from django.utils import timezone

    from phases.log import Who
    from tracker.people.models import Member

    who = Who(member=Member.objects.get(username="owner"))
    now = timezone.now()
    print(
        f"\n{'event':<22}{'seconds':>9}{'late jobs':>11}{'told anew':>11}{'crews':>7}"
    )
    happened: dict[str, Callable[[Any, datetime], None]] = {
        "nothing": lambda *_: None,
        "two days of rain": _rain,
        "a failed inspection": _failed,
        "a builder's slip": _slip,
    }
    for name, event in happened.items():
        event(who, now)
        began = time.monotonic()
        late, changed, crews = _replan(who, now)
        took = time.monotonic() - began
        print(f"{name:<22}{took:>11.2f}{late:>11}{changed:>11}{crews:>11}", flush=True)


def _replan(who: Any, now: datetime) -> tuple[int, int, int]:
    from tracker.desk.doing import office_today
    from tracker.planning.actions.drafts import start_draft
    from tracker.planning.actions.publishing import changes_of, publish
    from tracker.planning.actions.running import ask_run, work_on
    from tracker.planning.models import CrewNotice

    draft = start_draft(who=who, now=now, today=office_today(now))
    run = ask_run(draft, who=who, now=now, seconds=SECONDS, queue=False)
    work_on(run.pk, clock=lambda: now)
    draft.refresh_from_db()
    changed = sum(change.days_change for change in changes_of(draft))
    publish(draft, who=who, now=now)
    crews = CrewNotice.objects.filter(version=draft).count()
    return draft.plan["score"]["late_jobs"], changed, crews


def _rain(who: Any, now: datetime) -> None:
    from tracker.planning.actions.settings import say_rain

    days = [(now + timedelta(days=n)).date() for n in range(1, 6)]
    say_rain([day for day in days if day.weekday() < 5][:2], who=who, now=now)


def _failed(who: Any, now: datetime) -> None:
    from inspections.actions import Found, record_result
    from inspections.models import InspectionRequest

    request = InspectionRequest.objects.waiting().order_by("for_date").first()
    if request is None:
        raise SystemExit("The demo has no inspection called in.")
    record_result(
        request.lot,
        request.kind,
        result="failed",
        on=now.date(),
        found=(Found("Drain test head not to the top of the stack"),),
        who=who,
        now=now,
    )


def _slip(who: Any, now: datetime) -> None:
    from phases.actions.dates import say_date
    from phases.models import LotPhase

    told = LotPhase.objects.filter(work="planned", planned_start__gt=now.date())
    row = told.select_related("lot__subdivision", "kind").order_by("planned_start")[0]
    say_date(
        row.lot,
        phase=row,
        what="ready",
        status="revised",
        date=row.planned_start + timedelta(days=7),
        who=who,
        now=now,
    )


if __name__ == "__main__":
    run()
