"""What needs a decision now, in a fixed number of SQL statements."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from django.db.models import Count, Min, Q, Sum

from inspections.call_list import Visit, notices_for, visits_of
from inspections.calls import Call, calls_of
from inspections.models import Notice
from inspections.standing import DONE, standings
from phases.models import Charge, CheckItem, Correction, Hold, LotPhase
from tracker.desk.today.rules import next_workday
from tracker.people.models import Crew, Member
from tracker.planning.models import CrewNotice
from tracker.planning.queries import unread_by
from tracker.sites.models import Company, Lot


@dataclass(frozen=True)
class Unbilled:
    """Earned and on no invoice, for one builder."""

    builder: str
    count: int
    amount: Decimal
    since: date


@dataclass(frozen=True)
class IdleCrew:
    """A crew with nothing ready on its next working day; the lots it is sent to."""

    crew: Crew
    day: date
    sent: tuple[LotPhase, ...]


NOT_CALLED = ("not_called", "partly_passed", "failed")
# What the office itself says against a call; the other reasons are work of ours.
TURNED_AWAY = {
    "office_fee_due",
    "office_permit_expired",
    "office_hold",
    "test_again",
}
# Notices that stand on Today as they are; the others have lines of their own.
DATED = ("cover_too_early", "recall_by", "call_in_by")
NOTICED = (
    *DATED,
    "not_on_test",
    "frost",
    "permit_ends",
    "holidays_missing",
)


@dataclass
class Today:
    """Lines in order of urgency: the page shows them so, each with one action."""

    covered: list[LotPhase] = field(default_factory=list)
    cover_near: list[LotPhase] = field(default_factory=list)
    unread: list[CrewNotice] = field(default_factory=list)
    notices: list[Notice] = field(default_factory=list)
    visits: list[Visit] = field(default_factory=list)
    turned_away: list[Call] = field(default_factory=list)
    no_office: list[LotPhase] = field(default_factory=list)
    unconfirmed: list[LotPhase] = field(default_factory=list)
    unproven: list[LotPhase] = field(default_factory=list)
    conflicts: list[CheckItem] = field(default_factory=list)
    idle: list[IdleCrew] = field(default_factory=list)
    holds: list[Hold] = field(default_factory=list)
    corrections: list[Correction] = field(default_factory=list)
    unbilled: list[Unbilled] = field(default_factory=list)
    next_day: date = date.min

    @property
    def count(self) -> int:
        lists: Iterable[list[Any]] = (
            *(self.covered, self.cover_near, self.unread, self.notices, self.visits),
            *(self.turned_away, self.no_office, self.unconfirmed, self.unproven),
            *(self.conflicts, self.idle, self.holds, self.corrections, self.unbilled),
        )
        return sum(len(rows) for rows in lists)


def today_lines(member: Member, *, today: date, now: datetime) -> Today:
    """Everything of the member's lots that waits for somebody to decide."""
    company = Company.get()
    lines = Today(next_day=next_workday(today))
    mine = Lot.objects.visible_to(member).open()
    lines.unread = unread_by(member, day=lines.next_day)
    done = phase_lines(lines, mine)
    _call_lines(lines, done, member, now=now)
    old = today - timedelta(days=company.hold_alert_days)
    in_lots = {"lot__in": mine.values("pk")}
    lines.holds = list(
        Hold.objects.filter(lifted_on=None, since__lte=old, **in_lots)
        .select_related("lot__subdivision", "lot_phase__kind")
        .order_by("since")
    )
    lines.corrections = list(
        Correction.objects.filter(due_on__lt=today, **in_lots)
        .exclude(state="closed")
        .select_related("lot__subdivision", "lot_phase__kind", "crew")
        .order_by("due_on", "opened_at")
    )
    measured = CheckItem.objects.filter(
        state=CheckItem.CONFLICT, removed_at=None, lot_phase__lot__in=mine.values("pk")
    )
    lines.conflicts = list(
        measured.select_related("lot_phase__kind", "lot_phase__lot__subdivision")
    )
    lines.notices = _notices(lines, member)
    if member.is_office:
        lines.idle = _idle_crews(lines.next_day)
        lines.unbilled = _unbilled()
    return lines


