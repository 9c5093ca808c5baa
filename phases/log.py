"""The fact log: the only door by which anything that happens on a lot is written.

`with writing(now=...) as log:` opens one transaction and takes the lock of the Feed
row, so all writers of facts stand in one line: whoever holds the log sees every
earlier fact, numbers come in commit order, and two phones cannot act at once on what
both believe. Lots that were touched are refreshed before the transaction ends.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from phases.models import CheckItem, Fact, Feed, LotPhase
from tracker.people.models import Device, Member
from tracker.sites.models import Lot, Superintendent


@dataclass(frozen=True)
class Who:
    """Who says it, through which device, and when he says it happened."""

    member: Member | None = None
    superintendent: Superintendent | None = None
    device: Device | None = None
    device_seq: int | None = None
    op: UUID | None = None
    happened_at: datetime | None = None

    @property
    def name(self) -> str:
        person = self.member or self.superintendent
        return str(person) if person else "Plumbrow"


SYSTEM = Who()


class Log:
    def __init__(self, feed: Feed, now: datetime) -> None:
        self.feed = feed
        self.now = now
        self.touched: set[int] = set()

    def append(
        self,
        kind: str,
        *,
        lot: Lot,
        who: Who,
        phase: LotPhase | None = None,
        item: CheckItem | None = None,
        **payload: object,
    ) -> Fact:
        """Append one fact; the op id of `who` marks the first fact of an action."""
        fact = self.draft(kind, lot=lot, who=who, phase=phase, item=item, **payload)
        fact.save(force_insert=True)
        return fact

    def append_all(self, drafts: list[Fact]) -> list[Fact]:
        """Append facts that `draft` numbered, in one statement a few hundred."""
        return Fact.objects.bulk_create(drafts, batch_size=200)

    def draft(
        self,
        kind: str,
        *,
        lot: Lot,
        who: Who,
        phase: LotPhase | None = None,
        item: CheckItem | None = None,
        **payload: object,
    ) -> Fact:
        """The next fact, numbered but not yet written; `append_all` must follow."""
        self.feed.last_no += 1
        self.touched.add(lot.pk)
        return Fact(
            no=self.feed.last_no,
            op=who.op,
            kind=kind,
            lot=lot,
            lot_phase=phase,
            item=item,
            payload=payload,
            by=who.member,
            superintendent=who.superintendent,
            device=who.device,
            device_seq=who.device_seq,
            happened_at=who.happened_at or self.now,
            recorded_at=self.now,
        )

    def touch(self, lot: Lot) -> None:
        """Refresh a lot at the end although no fact of it was appended."""
        self.touched.add(lot.pk)


_current: ContextVar[Log | None] = ContextVar("log", default=None)


@contextmanager
def writing(*, now: datetime) -> Iterator[Log]:
    """One transaction of facts; inside another one it joins it.

    An inner block that fails undoes what it appended itself, so one bad operation
    does not spoil the others of a batch.
    """
    outer = _current.get()
    if outer is not None:
        yield from _joined(outer)
        return
    from phases.refresh import refresh_lots  # the refresh reads models only

    with transaction.atomic():
        Feed.objects.get_or_create(pk=1)
        feed = Feed.objects.select_for_update().get(pk=1)
        log = Log(feed, now)
        token = _current.set(log)
        try:
            yield log
            feed.save(update_fields=["last_no"])
            refresh_lots(log.touched, now=now)
        finally:
            _current.reset(token)


def _joined(outer: Log) -> Iterator[Log]:
    last_no, touched = outer.feed.last_no, set(outer.touched)
    try:
        with transaction.atomic():
            yield outer
    except BaseException:
        outer.feed.last_no, outer.touched = last_no, touched
        raise
