"""The supervisor with small programs instead of ours."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.deploy.house import TOP, until

SCRIPT = """
import os, sys
from tracker.supervise import Child, Group
PY = sys.executable
{children}
sys.exit(Group(children, env=os.environ, when_up=lambda: print("up", flush=True)).run())
"""
STEADY = """
import signal, sys, time
def bye(*_):
    print("bye", flush=True)
    sys.exit(0)
signal.signal(signal.SIGTERM, bye)
print("here", flush=True)
while True:
    time.sleep(1)
"""


class Started:
    """A supervisor in a process of its own; `text` is all it has said so far."""

    def __init__(self, tmp_path: Path, children: str) -> None:
        (tmp_path / "steady.py").write_text(STEADY)
        self.log = tmp_path / "log"
        self.process = subprocess.Popen(
            [sys.executable, "-c", SCRIPT.format(children=children)],
            cwd=TOP,
            env={**os.environ, "HERE": str(tmp_path)},
            stdout=self.log.open("wb"),
            stderr=subprocess.STDOUT,
        )

    @property
    def text(self) -> str:
        return self.log.read_text()

    def stop(self) -> int:
        self.process.send_signal(signal.SIGTERM)
        return self.process.wait(20)


@pytest.fixture
def start(tmp_path):
    """Starts supervisors; none is left running by a test that fails."""
    started = []

    def one(children: str) -> Started:
        started.append(Started(tmp_path, children))
        return started[-1]

    yield one
    for each in started:
        each.process.terminate()
        each.process.wait(20)


TWO = """
steady = os.environ["HERE"] + "/steady.py"
children = [Child("first", [PY, steady]), Child("second", [PY, steady])]
"""


def test_children_start_in_order_and_stop_in_reverse(start):
    started = start(TWO)
    until(lambda: started.text.count("here") == 2)

    assert started.stop() == 0

    assert [line for line in started.text.splitlines() if "bye" in line] == [
        "second | bye",
        "first  | bye",
    ]


def test_a_child_that_keeps_dying_is_waited_for_longer_and_longer(start):
    started = start('children = [Child("weak", [PY, "-c", "exit(3)"])]')

    until(lambda: started.text.count("weak ended") == 3)
    started.stop()

    assert [line for line in started.text.splitlines() if "ended" in line][:3] == [
        "serve  | weak ended (3), again in 0.5 s.",
        "serve  | weak ended (3), again in 1 s.",
        "serve  | weak ended (3), again in 2 s.",
    ]


def test_a_first_start_that_fails_stops_the_rest(start):
    bad = "import time; time.sleep(1.5); 1/0"
    started = start(
        TWO + f'children.append(Child("bad", [PY, "-c", {bad!r}], lambda: False))'
    )

    assert started.process.wait(20) == 1

    assert "bad did not start." in started.text
    assert "ZeroDivisionError" in started.text
    assert "up" not in started.text.splitlines()
    assert started.text.count("bye") == 2


def test_a_long_line_without_an_end_is_not_lost_when_its_child_dies(start):
    started = start(
        'children = [Child("web", [PY, "-c", "print(\'half a line\', end=str())"])]',
    )

    until(lambda: "web    | half a line" in started.text, 10)

    started.stop()


def test_a_child_that_ignores_the_signal_is_killed_with_what_it_started(start):
    children = """
import tracker.supervise
tracker.supervise.GRACE = 0.5
deaf = "import signal, subprocess, sys, time\\n" \\
    "signal.signal(signal.SIGTERM, signal.SIG_IGN)\\n" \\
    "print(subprocess.Popen(['sleep', '99']).pid, flush=True)\\n" \\
    "time.sleep(99)"
children = [Child("deaf", [PY, "-c", deaf])]
"""
    started = start(children)
    until(lambda: "deaf   | " in started.text)
    grandchild = int(started.text.split("deaf   | ")[1].split()[0])
    began = time.monotonic()

    assert started.stop() == 0

    assert time.monotonic() - began < 10
    until(
        lambda: (
            not Path(f"/proc/{grandchild}/cmdline").exists()
            or not Path(f"/proc/{grandchild}/cmdline").read_bytes()
        )
    )
