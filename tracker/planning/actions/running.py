"""Runs of the planner: asked for by a page, done by a worker, cancelled by a person."""

import threading
from collections.abc import Callable, Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from functools import partial
from typing import Any, TypeVar

from django.db import transaction

from phases.log import Who
from phases.rules import check, why_not_office
from tracker.errors import Refused
from tracker.planning import tasks
from tracker.planning.core.errors import BadProblem, NoPlan
from tracker.planning.core.solve import Effort, Progress
from tracker.planning.models import SILENT, PlanVersion, SolveRun

from .results import (
    Stop,
    Tell,
    keep_plan,
    prepare,
    smaller,
    work_out,
    work_out_levels,
    work_out_remedies,
)
from .weighing import odds_of, share_offered

SECONDS = 8.0
TELL_EVERY = 0.4  # seconds
WAITS = timedelta(hours=1)
REMEDY, LEVEL = 0.05, 0.25  # of the effort, for each remedy or level
T = TypeVar("T")
Clock = Callable[[], datetime]


@dataclass(frozen=True)
class News:
    """How far a run is: a share of its effort, trials done, score parts if any."""

    share: float
    done: int
    score: Mapping[str, int] = field(default_factory=dict)


def _news(now: Progress) -> News:
    return News(now.share, now.iterations, dict(now.score.__dict__))


def ask_run(
    version: PlanVersion,
    *,
    who: Who,
    now: datetime,
    what: str = "solve",
    seconds: float | None = SECONDS,
    iterations: int | None = None,
    queue: bool = True,
) -> SolveRun:
    """Queue a run on a draft. One at a time; a silent one is taken for dead.

    Odds are worked out beside anything else, and those of an older plan given up.
    Without `queue` the caller does it himself by `work_on`.
    """
    check(why_not_office(who.member))
    if version.status != PlanVersion.DRAFT and what == "solve":
        raise Refused("plan_no_draft")
    if what != "solve" and not version.plan:
        raise Refused("plan_empty")
    for run in SolveRun.objects.filter(version=version, state__in=OPEN):
        if (run.what == "odds") != (what == "odds"):
            continue
        if what == "odds":
            _end(run, SolveRun.CANCELLED, now)
            continue
        if not run.is_silent(now):
            raise Refused("plan_running")
        _end(run, SolveRun.FAILED, now, reason=STOPPED)
    run = SolveRun.objects.create(
        version=version,
        what=what,
        seconds=seconds,
        iterations=iterations,
        asked_by=who.name,
        asked_at=now,
        told_at=now,
    )
    if queue:
        # A queue that is out of order is no reason to fail: the sweep takes it up.
        # (A lambda, for Django names what failed, and a partial has no name.)
        transaction.on_commit(lambda: tasks.run_planner.delay(run.pk), robust=True)
    return run


OPEN = (SolveRun.WAITING, SolveRun.RUNNING)
STOPPED = {"code": "run_stopped"}


def left_waiting(*, now: datetime) -> list[int]:
    """Runs that no worker has taken for a while, to be sent again.

    Who asked longer ago than `WAITS` does not wait any more: those are ended.
    """
    waiting = SolveRun.objects.filter(state=SolveRun.WAITING, told_at__lt=now - SILENT)
    for run in waiting.filter(asked_at__lt=now - WAITS):
        _end(run, SolveRun.FAILED, now, reason=STOPPED)
    fresh = waiting.filter(asked_at__gte=now - WAITS)
    return list(fresh.order_by("pk").values_list("pk", flat=True))


def cancel_run(run: SolveRun, *, who: Who, now: datetime) -> SolveRun:
    """Ask the worker to stop; one that has died is ended here."""
    check(why_not_office(who.member))
    run.cancel_asked = True
    run.save(update_fields=["cancel_asked"])
    if run.state == SolveRun.WAITING or run.is_silent(now):
        _end(run, SolveRun.CANCELLED, now)
    return run


def _end(
    run: SolveRun,
    state: str,
    now: datetime,
    trouble: str = "",
    *,
    reason: dict[str, Any] | None = None,
) -> None:
    run.state, run.told_at, run.trouble = state, now, trouble
    run.reason = reason or {}
    run.save(update_fields=["state", "told_at", "trouble", "reason"])


