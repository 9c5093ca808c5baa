"""Faults on the server's side: killed at the N-th SQL statement or file call, stalled.

The request says in headers what shall happen: X-Kill-Sql, X-Kill-File (a number),
X-Exit (the process really goes), X-Stall (seconds between arriving and writing),
X-Hold (seconds between opening an upload's file and writing it).
"""

import contextlib
import os
import threading
import time
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path
from unittest import mock

from django.conf import settings
from django.contrib.staticfiles.handlers import StaticFilesHandler
from django.core.wsgi import get_wsgi_application
from django.db import connection

_here = threading.local()

FILE_CALLS = (
    "tracker.phone.parts.os.open",
    "tracker.phone.parts.os.ftruncate",
    "tracker.phone.parts.os.pwrite",
    "tracker.phone.parts.os.fsync",
    "tracker.phone.parts.os.replace",
)


class Killed(BaseException):
    """No Exception: nothing of ours may catch it, as nothing runs in a dead process."""


class Countdown:
    """Raises at the N-th call; N = 0 never. `fired` says whether it did."""

    def __init__(self, at: int, *, really: bool = False) -> None:
        self.at, self.really, self.calls, self.fired = at, really, 0, False

    def step(self) -> None:
        self.calls += 1
        if self.calls == self.at:
            self.fired = True
            if self.really:
                _marker().touch()
                os._exit(9)
            raise Killed


@contextlib.contextmanager
def killed_at_sql(countdown: Countdown) -> Iterator[Countdown]:
    def wrapper(execute, sql, params, many, context):
        countdown.step()
        return execute(sql, params, many, context)

    # Not only queries: COMMIT and SAVEPOINT are statements that a kill can precede.
    with connection.execute_wrapper(wrapper), _commits(countdown):
        yield countdown


@contextlib.contextmanager
def _commits(countdown: Countdown) -> Iterator[None]:
    connection.ensure_connection()
    commit = connection._commit

    def counted():
        try:
            countdown.step()
        except Killed:
            # What the database does with the open transaction of a dead process.
            connection._rollback()
            raise
        return commit()

    connection._commit = counted
    try:
        yield
    finally:
        connection._commit = commit


def _counted(real, countdown_of):
    def call(*args, **kwargs):
        countdown = countdown_of()
        if countdown is not None:
            countdown.step()
        if real is os.ftruncate:
            time.sleep(getattr(_here, "hold", 0))
        return real(*args, **kwargs)

    return call


@contextlib.contextmanager
def killed_at_file(countdown: Countdown) -> Iterator[Countdown]:
    """Counts the calls of `tracker.phone.parts` on files, in this thread only."""
    _here.files = countdown
    try:
        yield countdown
    finally:
        _here.files = None


def patch_files() -> ExitStack:
    """Route the file calls of `parts` past the countdown of the calling thread."""
    stack = ExitStack()
    real = {name.rpartition(".")[2]: None for name in FILE_CALLS}
    shim = mock.MagicMock(wraps=os)
    for name in real:
        call = _counted(getattr(os, name), lambda: getattr(_here, "files", None))
        setattr(shim, name, call)
    for name in ("close", "pread", "fdopen", "getpid"):
        setattr(shim, name, getattr(os, name))
    for name in ("O_RDWR", "O_CREAT", "O_WRONLY", "O_TRUNC", "O_RDONLY"):
        setattr(shim, name, getattr(os, name))
    stack.enter_context(mock.patch("tracker.phone.parts.os", shim))
    return stack


def application():
    """The real application, with the faults that a request asks for around it."""
    patch_files()
    app = StaticFilesHandler(get_wsgi_application())
    _stall_takes()

    def faulty(environ, start_response):
        really = environ.get("HTTP_X_EXIT") == "1"
        # A browser repeats a request whose connection broke, headers and all: once.
        over = really and _marker().exists()
        sql = Countdown(0 if over else _number(environ, "SQL"), really=really)
        files = Countdown(0 if over else _number(environ, "FILE"), really=really)
        _here.hold = float(environ.get("HTTP_X_HOLD", 0))
        _here.stall = float(environ.get("HTTP_X_STALL", 0))
        try:
            with killed_at_sql(sql), killed_at_file(files):
                return app(environ, start_response)
        except Killed:
            connection.close()
            start_response("502 Bad Gateway", [("Content-Type", "text/html")])
            return [b"<html>the server is gone</html>"]

    return faulty


def _number(environ, what: str) -> int:
    return int(environ.get(f"HTTP_X_KILL_{what}", 0))


def _marker() -> Path:
    return Path(settings.MEDIA_ROOT).parent / "has-died"


def _stall_takes() -> None:
    """Time has been read, the writing has not begun: another request may overtake."""
    from tracker.phone import intake

    real = intake.take_all

    def slow(*args, **kwargs):
        time.sleep(getattr(_here, "stall", 0))
        return real(*args, **kwargs)

    intake.take_all = slow
