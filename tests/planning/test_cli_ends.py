"""How the command ends: stopped at any moment, or left by whoever reads it."""

import json
import os
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.planning.problems import random_problem
from tracker.planning.core import stopping
from tracker.planning.core.cli import NO_READER, main
from tracker.planning.core.errors import NoPlan
from tracker.planning.core.judge import judge
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.solve import Effort, solve

HOME = Path(__file__).parents[2]


def write(path: Path, raw: Any) -> str:
    path.write_text(json.dumps(raw))
    return str(path)


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_a_signal_before_anything_is_loaded_still_gives_a_plan(
    tmp_path: Path, number: signal.Signals
) -> None:
    raw = random_problem(2, lots=10)
    made = write(tmp_path / "problem.json", raw)
    command = [sys.executable, "-X", "importtime", "manage.py", "look_ahead", "solve"]
    with subprocess.Popen(
        [*command, made, "--seconds", "120"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=HOME,
    ) as process:
        assert process.stderr
        for line in process.stderr:
            if line.rstrip().endswith("tracker.planning.core.stopping"):
                break
        process.stderr.readline()  # the next module: the ear is there
        process.send_signal(number)
        out, loaded = process.communicate(timeout=110)

    assert process.returncode == 0
    assert judge(raw, json.loads(out)).breaches == ()
    assert "numba" in loaded  # none of it had been loaded by then
    assert "django" not in loaded


def pinned_all_over() -> dict[str, Any]:
    """A problem whose first plan, made without any search, misses a pin."""
    for seed in range(200):
        raw = random_problem(seed, lots=10)
        first = solve(read_problem(raw), Effort(iterations=300))
        raw["pins"] = [
            {
                **{"lot": job.lot, "phase": job.phase, "crew": job.crew},
                "day": job.start_quarter // 4,
            }
            for job in first.jobs
            if job.start_quarter is not None
        ]
        try:
            solve(read_problem(raw), Effort(seconds=5), stop=lambda: True)
        except NoPlan:
            return raw
    raise AssertionError("no such problem any more")


def test_stopped_at_once_it_still_keeps_every_pin(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    raw = pinned_all_over()
    made = write(tmp_path / "problem.json", raw)
    kept = {one: signal.getsignal(one) for one in (signal.SIGINT, signal.SIGTERM)}
    try:
        stopping.listen(["solve", made])
        os.kill(os.getpid(), signal.SIGTERM)

        assert main(["solve", made, "--seconds", "60"]) == 0
    finally:
        for number, handler in kept.items():
            signal.signal(number, handler)

    assert judge(raw, json.loads(capsys.readouterr().out)).breaches == ()


@pytest.mark.parametrize("what", ["check", "odds"])
def test_whoever_reads_no_further_ends_it_quietly(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], what: str
) -> None:
    made = write(tmp_path / "problem.json", random_problem(1, lots=8))
    assert main(["solve", made, "--iterations", "500"]) == 0
    plan = tmp_path / "plan.json"
    plan.write_text(capsys.readouterr().out)
    command = [sys.executable, "manage.py", "look_ahead", what, made, str(plan)]
    gone, end = os.pipe()
    os.close(gone)
    try:
        ended = subprocess.run(
            command, stdout=end, stderr=subprocess.PIPE, text=True, cwd=HOME
        )
    finally:
        os.close(end)

    assert (ended.returncode, ended.stderr) == (NO_READER, "")


def test_djangos_own_options_are_still_understood(tmp_path: Path) -> None:
    command = [sys.executable, "manage.py", "look_ahead", "-v0", "check", "a", "b"]
    ended = subprocess.run(command, capture_output=True, text=True, cwd=HOME)

    assert (ended.returncode, ended.stderr) == (2, "a: No such file or directory.\n")
