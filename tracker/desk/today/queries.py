"""What needs a decision now, in a fixed number of SQL statements."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django.db.models import Count, Min, Q, Sum

from phases.models import Charge, CheckItem, Correction, Hold, LotPhase
from tracker.desk.today.rules import next_workday
from tracker.people.models import Crew, Member
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


@dataclass
class Today:
    covered: list[LotPhase] = field(default_factory=list)
    cover_near: list[LotPhase] = field(default_factory=list)
    unconfirmed: list[LotPhase] = field(default_factory=list)
    call_in: list[LotPhase] = field(default_factory=list)
    unproven: list[LotPhase] = field(default_factory=list)
    idle: list[IdleCrew] = field(default_factory=list)
    conflicts: list[CheckItem] = field(default_factory=list)
    holds: list[Hold] = field(default_factory=list)
    corrections: list[Correction] = field(default_factory=list)
    unbilled: list[Unbilled] = field(default_factory=list)
    next_day: date = date.min

    @property
    def count(self) -> int:
        lists: Iterable[list[Any]] = (
            *(self.covered, self.cover_near, self.unconfirmed, self.call_in),
            *(self.unproven, self.conflicts, self.idle, self.holds, self.corrections),
            self.unbilled,
        )
        return sum(len(rows) for rows in lists)


def today_lines(member: Member, *, today: date) -> Today:
    """Everything of the member's lots that waits for somebody to decide."""
    company = Company.get()
    lines = Today(next_day=next_workday(today))
    mine = Lot.objects.visible_to(member).open()
    phase_lines(lines, mine)
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
    if member.is_office:
        lines.idle = _idle_crews(lines.next_day)
        lines.unbilled = _unbilled()
    return lines


def phase_lines(lines: Today, mine: Any) -> None:
    """One statement for all lines that stand on a lot phase."""
    to_call = Q(work__in=("done", "proven")) & Q(
        inspection__in=("not_called", "partly_passed", "failed")
    )
    soon = Q(work="planned", planned_start__lte=lines.next_day)
    cover = Q(cover="covered_unproven") | Q(cover="due", gate_open=False)
    phases = (
        LotPhase.objects.filter(to_call | soon | cover, lot__in=mine.values("pk"))
        .select_related("kind", "crew", "lot__subdivision")
        .order_by("cover_date", "planned_start", "lot")
    )
    for phase in phases:
        if phase.cover == "covered_unproven":
            lines.covered.append(phase)
            continue
        if phase.cover == "due" and not phase.gate_open:
            lines.cover_near.append(phase)
        if phase.work == "planned":
            if phase.work_reason.get("code") != "planned":
                lines.unconfirmed.append(phase)
        elif phase.work in ("done", "proven") and phase.inspection != "called_in":
            _to_call(lines, phase)


def _to_call(lines: Today, phase: LotPhase) -> None:
    if phase.inspection in ("passed", "none_needed"):
        return
    # What the inspector found comes before calling him again.
    (lines.unproven if phase.call_in_missing else lines.call_in).append(phase)


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
