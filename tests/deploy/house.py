"""Starts the real thing in a folder of its own, for the tests that need it."""

import contextlib
import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

TOP = Path(__file__).resolve().parents[2]
# Where the planner's own tests leave what they compiled; 20 s are saved by it.
COMPILED = TOP / "tracker" / "planning" / "core" / "engine" / "__pycache__"


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def environment(folder: Path, **values: str) -> dict[str, str]:
    """Settings for a house in `folder`, and nothing of the test run's own."""
    kept = {name: os.environ[name] for name in ("PATH", "HOME") if name in os.environ}
    return {
        **kept,
        "DATA_DIR": str(folder),
        "NUMBA_CACHE_DIR": str(COMPILED),
        "SECRET_KEY": "for-this-test-" + "0123456789" * 5,
        **values,
    }


def manage(folder: Path, *argv: str, given: str = "", **values: str) -> str:
    """Output of a management command; an AssertionError with its words if it fails."""
    done = subprocess.run(
        [sys.executable, "manage.py", *argv],
        cwd=TOP,
        env=environment(folder, **values),
        input=given,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def until(true: Callable[[], object], seconds: float = 25) -> object:
    """What `true` answers once it is not empty."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if answer := true():
            return answer
        time.sleep(0.1)
    raise AssertionError(f"waited {seconds} s in vain")


def processes(folder: Path) -> dict[int, str]:
    """Living processes whose environment names `folder`: {pid: command line}."""
    mark = f"DATA_DIR={folder}".encode()
    found = {}
    for entry in Path("/proc").glob("[0-9]*"):
        with contextlib.suppress(OSError):
            if mark in (entry / "environ").read_bytes().split(b"\0"):
                line = (entry / "cmdline").read_bytes().replace(b"\0", b" ")
                found[int(entry.name)] = line.decode(errors="replace")
    return found


@dataclass
class House:
    folder: Path
    port: int
    process: subprocess.Popen[bytes]
    log: Path

    def page(self, path: str = "/healthz") -> str | None:
        """The body, or None while nobody answers."""
        try:
            with urllib.request.urlopen(
                f"http://127.0.0.1:{self.port}{path}", timeout=5
            ) as answer:
                return str(answer.read().decode())
        except OSError:
            return None

    def pid_of(self, words: str) -> int | None:
        """The process of that part which the supervisor itself started."""
        for pid, line in processes(self.folder).items():
            with contextlib.suppress(OSError):
                status = Path(f"/proc/{pid}/stat").read_text()
                parent = int(status.rsplit(")", 1)[1].split()[1])
                if words in line and parent == self.process.pid:
                    return pid
        return None

    def stop(self, number: int = signal.SIGTERM) -> int:
        self.process.send_signal(number)
        return self.process.wait(60)


@contextlib.contextmanager
def running(folder: Path, *argv: str, **values: str) -> Iterator[House]:
    """`manage.py serve` on a free port, serving; whatever is left is killed after."""
    port = free_port()
    log = folder.with_name(folder.name + ".log")
    with log.open("ab") as out:
        process = subprocess.Popen(
            [sys.executable, "manage.py", "serve", *argv],
            cwd=TOP,
            env=environment(
                folder, PORT=str(port), WEB_WORKERS="1", TASK_WORKERS="1", **values
            ),
            stdout=out,
            stderr=out,
        )
    house = House(folder, port, process, log)
    try:
        until(lambda: house.page() or process.poll() is not None)
        assert process.poll() is None, log.read_text()
        yield house
    finally:
        for pid in [process.pid, *processes(folder)]:
            with contextlib.suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)
        process.wait()
