"""A long list is applied, or undone, by the worker: asked for, then told how far.

The list says itself that it was asked for, so a worker that dies loses nothing; the
work is one transaction that a second worker finds done.
"""

from collections.abc import Callable
from datetime import datetime, timedelta
from functools import partial

from django.core.cache import cache
from django.db import transaction

from phases import rules
from phases.log import Who
from tracker.desk.imports.actions import apply_import, undo_import
from tracker.errors import Refused
from tracker.people.models import Member
from tracker.sites.lotlist import Unreadable
from tracker.sites.models import LotImport

# Up to so many lots a request may make by itself.
AT_ONCE = 150
QUIET = timedelta(minutes=3)
KEPT = 3600


def is_long(lot_import: LotImport) -> bool:
    counts = lot_import.counts
    return counts.get("new", 0) + counts.get("changed", 0) > AT_ONCE


def ask_to_apply(lot_import: LotImport, *, who: Who, now: datetime) -> LotImport:
    """Hand the list to the worker."""
    return _ask(lot_import, undo=False, who=who, now=now)


def ask_to_undo(lot_import: LotImport, *, who: Who, now: datetime) -> LotImport:
    """Let the worker take an applied list back."""
    return _ask(lot_import, undo=True, who=who, now=now)


@transaction.atomic
def _ask(lot_import: LotImport, *, undo: bool, who: Who, now: datetime) -> LotImport:
    rules.check(rules.why_not_office(who.member))
    row = LotImport.objects.select_for_update().get(pk=lot_import.pk)
    if row.in_work:
        raise Refused("list_in_work")
    if row.undone_at is not None:
        raise Refused("list_undone")
    if undo != (row.applied_at is not None):
        raise Refused("list_not_applied" if undo else "list_applied")
    row.asked_by, row.asked_at, row.failed = who.member.username, now, {}
    row.save(update_fields=["asked_by", "asked_at", "failed"])
    cache.delete(_key(row.pk))
    # A queue that is out of order is no reason to fail: the sweep takes it up.
    # (A lambda, for Django names what failed, and a partial has no name.)
    transaction.on_commit(lambda: _send(row.pk), robust=True)
    return row


def _send(pk: int) -> None:
    from tracker.desk.tasks import apply_list  # leaf

    apply_list.delay(pk)


def work_on(pk: int, *, clock: Callable[[], datetime]) -> str:
    """Apply or undo a list as was asked; what came of it. Safe to run twice."""
    row = LotImport.objects.select_related("builder").filter(pk=pk).first()
    if row is None or not row.in_work:
        return "nothing to do"
    who = Who(member=Member.objects.filter(username=row.asked_by).first())
    tell = partial(_tell, pk, clock)
    tell(0, 0)
    undo = row.applied_at is not None
    work = undo_import if undo else apply_import
    try:
        work(row, who=who, now=clock(), progress=tell)
    except (Refused, Unreadable) as error:
        LotImport.objects.filter(pk=pk, asked_at=row.asked_at).update(
            asked_at=None, failed=_why(error)
        )
        return "failed"
    return "undone" if undo else "applied"


def _why(error: Refused | Unreadable) -> dict[str, object]:
    if isinstance(error, Refused):
        return error.reason
    return {"code": "list_unreadable", "text": str(error)}


def _tell(pk: int, clock: Callable[[], datetime], done: int, total: int) -> None:
    # The lots are one transaction, so only the cache can say how far it is.
    cache.set(_key(pk), (done, total, clock().timestamp()), KEPT)


def how_far(lot_import: LotImport) -> tuple[int, int]:
    """Rows done and rows in all; (0, 0) while it waits for the worker."""
    done, total, _ = cache.get(_key(lot_import.pk)) or (0, 0, 0.0)
    return done, total


def left_behind(*, now: datetime) -> list[int]:
    """Lists asked for on which no worker has said anything for a while."""
    found = []
    for row in LotImport.objects.filter(asked_at__lt=now - QUIET):
        told = (cache.get(_key(row.pk)) or (0, 0, 0.0))[2]
        if told < (now - QUIET).timestamp():
            found.append(row.pk)
    return found


def _key(pk: int) -> str:
    return f"lot-list-{pk}"
