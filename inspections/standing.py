"""How lots stand with their office: loaded in a fixed number of statements."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any

from django.db.models import Count, Q, QuerySet

from inspections.models import (
    InspectionRequest,
    InspectionResult,
    PipeTest,
    VisitFee,
)
from inspections.office import Office, office_of
from inspections.offices import permit_expires
from phases.loaded import local_date
from phases.models import CheckItem, Hold, LotPhase
from phases.required import KindRow, required_kinds
from tracker.sites.models import InspectionKind, Jurisdiction, Lot

PERMIT_AHEAD = timedelta(days=30)
LONGEST_PERMIT = 3661  # days; what is longer cannot be read as a rule
UNDER_WAY = ("planned", "working", "done", "proven")
DONE = ("done", "proven")


@dataclass
class LotStanding:
    """One lot: its phases, the kinds it needs, and what was asked and found."""

    lot: Lot
    office: Office | None
    today: date
    phases: list[LotPhase] = field(default_factory=list)
    kinds: dict[str, InspectionKind] = field(default_factory=dict)
    required: dict[int, tuple[str, ...] | None] = field(default_factory=dict)
    results: list[InspectionResult] = field(default_factory=list)
    asked: dict[str, InspectionRequest] = field(default_factory=dict)
    tests: list[PipeTest] = field(default_factory=list)
    fees: list[VisitFee] = field(default_factory=list)
    office_hold: bool = False
    booked: dict[date, int] = field(default_factory=dict)

    @property
    def latest(self) -> dict[str, InspectionResult]:
        """The latest result of each kind that says something of the work."""
        return {row.kind.code: row for row in self.results if row.result != "cancelled"}

    @property
    def passed(self) -> set[str]:
        return {code for code, row in self.latest.items() if row.result == "passed"}

    @property
    def fees_due(self) -> list[VisitFee]:
        return [fee for fee in self.fees if fee.paid_on is None and fee.pays == "us"]

    def visits_made(self, kind: str) -> int:
        """How often the inspector has been there for this kind."""
        return sum(
            row.kind.code == kind and row.result != "cancelled" for row in self.results
        )

    def passed_parts(self, kind: str) -> set[str]:
        """What passed of a kind in partial results: "system:gas", "item:7"."""
        return {
            part
            for row in self.results
            if row.kind.code == kind and row.result == "partly_passed"
            for part in row.passed_parts
        }

    @property
    def to_pass(self) -> dict[str, InspectionKind]:
        """Kinds that the lot needs and that have not passed yet."""
        passed = self.passed
        return {code: k for code, k in self.kinds.items() if code not in passed}

    @property
    def after(self) -> dict[str, tuple[str, ...]]:
        """Of the kinds still to pass, which of them each waits for."""
        open_kinds = self.to_pass
        return {
            code: tuple(needed for needed in kind.after if needed in open_kinds)
            for code, kind in open_kinds.items()
        }

    @property
    def covers(self) -> dict[str, date]:
        """The cover dates of the kinds still to pass, as far as they are said."""
        found = {}
        for code, kind in self.to_pass.items():
            dates = [
                phase.cover_date
                for phase in self.proved_by(kind)
                if phase.cover_date and phase.passed_on is None
            ]
            if dates:
                found[code] = min(dates)
        return found

    def proved_by(self, kind: InspectionKind) -> list[LotPhase]:
        """The lot's phases that this kind proves."""
        return [phase for phase in self.phases if phase.kind.code in kind.proves]

    @property
    def permit_ends(self) -> date | None:
        """The permit's last day, as renewed by the office's own rule."""
        if self.office is None:
            return self.lot.permit_expires_on
        life, issued = self.office.record.permit, self.lot.permit_issued_on
        said = self.lot.permit_expires_on
        if life is None or (issued is None and said is None):
            return said
        if said is not None:
            # What a person wrote is what the permit says; visits renew it from there.
            issued = said - timedelta(days=life.days)
        assert issued is not None
        seen = [
            (row.on, row.result == "passed")
            for row in self.results
            if row.result in ("passed", "partly_passed", "failed")
        ]
        return permit_expires(self.office.record, issued_on=issued, inspected=seen)


def relevant_lots() -> QuerySet[Lot]:
    """Open lots with a phase under way, dated, or asked for."""
    phases = LotPhase.objects.filter(passed_on=None, lot__retired_at=None).filter(
        Q(work__in=UNDER_WAY) | Q(cover_date__isnull=False) | Q(inspection="called_in")
    )
    asked = InspectionRequest.objects.waiting()
    return Lot.objects.open().filter(
        Q(pk__in=phases.values("lot")) | Q(pk__in=asked.values("lot"))
    )


def lots_whose_permit_may_end(today: date) -> QuerySet[Lot]:
    """Open lots whose permit may end soon, worked on or not: those are forgotten.

    Inspections may have renewed one that this names; `permit_ends` knows.
    """
    soon = today + PERMIT_AHEAD
    ends = Q(permit_expires_on__gte=today, permit_expires_on__lte=soon)
    for office in Jurisdiction.objects.filter(record__permit__isnull=False):
        days = (office.record or {})["permit"].get("days")
        if isinstance(days, int) and 0 < days < LONGEST_PERMIT:
            issued = soon - timedelta(days=days)
            ends |= Q(subdivision__jurisdiction=office, permit_issued_on__lte=issued)
    return Lot.objects.open().filter(ends)