def work_on(run_id: int, *, clock: Clock) -> str:
    """Do a run that was asked for; what it ended as. The draft changes at its end only.

    A task given out twice finds the run taken and leaves it.
    """
    taken = SolveRun.objects.filter(pk=run_id, state=SolveRun.WAITING).update(
        state=SolveRun.RUNNING, told_at=clock()
    )
    run = SolveRun.objects.select_related("version").get(pk=run_id)
    if not taken:
        return run.state
    effort = Effort(seconds=run.seconds, iterations=run.iterations, seed=run.seed)
    try:
        WORK[run.what](run, effort, clock)
    except Refused as error:
        _end(run, SolveRun.FAILED, clock(), reason=error.reason)
    except (BadProblem, NoPlan) as error:
        reason = {"code": "run_unusable"}
        _end(run, SolveRun.FAILED, clock(), str(error), reason=reason)
    except Exception as error:
        name = f"{type(error).__name__}: {error}"
        _end(run, SolveRun.FAILED, clock(), name, reason={"code": "run_broke"})
        raise
    return run.state


def _solve(run: SolveRun, effort: Effort, clock: Clock) -> None:
    prepared = prepare(run.version, now=clock())
    try:
        worked = watched(
            run,
            clock,
            lambda stop, say: work_out(
                prepared, effort, stop, lambda now: say(_news(now))
            ),
        )
    except (BadProblem, NoPlan) as error:
        if not error.facts:
            raise
        day0 = prepared.joined.calendar.day0.isoformat()
        raise Refused("run_pins", found=list(error.facts), day0=day0) from error
    if not _cancelled(run, clock):
        keep_plan(run.version, worked, who=run.asked_by, now=clock())
        _end(run, SolveRun.DONE, clock())


def _cancelled(run: SolveRun, clock: Clock) -> bool:
    """Ask once more: who cancels in the last moment is heard too."""
    run.refresh_from_db(fields=["cancel_asked"])
    if run.cancel_asked:
        _end(run, SolveRun.CANCELLED, clock())
    return run.cancel_asked


def _remedies(run: SolveRun, effort: Effort, clock: Clock) -> None:
    less = smaller(effort, REMEDY)
    _add(run, clock, "remedies", partial(work_out_remedies, run.version, less))


def _levels(run: SolveRun, effort: Effort, clock: Clock) -> None:
    less = smaller(effort, LEVEL)
    _add(run, clock, "levels", partial(work_out_levels, run.version, less))


def _odds(run: SolveRun, _: Effort, clock: Clock) -> None:
    share = share_offered()
    _add(run, clock, "odds", lambda stop, tell: odds_of(run.version, share))


WORK = {"solve": _solve, "remedies": _remedies, "levels": _levels, "odds": _odds}


def _add(
    run: SolveRun, clock: Clock, field: str, work: Callable[[Stop, Tell], Any]
) -> None:
    """Work something out beside a plan; what was found by a cancelling is kept."""
    version = run.version
    found = watched(run, clock, lambda stop, say: work(stop, _told(say)))
    same = PlanVersion.objects.filter(pk=version.pk, revision=version.revision)
    if not same.update(**{field: found}):
        changed = PlanVersion.objects.get(pk=version.pk)
        raise Refused("plan_changed", who=changed.changed_by)
    if not _cancelled(run, clock):
        _end(run, SolveRun.DONE, clock())


def _told(say: Callable[[News], None]) -> Tell:
    """So many of so many tried, as progress without a score."""
    return lambda done, of: say(News(done / of, done))


def watched(
    run: SolveRun, clock: Clock, work: Callable[[Stop, Callable[[News], None]], T]
) -> T:
    """Work in another thread, while this one tells how far it is and hears cancelling.

    Only this thread speaks to the database.
    """
    told = threading.Event()
    news: list[News] = []
    with ThreadPoolExecutor(1) as pool:
        task: Future[T] = pool.submit(work, told.is_set, news.append)
        while True:
            try:
                return task.result(timeout=TELL_EVERY)
            except TimeoutError:
                if task.done():
                    raise
                _say(run, news[-1:], clock())
                if run.cancel_asked:
                    told.set()


def _say(run: SolveRun, news: list[News], now: datetime) -> None:
    run.refresh_from_db(fields=["cancel_asked"])
    run.told_at = now
    fields: dict[str, Any] = {"told_at": now}
    if news:
        run.share, run.done = news[0].share, news[0].done
        run.score = dict(news[0].score)
        fields |= {"share": run.share, "done": run.done, "score": run.score}
    SolveRun.objects.filter(pk=run.pk).update(**fields)
