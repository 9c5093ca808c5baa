"""The morning's list: what to call in, in order of cut-off; what waits, and why."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from typing import Any

from inspections.calls import Call, calls_of, first_together
from inspections.dates import Complaint
from inspections.models import Notice
from inspections.offices import AskByPhone
from inspections.standing import DONE, LotStanding, relevant_lots, standings
from inspections.timing import Deadline, First
from tracker.people.models import Member
from tracker.sites.models import Jurisdiction, Lot

URGENT = (
    "cover_too_early",
    "recall_by",
    "call_in_by",
    "not_on_test",
    "frost",
    "no_result",
    "permit_ends",
    "reinspect",
    "propose",
)
WEEK = timedelta(days=7)
PROPOSALS = ("propose", "reinspect")
FAR = datetime.max.replace(tzinfo=UTC)


@dataclass
class Visit:
    """Kinds of one lot that go on one call; `lead` is the one it is listed by."""

    calls: list[Call]

    @property
    def lead(self) -> Call:
        return self.calls[0]

    @property
    def lot(self) -> Lot:
        return self.lead.standing.lot

    @property
    def codes(self) -> str:
        return ",".join(call.kind.code for call in self.calls)

    @property
    def key(self) -> str:
        return f"{self.lot.pk}-{self.lead.kind.code}"

    @property
    def inspect_on(self) -> date | None:
        """The first day that all of them can be had on."""
        return first_together(self.calls)

    @property
    def ready_from(self) -> date | None:
        """Where the office promises a latest day only: from when it must be ready."""
        firsts = [call.first for call in self.calls if isinstance(call.first, First)]
        early = [f.ready_from for f in firsts if f.ready_from != f.inspect_on]
        return min(early) if early else None

    @property
    def window(self) -> str:
        first = self.lead.first
        found = first.window if isinstance(first, First) else None
        return "-".join(found) if found else ""

    @property
    def unknown(self) -> tuple[str, ...]:
        """What the office has to be asked for by phone."""
        first = self.lead.first
        return first.unknown if isinstance(first, AskByPhone) else ()

    @property
    def call_by(self) -> datetime | None:
        return min((c.call_by for c in self.calls if c.call_by), default=None)

    @property
    def deadline(self) -> datetime | None:
        """The last call that still meets the cover date."""
        dated = [c.deadline for c in self.calls if isinstance(c.deadline, Deadline)]
        return min((d.call_in_by for d in dated), default=None)

    @property
    def cover(self) -> date | None:
        return min((call.cover for call in self.calls if call.cover), default=None)

    @property
    def too_late(self) -> bool:
        return any(call.cover_too_early for call in self.calls)

    @property
    def again(self) -> bool:
        return any(call.again for call in self.calls)

    @property
    def tests(self) -> list[dict[str, Any]]:
        """Systems that must be up for any of them, each once."""
        found = {each["system"]: each for call in self.calls for each in call.systems}
        return list(found.values())

    @property
    def order(self) -> tuple[datetime, datetime, int, str]:
        lot = self.lot
        return (self.call_by or FAR, self.deadline or FAR, lot.position, lot.label)


@dataclass
class OfficeCalls:
    """All that is to be asked of one office in one call."""

    jurisdiction: Jurisdiction
    visits: list[Visit] = field(default_factory=list)

    @property
    def trouble(self) -> Complaint | None:
        """Why the office's rules cannot be read, so that no date is known."""
        office = self.visits[0].lead.standing.office if self.visits else None
        return office.trouble if office else None

    @property
    def first_cut_off(self) -> datetime:
        return min((v.call_by for v in self.visits if v.call_by), default=FAR)


@dataclass
class CallList:
    offices: list[OfficeCalls]
    asked: list[Call]
    waiting: list[Call]
    later: list[Call]
    nameless: list[Lot]
    notices: list[Notice]

    @property
    def to_call(self) -> int:
        return sum(len(office.visits) for office in self.offices)