def standings(
    lots: Iterable[int] | QuerySet[Any], *, now: datetime
) -> list[LotStanding]:
    """How these lots stand, in eleven statements whatever their number."""
    rows = list(
        Lot.objects.filter(pk__in=lots).select_related(
            "subdivision__jurisdiction", "subdivision__builder", "plan"
        )
    )
    ids = [lot.pk for lot in rows]
    kinds = _kinds({lot.subdivision.jurisdiction_id for lot in rows})
    has = _has(rows)
    booked = _booked(kinds, now=now)
    found = {}
    for lot in rows:
        office_id = lot.subdivision.jurisdiction_id
        own = kinds.get(office_id, [])
        office = office_id and office_of(
            lot.subdivision.jurisdiction, own, time_zone=lot.subdivision.time_zone
        )
        found[lot.pk] = LotStanding(
            lot=lot,
            office=office or None,
            today=local_date(now, lot),
            booked=booked.get(office_id, {}),
        )
    _add_rows(found, ids)
    for standing in found.values():
        _need(standing, kinds, has.get(standing.lot.pk))
    return list(found.values())


def standing_of(lot: Lot, *, now: datetime) -> LotStanding:
    (standing,) = standings([lot.pk], now=now)
    return standing


def _kinds(offices: Collection[int | None]) -> dict[int | None, list[InspectionKind]]:
    kinds: dict[int | None, list[InspectionKind]] = defaultdict(list)
    for kind in InspectionKind.objects.filter(jurisdiction__in=set(offices) - {None}):
        kinds[kind.jurisdiction_id].append(kind)
    return kinds


def _has(lots: list[Lot]) -> dict[int, set[str]]:
    """Systems, fixtures and foundation of each lot that has a list."""
    foundation = {lot.pk: lot.stands_on for lot in lots}
    has: dict[int, set[str]] = {}
    rows = CheckItem.objects.filter(
        lot_phase__lot__in=list(foundation), removed_at=None
    ).order_by()
    for lot_id, fixture, systems in rows.values_list(
        "lot_phase__lot", "spec__fixture", "spec__systems"
    ).distinct():
        words = has.setdefault(lot_id, {foundation[lot_id]})
        words.add(fixture or "")
        words.update(systems or ())
    return {lot_id: words - {""} for lot_id, words in has.items()}


def _booked(
    kinds: Collection[int | None], *, now: datetime
) -> dict[int, dict[date, int]]:
    """Inspections asked for, by office and day, from yesterday on."""
    booked: dict[int, dict[date, int]] = defaultdict(dict)
    rows = (
        InspectionRequest.objects.exclude(status=InspectionRequest.CANCELLED)
        .filter(
            kind__jurisdiction__in=set(kinds) - {None},
            for_date__gte=now.date() - timedelta(days=1),
        )
        .order_by()
        .values_list("kind__jurisdiction", "for_date")
        .annotate(n=Count("pk"))
    )
    for office, day, count in rows:
        booked[office][day] = count
    return booked


def _add_rows(found: dict[int, LotStanding], ids: list[int]) -> None:
    of = {"lot__in": ids}
    phases = LotPhase.objects.filter(**of).select_related("kind", "crew", "lot")
    for phase in phases.order_by("lot", "position"):
        standing = found[phase.lot_id]
        phase.lot = standing.lot
        standing.phases.append(phase)
    results = InspectionResult.objects.filter(**of).select_related("kind")
    for row in results.order_by("on", "recorded_at"):
        found[row.lot_id].results.append(row)
    requests = InspectionRequest.objects.waiting().filter(**of).select_related("kind")
    for request in requests:
        found[request.lot_id].asked[request.kind.code] = request
    tests = PipeTest.objects.filter(lot_phase__lot__in=ids).select_related("lot_phase")
    for test in tests:
        found[test.lot_phase.lot_id].tests.append(test)
    for fee in VisitFee.objects.filter(**of):
        found[fee.lot_id].fees.append(fee)
    held = Hold.objects.filter(lifted_on=None, owed_by="city", **of)
    for lot_id in held.values_list("lot", flat=True):
        found[lot_id].office_hold = True


def _need(
    standing: LotStanding,
    kinds: dict[int | None, list[InspectionKind]],
    has: set[str] | None,
) -> None:
    """Which kinds this lot needs, phase by phase."""
    own = kinds.get(standing.lot.subdivision.jurisdiction_id, [])
    rows = [KindRow(k.code, tuple(k.proves), tuple(k.applies_to)) for k in own]
    for phase in standing.phases:
        standing.required[phase.pk] = required_kinds(rows, phase.kind.code, has=has)
    needed = {code for codes in standing.required.values() for code in codes or ()}
    standing.kinds = {kind.code: kind for kind in own if kind.code in needed}


def open_phases(standing: LotStanding) -> Iterator[LotPhase]:
    """Phases that are neither passed nor covered."""
    for phase in standing.phases:
        if phase.passed_on is None and phase.covered_on is None:
            yield phase
