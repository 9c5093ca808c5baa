"""Keeps a group of programs running together: started in order, restarted when one
dies, stopped in reverse order, their output shown with the name of each in front."""

import contextlib
import ctypes
import os
import selectors
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

PR_SET_PDEATHSIG = 1
LONGEST_WAIT = 30.0  # seconds between two tries of a program that keeps dying
STEADY_AFTER = 30.0  # seconds after which the next death counts as the first
GRACE = 25.0  # seconds to finish what runs before it is killed

# Looked up before any child is made; other systems than Linux have none.
_prctl = getattr(ctypes.CDLL(None), "prctl", None)


def _stop_with_parent() -> None:
    """In the child: be told when the supervisor is gone, however it went."""
    if _prctl is not None:
        _prctl(PR_SET_PDEATHSIG, signal.SIGTERM)


@dataclass
class Child:
    """One program. `ready` is asked until it says yes before the next one starts."""

    name: str
    argv: list[str]
    ready: Callable[[], bool] | None = None
    process: subprocess.Popen[bytes] | None = None
    started_at: float = 0.0
    start_at: float = 0.0  # when dead: not before
    deaths: int = 0
    rest: bytes = field(default=b"", repr=False)  # a line that has not ended yet


class Group:
    """Runs children until SIGTERM or SIGINT. One thread, so forking is safe."""

    def __init__(
        self,
        children: list[Child],
        *,
        env: Mapping[str, str],
        when_up: Callable[[], None] | None = None,
    ) -> None:
        self.children = children
        self.env = dict(env)
        self.when_up = when_up
        self.stopping = False
        self._outputs = selectors.DefaultSelector()

    def run(self) -> int:
        """Exit status: 0 after a signal, 1 when a first start failed."""
        for number in (signal.SIGTERM, signal.SIGINT):
            signal.signal(number, self._asked_to_stop)
        try:
            for child in self.children:
                self._start(child)
                if not self._wait_until_ready(child):
                    return 0 if self.stopping else 1
            if self.when_up and not self.stopping:
                self.when_up()
            while not self.stopping:
                self._show_output(0.2)
                self._restart_the_dead()
        finally:
            self._stop_all()
        return 0

    def _asked_to_stop(self, *_: object) -> None:
        self.stopping = True

    def _start(self, child: Child) -> None:
        child.process = subprocess.Popen(
            child.argv,
            env=self.env,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            # An own group: Ctrl-C comes to us alone, and we stop them in order.
            start_new_session=True,
            preexec_fn=_stop_with_parent,
        )
        child.started_at = time.monotonic()
        assert child.process.stdout is not None
        os.set_blocking(child.process.stdout.fileno(), False)
        self._outputs.register(child.process.stdout, selectors.EVENT_READ, child)

    def _wait_until_ready(self, child: Child, seconds: float = 60.0) -> bool:
        if child.ready is None:
            return True
        end = time.monotonic() + seconds
        while time.monotonic() < end and not self.stopping:
            if child.ready():
                return True
            if child.process is None or child.process.poll() is not None:
                break
            self._show_output(0.05)
        if not self.stopping:
            self._show_output(0.05)
            self._say("serve", f"{child.name} did not start.")
        return False

    def _restart_the_dead(self) -> None:
        now = time.monotonic()
        for child in self.children:
            if child.process is not None and child.process.poll() is not None:
                self._bury(child, now)
            if child.process is None and now >= child.start_at:
                self._start(child)

    def _bury(self, child: Child, now: float) -> None:
        assert child.process is not None
        if now - child.started_at > STEADY_AFTER:
            child.deaths = 0
        wait = min(0.5 * 2**child.deaths, LONGEST_WAIT)
        child.deaths += 1
        child.start_at = now + wait
        status = child.process.returncode
        self._say("serve", f"{child.name} ended ({status}), again in {wait:g} s.")
        # What it left behind would hold its port or take its tasks.
        _signal_group(child.process.pid, signal.SIGKILL)
        self._forget_output(child)
        child.process = None

    def _stop_all(self) -> None:
        for child in reversed(self.children):
            if child.process is None:
                continue
            _signal_group(child.process.pid, signal.SIGTERM, leader_only=True)
            end = time.monotonic() + GRACE
            while child.process.poll() is None and time.monotonic() < end:
                self._show_output(0.05)
            _signal_group(child.process.pid, signal.SIGKILL)
            child.process.wait()
            self._show_output(0)
            self._forget_output(child)
            child.process = None

    def _forget_output(self, child: Child) -> None:
        """Shows what is still in the pipe, a line without an end too."""
        assert child.process is not None
        assert child.process.stdout is not None
        with contextlib.suppress(BlockingIOError):
            while chunk := os.read(child.process.stdout.fileno(), 65536):
                self._show(child, chunk)
        if child.rest:
            self._show(child, b"\n")
        with contextlib.suppress(KeyError):
            self._outputs.unregister(child.process.stdout)
        child.process.stdout.close()

    def _show_output(self, seconds: float) -> None:
        if not self._outputs.get_map():
            time.sleep(seconds)
            return
        for key, _ in self._outputs.select(seconds):
            child: Child = key.data
            try:
                chunk = os.read(key.fd, 65536)
            except BlockingIOError:
                continue
            if not chunk:
                self._outputs.unregister(key.fileobj)
            self._show(child, chunk)

    def _show(self, child: Child, chunk: bytes) -> None:
        *lines, child.rest = (child.rest + chunk).split(b"\n")
        for line in lines:
            self._say(child.name, line.decode("utf-8", "replace"))

    @staticmethod
    def _say(name: str, line: str) -> None:
        # Whoever read us may be gone; the group goes on.
        with contextlib.suppress(OSError):
            sys.stdout.write(f"{name:<6} | {line}\n")
            sys.stdout.flush()


def _signal_group(pid: int, number: int, *, leader_only: bool = False) -> None:
    with contextlib.suppress(ProcessLookupError, PermissionError):
        if leader_only:
            os.kill(pid, number)
        else:
            os.killpg(pid, number)
