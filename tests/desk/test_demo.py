"""The demo season, made once as a person makes it, and walked afresh."""

import json
import os
import resource
import subprocess
import sys
import time
from pathlib import Path

import pytest

pytestmark = pytest.mark.service

ROOT = Path(__file__).parents[2]
NOW = "2026-03-11T15:00+00:00"
WALK = f"""
import django, json
django.setup()
from datetime import datetime
from tests.phases.replay_db import differences
from phases.models import Fact, LotPhase, Photo
from tracker.people.models import Crew
from tracker.sites.models import Builder, Jurisdiction, Lot, Plan, Subdivision
models = (Builder, Subdivision, Plan, Lot, Crew, Jurisdiction)
print(json.dumps({{
    "differences": differences(now=datetime.fromisoformat("{NOW}")),
    "counts": [model.objects.count() for model in models],
    "facts": Fact.objects.count(),
    "days": (Fact.objects.order_by("-recorded_at").first().recorded_at
             - Fact.objects.order_by("happened_at").first().happened_at).days,
    "work": sorted(set(LotPhase.objects.values_list("work", flat=True))),
    "photos": [Photo.objects.count(), all(
        one.file.storage.exists(one.thumb.name) for one in Photo.objects.all()[:50])],
}}))
"""


def environment(folder: Path) -> dict[str, str]:
    ours = ("DATABASE_URL", "REDIS_URL", "DJANGO_SETTINGS_MODULE")
    kept = {key: value for key, value in os.environ.items() if key not in ours}
    return {
        **kept,
        "DATA_DIR": str(folder),
        "SECRET_KEY": "demo-test-only-" + "0123456789abcdef" * 3,
        "DJANGO_SETTINGS_MODULE": "tracker.settings",
    }


def run(folder: Path, *command: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *command],
        cwd=ROOT,
        env=environment(folder),
        capture_output=True,
        text=True,
        timeout=600,
        check=False,
    )


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """The folder of a demo, and (wall, processor) seconds that it took."""
    folder = tmp_path_factory.mktemp("demo")
    assert run(folder, "manage.py", "migrate", "-v0").returncode == 0
    start, before = time.monotonic(), resource.getrusage(resource.RUSAGE_CHILDREN)
    done = run(folder, "manage.py", "demo", "--now", NOW)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    assert done.returncode == 0, done.stderr[-3000:]
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return folder, time.monotonic() - start, used


def test_the_demo_is_the_season_that_it_should_be_and_every_answer_is_walked_again(
    made,
):
    folder, wall, used = made
    print(f"demo: {wall:.0f} s, {used:.0f} s of processor time")

    walked = run(folder, "-c", WALK)

    assert walked.returncode == 0, walked.stderr[-3000:]
    found = json.loads(walked.stdout)
    assert found["differences"] == []
    assert found["counts"] == [3, 5, 9, 160, 7, 2]
    assert found["facts"] > 10_000
    assert 110 <= found["days"] <= 130
    assert found["work"] == sorted(
        ["not_ready", "ready", "planned", "working", "done", "proven"]
    )
    assert found["photos"][0] > 500
    assert found["photos"][1]
    # Of the processor: a neighbour that is busy makes the wall clock no judge.
    assert used < 120


def test_a_second_demo_is_refused_and_changes_nothing(made):
    folder, *_ = made

    again = run(folder, "manage.py", "demo")

    assert again.returncode == 1
    assert again.stderr == (
        "CommandError: The database is not empty, so no demo is made in it.\n"
    )
