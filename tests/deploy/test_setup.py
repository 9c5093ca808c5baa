"""The shell functions that run and test begin with."""

import subprocess
from pathlib import Path

from tests.deploy.house import TOP

# Some other user: nothing may be installed.
SOMEBODY = "id() { echo 1000; }; . deploy/setup.sh; "


def bash(script: str, **values: str) -> tuple[int, str, str]:
    done = subprocess.run(
        ["bash", "-euo", "pipefail", "-c", script],
        cwd=TOP,
        env={"PATH": "/usr/sbin:/usr/bin:/sbin:/bin", **values},
        capture_output=True,
        text=True,
    )
    return done.returncode, done.stdout, done.stderr


def test_a_user_who_may_not_install_is_told_every_missing_package():
    status, said, told = bash(
        SOMEBODY + "need libone lib:libno-such-thing.so.1 bash bash two no-such-program"
    )

    assert (status, said) == (1, "")
    assert told == (
        "These system packages are missing:\n"
        "  libone\n"
        "  two\n"
        "Install them, for example: "
        "sudo apt-get install --no-install-recommends libone two\n"
    )


def test_nothing_is_said_when_nothing_is_missing():
    assert bash(SOMEBODY + "need bash bash libc6 lib:libc.so.6") == (0, "", "")


def test_the_first_start_makes_a_key_that_only_we_may_read(tmp_path):
    folder = tmp_path / "data"
    script = '. deploy/setup.sh; secret_key; stat -c %a "$DATA_DIR" "$DATA_DIR"/*'

    first = bash(script, DATA_DIR=str(folder))
    key = (folder / "secret-key").read_text()
    bash(script, DATA_DIR=str(folder))

    assert first == (0, "700\n600\n", "")
    assert len(key) > 80
    assert (folder / "secret-key").read_text() == key


def test_a_key_that_is_given_is_not_made_again(tmp_path):
    assert bash(
        ". deploy/setup.sh; secret_key", DATA_DIR=str(tmp_path), SECRET_KEY="given"
    ) == (0, "", "")
    assert list(tmp_path.iterdir()) == []


def test_every_script_is_good_bash():
    folder = Path(TOP / "deploy")
    scripts = [
        path
        for path in [*folder.iterdir(), TOP / ".ci" / "run"]
        if path.is_file() and (path.suffix == ".sh" or not path.suffix)
    ]

    assert len(scripts) >= 9
    for path in scripts:
        assert subprocess.run(["bash", "-n", path]).returncode == 0, path
