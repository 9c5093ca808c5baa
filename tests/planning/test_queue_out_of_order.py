"""What happens to a run asked for while the queue is out of order."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from tests.planning.scene import MORNING, day, owner, street, two_crews
from tracker.celery import app
from tracker.planning import tasks
from tracker.planning.actions.running import WAITS, ask_run, left_waiting, work_on
from tracker.planning.models import SILENT, PlanVersion, RainDay, SolveRun

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def clock(monkeypatch):
    """The time it is; a test may put it on."""
    at = [MORNING]
    monkeypatch.setattr(timezone, "now", lambda: at[0])
    return at


@pytest.fixture
def queue(monkeypatch):
    """What is sent to the worker; `down` makes sending fail."""

    class Queue:
        down, sent = True, []

    found = Queue()
    found.sent = []

    def delay(pk):
        if found.down:
            raise tasks.run_planner.OperationalError("no broker")
        found.sent.append(pk)

    monkeypatch.setattr(tasks.run_planner, "delay", delay)
    return found


@pytest.fixture
def rained(client, queue, django_capture_on_commit_callbacks):
    """The run that was asked for by saying that it rains, without a queue."""
    who = owner()
    street(who)
    two_crews()
    client.force_login(who.member)
    with django_capture_on_commit_callbacks(execute=True):
        answer = client.post(
            reverse("desk:look-ahead-rain"),
            {"day": [day(1).isoformat()], "replan": "on"},
            follow=True,
        )
    assert answer.status_code == 200
    assert "waiting for the worker" in answer.content.decode()
    return SolveRun.objects.get()


def test_rain_is_noted_and_its_plan_waits_until_the_sweep_sends_it(
    rained, queue, clock
):
    assert RainDay.objects.get().day == day(1)
    assert tasks.sweep_runs() == 0
    clock[0] = MORNING + SILENT + timedelta(seconds=1)
    queue.down = False

    assert tasks.sweep_runs() == 1

    assert queue.sent == [rained.pk]
    SolveRun.objects.update(seconds=None, iterations=50)
    assert work_on(rained.pk, clock=lambda: clock[0]) == "done"
    assert PlanVersion.objects.get().plan
    assert tasks.sweep_runs() == 0


def test_what_nobody_waits_for_any_more_is_ended_so_that_it_can_be_asked_anew(
    rained, clock
):
    clock[0] = MORNING + WAITS + timedelta(seconds=1)

    assert left_waiting(now=clock[0]) == []

    rained.refresh_from_db()
    assert (rained.state, rained.reason) == ("failed", {"code": "run_stopped"})
    again = ask_run(rained.version, who=owner(), now=clock[0])
    assert again.state == "waiting"


def test_the_sweep_runs_by_the_clock():
    assert tasks.sweep_runs.name in {
        one["task"] for one in app.conf.beat_schedule.values()
    }
