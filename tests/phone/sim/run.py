"""Starts the throw-away server and the driver, and reads what the driver reports."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
SCRIPTS = HERE.parents[2] / "tracker" / "phone" / "static" / "phone"
ROOT = HERE.parents[2]


def own_environment() -> dict[str, str]:
    """The server has its own SQLite file, whatever the suite runs on."""
    ours = ("DATABASE_URL", "REDIS_URL", "DATA_DIR")
    return {key: value for key, value in os.environ.items() if key not in ours}


class Server:
    """The real views in a process of their own, on a database in `folder`."""

    def __init__(self, folder: Path, plant: str = "") -> None:
        self.folder, self.plant = folder, plant
        self.process: subprocess.Popen[str] | None = None
        self.port = 0

    def __enter__(self) -> "Server":
        self.start()
        return self

    def start(self) -> None:
        command = [sys.executable, "-m", "tests.phone.sim.serve", str(self.folder)]
        command.append(str(self.port))  # a restarted server is where it was
        self.process = subprocess.Popen(
            [*command, self.plant] if self.plant else command,
            cwd=ROOT,
            env=own_environment(),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=(self.folder / "server.log").open("a"),
            text=True,
        )
        assert self.process.stdout is not None
        for line in self.process.stdout:
            if line.startswith('{"port"'):
                self.port = json.loads(line)["port"]
                return
        raise RuntimeError((self.folder / "server.log").read_text()[-2000:])

    def stop(self) -> None:
        if self.process is not None:
            self.process.kill()
            self.process.wait()

    def __exit__(self, *_: object) -> None:
        self.stop()


def drive(
    server: Server, *, seed: int, histories: int, steps: int = 40, plant: str = ""
) -> tuple[int, dict[str, Any]]:
    """Exit status and report of the driver; its seed is in the report."""
    folder = server.folder / f"scripts-{seed}-{plant or 'clean'}-{histories}"
    shutil.rmtree(folder, ignore_errors=True)
    shutil.copytree(SCRIPTS, folder)
    found = subprocess.run(
        ["node", str(HERE / "main.mjs"), str(folder), str(server.port), str(seed)]
        + [str(histories), str(steps)]
        + ([plant] if plant else []),
        capture_output=True,
        text=True,
        timeout=1800,
        check=False,
    )
    if not found.stdout.strip():
        raise RuntimeError(found.stderr[-3000:])
    return found.returncode, json.loads(found.stdout.strip().splitlines()[-1])
