"""The private servers of deploy/services, and the rows that go through them."""

import os
import subprocess
import sys
from pathlib import Path

import psycopg
import pytest
import redis

from deploy import bench_all, suite
from deploy.servers import postgres, redis_server
from tests.deploy.house import TOP

pytestmark = pytest.mark.service


def test_a_private_postgresql_answers_and_leaves_nothing_behind():
    before = Path(sys.executable).stat().st_mode
    with postgres() as url:
        with psycopg.connect(url) as connection:
            version, folder = connection.execute(
                "SELECT current_setting('server_version_num')::int, "
                "current_setting('data_directory')"
            ).fetchone()
            pid = connection.execute("SELECT pg_backend_pid()").fetchone()[0]
            owner = Path(f"/proc/{pid}").stat().st_uid
        assert version >= 150000
        # PostgreSQL refuses root; nobody's rights are enough.
        assert owner == (65534 if os.geteuid() == 0 else os.geteuid())

    assert not Path(folder).parent.exists()
    assert Path(sys.executable).stat().st_mode == before


def test_a_private_redis_answers_and_leaves_nothing_behind():
    with redis_server() as url, redis.Redis.from_url(url) as client:
        client.set("a", "b")
        assert client.get("a") == b"b"

    assert not Path(url.removeprefix("unix://")).parent.exists()


def test_services_hands_both_settings_to_the_command_and_its_status_back():
    show = (
        "import os, sys; print(os.environ['DATABASE_URL'][:13], "
        "os.environ['REDIS_URL'][:7]); sys.exit(5)"
    )
    env = {
        key: value
        for key, value in os.environ.items()
        if key not in ("DATABASE_URL", "REDIS_URL")
    }

    done = subprocess.run(
        [sys.executable, "-m", "deploy.servers", sys.executable, "-c", show],
        cwd=TOP,
        env=env,
        capture_output=True,
        text=True,
    )

    assert (done.returncode, done.stdout) == (5, "postgresql:// unix://\n")


def test_a_server_that_cannot_start_says_why(monkeypatch, tmp_path):
    broken = tmp_path / "redis-server"
    broken.write_text("#!/bin/sh\necho no memory at all; exit 1\n")
    broken.chmod(0o755)
    monkeypatch.setenv("PATH", f"{tmp_path}:{os.environ['PATH']}")

    with pytest.raises(RuntimeError, match="no memory at all"), redis_server():
        pass


def test_an_unknown_part_or_measure_is_refused(capsys):
    assert (suite.main(["nonsense"]), bench_all.main(["nonsense"])) == (2, 2)
    assert "Parts are: lint, django, node, sqlite" in capsys.readouterr().err


def test_a_part_that_cannot_run_fails_the_suite(monkeypatch, capsys):
    def missing() -> bool:
        raise FileNotFoundError("no such program: node")

    monkeypatch.setitem(suite.PARTS, "node", missing)

    assert suite.main(["node"]) == 1
    assert "node cannot run: no such program: node" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("body", "status"),
    [
        ("def test_a(): pass", 0),
        ("import pytest\n@pytest.mark.skip\ndef test_a(): pass", 1),
        ("import pytest\npytest.skip('no', allow_module_level=True)", 5),
        ("", 5),
    ],
)
def test_a_test_that_did_not_run_is_no_passed_test(tmp_path, body, status):
    """pytest itself ends with 5 when nothing at all was run."""
    (tmp_path / "conftest.py").write_text((TOP / "tests/conftest.py").read_text())
    (tmp_path / "test_it.py").write_text(body)

    done = subprocess.run(
        [
            sys.executable,
            "-m",
            "pytest",
            "-q",
            "-p",
            "no:django",
            "-p",
            "no:schemathesis",
        ],
        cwd=tmp_path,
        capture_output=True,
        text=True,
    )

    assert done.returncode == status, done.stdout
