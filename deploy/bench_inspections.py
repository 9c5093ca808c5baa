"""A year of inspections, day by day, its tasks run by a real worker that is killed.

Run from the top of the project: `python -m deploy.bench_inspections [LOTS] [DAYS]`, 200
lots and 365 days when left out; once with the embedded queue and once on Redis. The
worker is killed (SIGKILL) every few weeks of the year, now and then while it works.
Exit status 1 when anything that must be nothing is not.
"""

import contextlib
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import date, datetime
from functools import partial
from pathlib import Path

from deploy.mail_sink import Sink, mail_sink

TOP = Path(__file__).resolve().parents[1]
FIRST = date(2026, 1, 5)
SEED = 11
KILL_EVERY = 97  # looks
PATIENCE = 600.0  # seconds for one look, also on a machine that is busy
ASK_AGAIN = 15.0  # seconds; the schedule asks every few minutes


class Worker:
    """A Celery worker in a process of its own, started again when it was killed."""

    def __init__(self, log: Path) -> None:
        self.log = log
        self.kills = 0
        self.deaths = 0
        self.process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        with open(self.log, "ab") as log:
            self.process = subprocess.Popen(
                [
                    *(sys.executable, "-m", "celery", "-A", "tracker", "worker"),
                    *("--pool", "solo", "--loglevel", "WARNING", "--without-gossip"),
                    *("--without-mingle", "--without-heartbeat"),
                ],
                cwd=TOP,
                stdout=log,
                stderr=log,
            )

    def start_if_dead(self) -> None:
        """As the supervisor does."""
        if self.process is not None and self.process.poll() is not None:
            self.deaths += 1
            self.start()

    def kill(self) -> None:
        if self.process is not None:
            self.process.kill()
            self.process.wait()
            self.kills += 1

    def stop(self) -> None:
        if self.process is not None and self.process.poll() is None:
            self.process.terminate()
            with contextlib.suppress(subprocess.TimeoutExpired):
                self.process.wait(20)
            if self.process.poll() is None:
                self.process.kill()


class Clock:
    """Hands a moment to the worker and waits until it has looked and sent."""

    def __init__(self, worker: Worker) -> None:
        self.worker = worker
        self.looks = 0
        self.asked_again = 0

    def __call__(self, moment: datetime) -> None:
        from inspections.tasks import look_for_notices, send_notices

        self.looks += 1
        at = moment.isoformat()
        look_for_notices.delay(at)
        if self.looks % KILL_EVERY == 0:
            # In the middle of its work, and the task is asked for again, as the
            # schedule would ten minutes later.
            time.sleep(0.15)
            self.worker.kill()
            self.worker.start()
            look_for_notices.delay(at)
        self._wait(lambda: self._looked(moment), lambda: look_for_notices.delay(at))
        if self._waiting(moment):
            send_notices.delay(at)
        self._wait(lambda: not self._waiting(moment), lambda: send_notices.delay(at))

    def _wait(self, done: Callable[[], bool], ask: Callable[[], object]) -> None:
        """Until it is done; asked for again as the schedule does, e.g. after a kill."""
        start = last = time.monotonic()
        while not done():
            now = time.monotonic()
            if now - start > PATIENCE:
                said = self.worker.log.read_text(errors="replace")[-3000:]
                raise SystemExit(f"The worker does not do it:\n{said}")
            if now - last > ASK_AGAIN:
                last = now
                self.asked_again += 1
                self.worker.start_if_dead()
                ask()
            time.sleep(0.02)

    @staticmethod
    def _looked(moment: datetime) -> bool:
        from inspections.models import LastLook

        return LastLook.objects.filter(task="notices", at__gte=moment).exists()

    @staticmethod
    def _waiting(moment: datetime) -> bool:
        from inspections.models import Delivery
        from inspections.notices.sending import free

        waiting = Delivery.objects.filter(state=Delivery.WAITING)
        return waiting.filter(free(moment), next_try_at__lte=moment).exists()


def one_year(lots: int, days: int, folder: Path) -> int:
    """In a process of its own, with the queue of its environment."""
    import django

    django.setup()
    from django.core.management import call_command

    from deploy.inspection_judge import BAD, table
    from deploy.inspection_year import run_year

    for name in ("media", "cache", "queue", "queue-control"):
        (folder / name).mkdir(exist_ok=True)
    call_command("migrate", verbosity=0)
    worker = Worker(folder / "worker.log")
    worker.start()
    began = time.monotonic()
    try:
        clock = Clock(worker)
        _, judged = run_year(
            lots=lots,
            first=FIRST,
            days=days,
            seed=SEED,
            run=clock,
            told=partial(print, file=sys.stderr, flush=True),
        )
    finally:
        worker.stop()
    name = "on Redis" if os.environ.get("REDIS_URL") else "with the embedded queue"
    print(table(judged, f"A year of inspections {name}"))
    print(
        f"  looks {clock.looks}, worker killed {worker.kills} times, died by itself "
        f"{worker.deaths}, asked again {clock.asked_again}"
    )
    print(f"  {time.monotonic() - began:.0f} s")
    return 1 if any(judged.bad[row] for row in BAD) else 0


def _child(lots: int, days: int, redis: str, sink: Sink) -> int:
    with tempfile.TemporaryDirectory(prefix="plumbrow-year-") as folder:
        env = os.environ | {
            "DATA_DIR": folder,
            "DATABASE_URL": "",
            "REDIS_URL": redis,
            "EMAIL_URL": sink.url,
            "SECRET_KEY": "only-for-this-measure-" + "0123456789abcdef" * 4,
            "DJANGO_SETTINGS_MODULE": "tracker.settings",
            "LOG_LEVEL": "ERROR",
            # Nothing is planned here: a worker that starts again need not compile.
            "NUMBA_DISABLE_JIT": "1",
        }
        argv = [sys.executable, "-m", "deploy.bench_inspections", "--inside"]
        return subprocess.call([*argv, str(lots), str(days), folder], env=env, cwd=TOP)


@contextlib.contextmanager
def _queues(wanted: list[str]) -> Iterator[list[str]]:
    from deploy.servers import redis_server

    with contextlib.ExitStack() as stack:
        yield [
            "" if name == "embedded" else stack.enter_context(redis_server())
            for name in wanted
        ]


def main(argv: list[str]) -> int:
    if argv[:1] == ["--inside"]:
        return one_year(int(argv[1]), int(argv[2]), Path(argv[3]))
    queues = [a for a in argv if a in ("embedded", "redis")] or ["embedded", "redis"]
    numbers = [int(a) for a in argv if a.isdigit()]
    lots, days = (*numbers, *(200, 365)[len(numbers) :])[:2]
    status = 0
    with _queues(queues) as addresses:
        for address in addresses:
            with mail_sink() as sink:
                status |= _child(lots, days, address, sink)
                twice = sum(n - 1 for n in sink.ids.values())
                print(f"  messages {len(sink.ids)}, sent again under their id {twice}")
    return status


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
