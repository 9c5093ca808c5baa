"""The sync over many histories, and how fast it is against a bare view.

Run from the top of the project: `python -m deploy.bench_sync [HISTORIES] [SEED]`.
First the long simulation: HISTORIES (200 unless told) of 40 steps with injected faults;
a broken promise or a fault that never fired fails the run and prints its seed. Then
batches of 50 ticks, the first pull and the feed, as ratios of processor time to a bare
JSON view that was asked in the same run through the same middleware.
"""

import json
import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

ASKED, BATCH = 7, 50
# Processor time of a request against the bare view's, at most.
MOST = {"one tick": 150.0, "50 ticks": 2400.0, "my lots": 250.0, "feed": 140.0}


def main(histories: int, seed: int) -> int:
    with tempfile.TemporaryDirectory() as folder:
        failed = simulate(Path(folder), histories, seed)
        os.environ["DATA_DIR"] = folder
        Path(folder, "static").mkdir()
        for name in ("DATABASE_URL", "REDIS_URL"):
            os.environ.pop(name, None)
        os.environ["SECRET_KEY"] = "bench-only-" + "0123456789abcdef" * 4
        os.environ["DJANGO_SETTINGS_MODULE"] = "tracker.settings"
        import django

        django.setup()
        return int(measure() or failed)


def simulate(folder: Path, histories: int, seed: int) -> bool:
    from tests.phone.sim.run import Server, drive

    start = time.monotonic()
    place = folder / "simulation"
    place.mkdir()
    with Server(place) as server:
        status, report = drive(server, seed=seed, histories=histories)
    took = time.monotonic() - start
    print(f"{report['histories']} histories from seed {seed} in {took:.0f} s")
    for number, times in sorted(report["fired"].items(), key=lambda one: int(one[0])):
        print(f"  fault {number:>2}: {times} times")
    if status:
        broken = report.get("broken") or f"never fired: {report['never']}"
        print(f"BROKEN at seed {report['seed']}: {broken}", file=sys.stderr)
    else:
        print(f"  {report['facts']} facts kept, {report['aside']} set aside, 0 lost")
    return bool(status)


def measure() -> bool:
    from django.core.management import call_command
    from django.test import Client
    from django.test.utils import override_settings

    call_command("migrate", verbosity=0)
    with override_settings(ALLOWED_HOSTS=["*"], ROOT_URLCONF=with_bare_view()):
        ask = requests(Client())
        bare = cost(ask["bare"])
        print(f"bare view: {bare * 1000:.2f} ms of processor time")
        over = False
        for name, most in MOST.items():
            ratio = cost(ask[name]) / bare
            over = over or ratio > most
            print(f"{name}: {ratio:.1f} times the bare view (at most {most:.0f})")
    return over


def with_bare_view() -> Any:
    from django.http import JsonResponse
    from django.urls import include, path

    class Addresses:
        urlpatterns = [
            path("bare/", lambda request: JsonResponse({"fine": True})),
            path("", include("tracker.urls")),
        ]

    return Addresses


def requests(client: Any) -> dict[str, Callable[[], None]]:
    """What is measured, on one house with a hundred items."""
    from django.utils import timezone

    from tests.phone.scene import make_item, make_scene, op
    from tracker.phone import feed
    from tracker.phone.api.sync import today_here

    scene = make_scene(day=today_here(timezone.now()))
    items = [make_item(scene.phase, f"item-{n}") for n in range(100)]
    headers = scene.bearer(scene.phone())
    here = feed.position()
    cursor = feed.cursor_of(here, here.last_no)

    def get(address: str) -> Callable[[], None]:
        def ask() -> None:
            assert client.get(address, **headers).status_code == 200

        return ask

    def ticks(count: int) -> Callable[[], None]:
        def ask() -> None:
            body = {
                "operations": [
                    op(scene, "tick", f"item:{item.pk}") for item in items[:count]
                ]
            }
            reply = client.post(
                "/api/v1/operations/",
                json.dumps(body),
                content_type="application/json",
                **headers,
            )
            assert {one["result"] for one in reply.json()["receipts"]} == {"applied"}

        return ask

    return {
        "bare": get("/bare/"),
        "one tick": ticks(1),
        "50 ticks": ticks(BATCH),
        "my lots": get("/api/v1/lots/"),
        "feed": get(f"/api/v1/feed/?cursor={cursor}"),
    }


def cost(ask: Callable[[], None]) -> float:
    """Processor seconds of one request, the middle of several."""
    ask()
    spent = []
    for _ in range(ASKED):
        start = time.process_time()
        ask()
        spent.append(time.process_time() - start)
    return statistics.median(spent)


if __name__ == "__main__":
    given = [int(text) for text in sys.argv[1:]]
    sys.exit(main(*(given + [200, 1][len(given) :])))
