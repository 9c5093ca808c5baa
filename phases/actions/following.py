"""Open lots follow a change of the design: plan, catalogue, or code book.

Lot by lot, each in its own transaction, so that phones are not kept waiting behind
one lock; what is left to do stands in a row, which a sweep takes up again.
"""

from collections.abc import Callable, Iterable, Sequence
from datetime import datetime, timedelta

from django.db import transaction

from phases.actions.items import sync_items
from phases.house_of import catalogue_now
from phases.log import Who, writing
from phases.models import Following
from tracker.sites.models import Lot, Plan, Subdivision

# A worker that said nothing for so long is taken for dead.
QUIET = timedelta(minutes=3)


def plan_follows(plan: Plan, *, who: Who, now: datetime) -> Following | None:
    """Ask that the open lots of a plan follow it."""
    lots = Lot.objects.open().filter(plan=plan)
    return _ask(Following.PLAN, plan.code, lots, who=who, now=now)


def catalogue_follows(
    key: str, *, who: Who, now: datetime, only: Sequence[int] | None = None
) -> Following | None:
    """Ask that open lots with a plan follow the catalogue: all, or `only` these."""
    lots = Lot.objects.open().exclude(plan=None)
    if only is not None:
        lots = lots.filter(pk__in=only)
    return _ask(Following.CATALOGUE, key, lots, who=who, now=now)


def book_follows(
    streets: Iterable[Subdivision], *, name: str, who: Who, now: datetime
) -> Following | None:
    """Ask that the open lots of these subdivisions follow their code book."""
    lots = Lot.objects.open().filter(subdivision__in=list(streets)).exclude(plan=None)
    return _ask(Following.BOOK, name, lots, who=who, now=now)


def _ask(
    what: str, name: str, lots: Iterable[Lot], *, who: Who, now: datetime
) -> Following | None:
    ids = list(lots.order_by("pk").values_list("pk", flat=True))  # type: ignore[attr-defined]
    if not ids:
        return None
    with transaction.atomic():
        same = Following.objects.select_for_update().filter(
            what=what, name=name, finished_at=None, worked_at=None, waiting=ids
        )
        # Ten fixtures saved one after the other are one thing to follow.
        row = same.first() or Following.objects.create(
            what=what,
            name=name,
            by=who.member,
            asked_at=now,
            waiting=ids,
            total=len(ids),
        )
        # A queue that is out of order is no reason to fail: the sweep takes it up.
        # (A lambda, for Django names what failed, and a partial has no name.)
        transaction.on_commit(lambda: _send(row.pk), robust=True)
    return row


def _send(pk: int) -> None:
    from phases.tasks import follow  # leaf

    follow.delay(pk)


def work_on(pk: int, *, clock: Callable[[], datetime]) -> int:
    """Bring along the lots that still wait; how many. Safe to run twice or at once."""
    done = 0
    while _next(pk, now=clock()):
        done += 1
    return done


def _next(pk: int, *, now: datetime) -> bool:
    """One lot more; False when nothing is left."""
    with writing(now=now) as log:
        # All writers stand in one line at the log, so this row is read behind it.
        row = Following.objects.select_related("by").filter(pk=pk).first()
        if row is None or row.finished_at is not None:
            return False
        if not row.waiting:
            row.finished_at = now
            row.save(update_fields=["finished_at"])
            return False
        lot = (
            Lot.objects.select_related("subdivision__jurisdiction", "plan")
            .filter(pk=row.waiting[0])
            .first()
        )
        if lot is not None:
            sync_items(
                log,
                lot,
                who=Who(member=row.by),
                catalogue=catalogue_now(),
                open_only=row.what == Following.CATALOGUE,
            )
        row.waiting, row.worked_at = row.waiting[1:], now
        row.save(update_fields=["waiting", "worked_at"])
    return True


def left_behind(*, now: datetime) -> list[int]:
    """What no worker has touched for a while, to be given out again."""
    rows = Following.objects.filter(finished_at=None)
    return [row.pk for row in rows if (row.worked_at or row.asked_at) < now - QUIET]


def in_work() -> list[Following]:
    """What is being followed now, for the pages."""
    return list(Following.objects.filter(finished_at=None))
