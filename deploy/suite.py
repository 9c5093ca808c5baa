"""Runs every check, one part after the other, with a timing line for each.

A part that cannot run fails; so does one that finds nothing to check.
"""

import os
import secrets
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from deploy.servers import ServerTrouble, services

TOP = Path(__file__).resolve().parent.parent
BIN = Path(sys.executable).parent
# The packages that know no Django; import-linter holds them to it.
PURE = [
    "inspections/dates",
    "inspections/first_pass.py",
    "inspections/notices/moments.py",
    "inspections/offices",
    "inspections/pipe_tests",
    "inspections/timing.py",
    "phases/catalogue",
    "phases/sizing",
    "phases/state",
    "tracker/planning/core",
    "tracker/sites/lotlist",
    "tracker/env.py",
    "tracker/supervise.py",
]
Part = Callable[[], bool]


def run(*argv: str | Path, **more: str) -> bool:
    """True when the command ends with 0; its output goes where ours goes."""
    print(
        "+",
        " ".join(Path(argv[0]).name if n == 0 else str(a) for n, a in enumerate(argv)),
        flush=True,
    )
    return subprocess.call([str(a) for a in argv], cwd=TOP, env=_clean(more)) == 0


def _clean(more: dict[str, str]) -> dict[str, str]:
    """The environment without the settings of whoever calls us."""
    own = (
        "DATABASE_URL",
        "REDIS_URL",
        "SECRET_KEY",
        "SECRET_KEY_FILE",
        "DATA_DIR",
        "DEBUG",
        "PUBLIC_URL",
        "ALLOWED_HOSTS",
        "PORT",
        "BIND",
        "PROXIES",
    )
    kept = {key: value for key, value in os.environ.items() if key not in own}
    return {**kept, **more}


def all_of(*results: bool) -> bool:
    return all(results)


def lint() -> bool:
    python = [path for path in PURE if (TOP / path).exists()]
    return all_of(
        run(BIN / "ruff", "check", "--no-cache", "."),
        run(BIN / "ruff", "format", "--no-cache", "--check", "."),
        run(BIN / "lint-imports", "--no-cache"),
        run(BIN / "mypy", *python),
    )


def django() -> bool:
    """Migrations are complete, and production's settings are safe."""
    with tempfile.TemporaryDirectory(prefix="plumbrow-check-") as folder:
        production = {
            "SECRET_KEY": secrets.token_urlsafe(64),
            "PUBLIC_URL": "https://plumbing.example",
            "DATA_DIR": folder,
        }
        return all_of(
            run(
                BIN / "python",
                "manage.py",
                "makemigrations",
                "--check",
                "--dry-run",
                **production,
            ),
            run(
                BIN / "python",
                "manage.py",
                "check",
                "--deploy",
                "--fail-level",
                "WARNING",
                **production,
            ),
        )


def node() -> bool:
    """The phone's scripts, under Node."""
    found = sorted(
        path
        for pattern in ("*.test.js", "*.test.mjs", "test_*.mjs")
        for path in (TOP / "tests").rglob(pattern)
    )
    if not found:
        print("No tests of the phone's scripts were found under tests/.")
        return False
    return run("node", "--test", *found)


def pytest(marks: str, *more: str, **settings: str) -> bool:
    return run(BIN / "pytest", "-q", "--durations=8", "-m", marks, *more, **settings)


def sqlite() -> bool:
    return pytest("not browser and not service", "-n", "2")


def postgres() -> bool:
    """Whatever touches database, cache or queue, on PostgreSQL and Redis."""
    with services() as settings:
        return pytest("data and not browser and not service", "-n", "2", **settings)


def service() -> bool:
    return pytest("service")


def browser() -> bool:
    return pytest("browser")


PARTS: dict[str, Part] = {
    "lint": lint,
    "django": django,
    "node": node,
    "sqlite": sqlite,
    "postgres": postgres,
    "service": service,
    "browser": browser,
}


def main(wanted: list[str]) -> int:
    unknown = [name for name in wanted if name not in PARTS]
    if unknown:
        print(f"Parts are: {', '.join(PARTS)}.", file=sys.stderr)
        return 2
    lines, good = [], True
    for name in wanted or PARTS:
        print(f"\n== {name}", flush=True)
        began = time.monotonic()
        try:
            passed = PARTS[name]()
        except (ServerTrouble, OSError) as error:
            print(f"{name} cannot run: {error}")
            passed = False
        good = good and passed
        seconds = time.monotonic() - began
        lines.append(f"{name:<9} {'passed' if passed else 'FAILED'}  {seconds:6.1f} s")
        print(lines[-1], flush=True)
    print("\n" + "\n".join(lines), flush=True)
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