def phase_lines(lines: Today, mine: Any) -> list[LotPhase]:
    """One statement for all lines that stand on a lot phase.

    Returns the phases whose work is done and which nobody has called in.
    """
    to_call = Q(work__in=DONE, inspection__in=NOT_CALLED)
    soon = Q(work="planned", planned_start__lte=lines.next_day)
    cover = Q(cover="covered_unproven") | Q(cover="due", gate_open=False)
    phases = (
        LotPhase.objects.filter(to_call | soon | cover, lot__in=mine.values("pk"))
        .select_related("kind", "crew", "lot__subdivision")
        .order_by("cover_date", "planned_start", "lot")
    )
    done = []
    for phase in phases:
        if phase.cover == "covered_unproven":
            lines.covered.append(phase)
            continue
        near = phase.cover == "due" and not phase.gate_open
        if near:
            lines.cover_near.append(phase)
        if phase.work == "planned":
            if phase.work_reason.get("code") != "planned":
                lines.unconfirmed.append(phase)
        elif phase.work in DONE and phase.inspection in NOT_CALLED:
            done.append(phase)
            # The alarm above says already what is missing on such a lot.
            if phase.call_in_missing and not near:
                lines.unproven.append(phase)
    return done


def _call_lines(
    lines: Today, done: list[LotPhase], member: Member, *, now: datetime
) -> None:
    """What can be called in, in order of cut-off; what the office would not take.

    A phase that is inspected together with a later one has no line until that one is
    done as well: nobody can call it in.
    """
    lots = {phase.lot_id for phase in done}
    unknown = set()
    for standing in standings(lots, now=now) if lots else []:
        if standing.office is None or not standing.kinds:
            unknown.add(standing.lot.pk)
        calls = list(calls_of(standing, now=now, member=member))
        lines.visits += visits_of(call for call in calls if call.ready)
        lines.turned_away += [
            call
            for call in calls
            if call.missing
            and call.request is None
            and all(reason["code"] in TURNED_AWAY for reason in call.missing)
        ]
    lines.visits.sort(key=lambda visit: visit.order)
    lines.no_office = [phase for phase in done if phase.lot_id in unknown]


def _notices(lines: Today, member: Member) -> list[Notice]:
    """What the clock noticed and no other line says."""
    told = {visit.lot.pk for visit in lines.visits}
    told |= {phase.lot_id for phase in lines.cover_near}
    return [
        row
        for row in notices_for(member)
        if row.reason in NOTICED and not (row.reason in DATED and row.lot_id in told)
    ]


def _idle_crews(day: date) -> list[IdleCrew]:
    """Crews that are sent nowhere ready on a day and have no work in hand."""
    sent: dict[int, list[LotPhase]] = defaultdict(list)
    busy: set[int] = set()
    phases = LotPhase.objects.filter(
        Q(work="working") | Q(work="planned", planned_start__lte=day),
        crew__isnull=False,
        lot__retired_at=None,
    ).select_related("kind", "lot__subdivision")
    for phase in phases.order_by("planned_start"):
        sent[phase.crew_id].append(phase)
        ready = phase.work == "working" or phase.work_reason.get("code") == "planned"
        if ready and not phase.on_hold:
            busy.add(phase.crew_id)
    crews = Crew.objects.filter(is_active=True).exclude(days_off__date=day)
    return [
        IdleCrew(crew, day, tuple(sent[crew.pk]))
        for crew in crews
        if crew.pk not in busy
    ]


def _unbilled() -> list[Unbilled]:
    """One line a builder, the longest waiting first."""
    rows = (
        Charge.objects.filter(invoice=None, voided_at=None, taken_back_at=None)
        .exclude(sort=Charge.CREDIT)
        .values("lot__subdivision__builder__name")
        .annotate(count=Count("pk"), amount=Sum("amount"), since=Min("earned_on"))
        .order_by("since")
    )
    return [
        Unbilled(
            row["lot__subdivision__builder__name"],
            row["count"],
            row["amount"],
            row["since"],
        )
        for row in rows
    ]


def ready_phases(member: Member, crew: Crew) -> list[LotPhase]:
    """Phases said ready that nobody is sent to and this crew is qualified for."""
    mine = Lot.objects.visible_to(member).open()
    ready = LotPhase.objects.filter(
        work="ready", on_hold=False, kind__code__in=crew.skills, lot__in=mine
    )
    return list(
        ready.select_related("kind", "lot__subdivision", "lot__plan").order_by(
            "need_by", "work_on", "lot"
        )
    )