def notices_for(member: Member) -> list[Notice]:
    """What stands noticed for this member, most urgent first, in one statement."""
    rows = Notice.objects.open().visible_to(member)
    return sorted(
        rows.select_related("lot__subdivision", "lot_phase__kind", "jurisdiction"),
        key=lambda notice: (_rank(notice), notice.due_at or FAR),
    )


def call_list(member: Member, *, now: datetime) -> CallList:
    """The list as this member sees it, in fifteen statements whatever its length."""
    visible = Lot.objects.visible_to(member).values("pk")
    rows = standings(relevant_lots().filter(pk__in=visible), now=now)
    offices: dict[int, OfficeCalls] = {}
    asked: list[Call] = []
    waiting: list[Call] = []
    for standing in rows:
        calls = list(calls_of(standing, now=now, member=member))
        asked += [call for call in calls if call.request is not None]
        waiting += [call for call in calls if call.missing and call.request is None]
        jurisdiction = standing.lot.subdivision.jurisdiction
        for visit in visits_of(call for call in calls if call.ready):
            assert jurisdiction is not None
            office = offices.setdefault(jurisdiction.pk, OfficeCalls(jurisdiction))
            office.visits.append(visit)
    near = [call for call in waiting if _is_near(call, now)]
    for office in offices.values():
        office.visits.sort(key=lambda visit: visit.order)
    return CallList(
        offices=sorted(
            offices.values(), key=lambda o: (o.first_cut_off, o.jurisdiction.name)
        ),
        asked=sorted(asked, key=_asked_order),
        waiting=sorted(near, key=_waiting_order),
        later=sorted((c for c in waiting if c not in near), key=_waiting_order),
        nameless=_without_office(rows),
        notices=_not_listed(notices_for(member), offices.values()),
    )


def _is_near(call: Call, now: datetime) -> bool:
    """Its work is done or planned to be, or its last call comes, within a week."""
    if call.cover_too_early or all(phase.work in DONE for phase in call.phases):
        return True
    ends = [phase.planned_end for phase in call.phases if phase.planned_end]
    if ends and max(ends) <= call.standing.today + WEEK:
        return True
    last = call.deadline
    return isinstance(last, Deadline) and last.call_in_by <= now + WEEK


def _not_listed(notices: list[Notice], offices: Iterable[OfficeCalls]) -> list[Notice]:
    """Without proposals of lots that stand on the list to call in already."""
    listed = {visit.lot.pk for office in offices for visit in office.visits}
    return [
        notice
        for notice in notices
        if notice.reason not in PROPOSALS or notice.lot_id not in listed
    ]


def _rank(notice: Notice) -> int:
    """What cannot be put right later comes first."""
    reason = notice.reason
    return URGENT.index(reason) if reason in URGENT else len(URGENT)


def visits_of(ready: Iterable[Call]) -> list[Visit]:
    """Ready calls of one lot, those that may share a visit put together."""
    left = {call.kind.code: call for call in ready}
    visits = []
    while left:
        code = next(iter(left))
        together = [left.pop(code)]
        for other in together[0].rides:
            if other in left:
                together.append(left.pop(other))
        visits.append(Visit(together))
    return visits


def _asked_order(call: Call) -> tuple[date, str, int]:
    assert call.request is not None
    lot = call.standing.lot
    return (call.request.for_date, str(lot.subdivision), lot.position)


def _waiting_order(call: Call) -> tuple[datetime, date, int]:
    by = call.deadline.call_in_by if isinstance(call.deadline, Deadline) else FAR
    return (by, call.cover or date.max, call.standing.lot.position)


def _without_office(rows: list[LotStanding]) -> list[Lot]:
    """Lots whose office or kinds nobody has named: nothing of them can be called in."""
    by: dict[int, Lot] = defaultdict()
    for standing in rows:
        if standing.office is None or not standing.kinds:
            by[standing.lot.pk] = standing.lot
    return list(by.values())
