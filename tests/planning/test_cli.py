import io
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command

from tests.planning.problems import problem, random_problem
from tracker.planning.core.cli import main
from tracker.planning.core.judge import judge


def write(path: Path, raw: Any) -> str:
    path.write_text(raw if isinstance(raw, str) else json.dumps(raw))
    return str(path)


@pytest.fixture
def files(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> tuple[str, str]:
    """A problem and a plan for it, made by the command itself."""
    made = write(tmp_path / "problem.json", random_problem(1, lots=8))
    assert main(["solve", made, "--iterations", "2000", "--seed", "3"]) == 0
    return made, write(tmp_path / "plan.json", capsys.readouterr().out)


def test_solve_prints_a_plan_that_check_accepts(
    files: tuple[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", *files]) == 0
    assert capsys.readouterr().out.startswith("Every rule is kept. Score ")


def test_check_lists_every_breach_and_exits_with_one(
    files: tuple[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    made, stored = files
    raw = json.loads(Path(stored).read_text())
    for job in raw["jobs"][:2]:
        job["inspection_day"] = -3
    broken = write(Path(stored).with_name("broken.json"), raw)

    assert main(["check", made, broken]) == 1

    breaches = judge(json.loads(Path(made).read_text()), raw).breaches
    assert capsys.readouterr().out.splitlines() == [str(one) for one in breaches]
    assert len(breaches) >= 2


def test_solve_from_the_stored_plan_prints_it_again(
    files: tuple[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    made, stored = files

    options = ["--iterations", "2000", "--threshold", "100000"]
    assert main(["solve", made, "--from", stored, *options]) == 0

    assert json.loads(capsys.readouterr().out) == json.loads(Path(stored).read_text())


def test_explain_and_odds_print_something_for_every_phase(
    files: tuple[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["explain", *files, "--iterations", "500"]) == 0
    assert "late" in capsys.readouterr().out
    assert main(["odds", *files, "--draws", "50"]) == 0
    found = json.loads(capsys.readouterr().out)["phases"]
    jobs = json.loads(Path(files[1]).read_text())["jobs"]
    assert [one["lot"] for one in found] == [job["lot"] for job in jobs]


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        ("{", "not JSON"),
        ("[NaN]", "NaN is not a number"),
        ("[]", "expected an object"),
        (problem(speed=3), 'unknown key "speed"'),
    ],
)
def test_a_bad_file_is_said_in_one_line_and_exits_with_two(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], raw: Any, said: str
) -> None:
    assert main(["solve", write(tmp_path / "bad.json", raw)]) == 2
    told = capsys.readouterr()
    assert (told.out, told.err.count("\n")) == ("", 1)
    assert said in told.err


def test_a_missing_file_and_a_broken_plan_are_said(
    files: tuple[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["solve", "no such file"]) == 2
    assert "No such file" in capsys.readouterr().err
    raw = json.loads(Path(files[1]).read_text())
    raw["jobs"].pop()
    broken = write(Path(files[1]).with_name("broken.json"), raw)
    assert main(["odds", files[0], broken]) == 2
    assert "missing_job" in capsys.readouterr().err


def test_manage_py_has_the_command(files: tuple[str, str]) -> None:
    out, sys.stdout = sys.stdout, io.StringIO()
    try:
        call_command("look_ahead", "check", *files)
        said = sys.stdout.getvalue()
    finally:
        sys.stdout = out

    assert said.startswith("Every rule is kept.")


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_a_signal_ends_the_search_with_the_best_plan_so_far(
    tmp_path: Path, number: signal.Signals
) -> None:
    raw = random_problem(2, lots=10)
    made = write(tmp_path / "problem.json", raw)
    command = [sys.executable, "-m", "tracker.planning.core", "solve", made]
    with subprocess.Popen(
        [*command, "--seconds", "120", "--progress"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=os.environ,
    ) as process:
        assert process.stderr
        process.stderr.readline()  # the search is under way
        began = time.monotonic()
        process.send_signal(number)
        out, _ = process.communicate(timeout=30)

    assert process.returncode == 0
    assert time.monotonic() - began < 10
    assert judge(raw, json.loads(out)).breaches == ()
