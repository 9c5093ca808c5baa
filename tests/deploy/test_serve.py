"""The supervised group, really started."""

import os
import signal
import stat
import subprocess
import sys
import time

import pytest

from tests.deploy.house import TOP, environment, manage, processes, running, until

pytestmark = pytest.mark.service


def test_one_command_serves_restarts_what_dies_and_stops_cleanly(prepared):
    folder = prepared
    with running(folder, "--empty") as house:
        assert house.page() == "ok\n"
        until(lambda: "Plumbrow is running." in house.log.read_text())
        assert "Make the owner" in house.log.read_text()
        assert stat.S_IMODE((folder / "broker").stat().st_mode) == 0o700

        worker = until(lambda: house.pid_of("tracker.celery worker"))
        os.kill(worker, signal.SIGKILL)
        again = until(
            lambda: (pid := house.pid_of("tracker.celery worker")) != worker and pid
        )
        assert again

        web = house.pid_of("gunicorn")
        os.kill(web, signal.SIGKILL)
        until(lambda: house.pid_of("gunicorn") not in (web, None) and house.page())

        assert house.stop() == 0
        until(lambda: not processes(folder))


def test_a_second_start_serves_its_first_page_within_five_seconds(prepared):
    folder = prepared
    began = time.monotonic()

    with running(folder, "--empty") as house:
        assert time.monotonic() - began < 5
        assert house.stop(signal.SIGINT) == 0


def test_nothing_outlives_a_supervisor_that_is_killed(prepared):
    folder = prepared
    with running(folder, "--empty") as house:
        until(lambda: house.pid_of("tracker.celery worker"))

        house.stop(signal.SIGKILL)

        until(lambda: not processes(folder), seconds=40)


def test_two_groups_on_one_folder_are_refused(prepared, tmp_path):
    folder = prepared
    with running(folder, "--empty") as house:
        second = subprocess.run(
            [sys.executable, "manage.py", "serve", "--empty"],
            cwd=TOP,
            env=environment(folder, PORT=str(house.port + 1)),
            capture_output=True,
            text=True,
        )
        assert second.returncode == 1
        assert "Already running" in second.stderr

        other = subprocess.run(
            [sys.executable, "manage.py", "serve", "--empty"],
            cwd=TOP,
            env=environment(tmp_path / "other", PORT=str(house.port)),
            capture_output=True,
            text=True,
        )
        assert other.returncode == 1
        assert f"PORT {house.port} cannot be listened on" in other.stderr


def test_without_redis_url_or_broker_the_queue_is_a_folder_that_workers_empty(prepared):
    """One of Celery's own tasks: ours would need rows to work on."""
    env = environment(prepared)
    call = [sys.executable, "-m", "celery", "--app", "tracker.celery", "call"]
    subprocess.run(
        [*call, "celery.accumulate", "--args", "[1, 2]"],
        cwd=TOP,
        env=env,
        check=True,
        capture_output=True,
    )
    (sent,) = (prepared / "queue").iterdir()

    worker = subprocess.Popen(
        [sys.executable, "manage.py", "serve", "worker"],
        cwd=TOP,
        env=env,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        # It may have to compile the planner first.
        until(lambda: not sent.exists(), seconds=90)
    finally:
        worker.terminate()
        worker.wait(30)

    assert worker.returncode == 0
    assert list((prepared / "queue").iterdir()) == []


def test_the_first_owner_of_an_empty_house_can_be_made(prepared):
    folder = prepared

    said = manage(folder, "owner", "vera", given="a long enough one\n")
    again = manage(folder, "owner", "vera", given="another long one\n")

    assert (said, again) == (
        "vera can sign in as owner.\n",
        "vera has a new password.\n",
    )
