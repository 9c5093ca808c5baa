"""One house as the builder sees it, put together from rows that were loaded."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from phases.models import Correction, Hold, LotPhase, ReadyPart
from tracker.sites.models import Lot
from tracker.status import rules
from tracker.status.models import DateProposal
from tracker.status.words import lot_name

# A ready date farther off is the builder's own business yet: nobody waits for him.
SOON = timedelta(days=14)


@dataclass(frozen=True)
class Proof:
    """The latest thing that was proven in a phase."""

    on: date
    text_en: str
    text_es: str
    room_en: str = ""
    room_es: str = ""
    photo: str = ""


@dataclass(frozen=True)
class Inspected:
    """One kind of inspection: called in for a day, or its latest result."""

    kind: Any
    state: str
    on: date


@dataclass(frozen=True)
class Line:
    """One phase of a house."""

    phase: LotPhase
    proof: Proof | None = None
    inspections: tuple[Inspected, ...] = ()
    parts: tuple["Part", ...] = ()

    @property
    def on(self) -> date | None:
        """The date that goes with the phase's one word."""
        phase = self.phase
        if phase.word == "held":
            return None  # its date is that of the work, not of the hold
        if phase.word == "unproven":
            return phase.covered_on
        if phase.word == "failed":
            return phase.inspection_on
        return phase.passed_on or phase.work_on

    @property
    def may_say_ready(self) -> bool:
        return rules.why_not_dated(self.phase, "ready") is None

    @property
    def may_say_cover(self) -> bool:
        return rules.why_not_dated(self.phase, "cover") is None


@dataclass(frozen=True)
class Part:
    """One part of readiness, and whether somebody has said that it is there."""

    row: ReadyPart
    said: bool

    @property
    def may_be_said(self) -> bool:
        return self.row.owed_by != "us"


@dataclass(frozen=True)
class NextDate:
    """The next day on which something happens; `what` is visit, inspection, ready
    or cover."""

    on: date
    what: str
    phase: LotPhase
    kind: Any = None


@dataclass(frozen=True)
class Wait:
    """One thing that we wait for from the builder."""

    sort: str
    phase: LotPhase | None = None
    text: str = ""
    text_es: str = ""
    on: date | None = None


@dataclass
class House:
    lot: Lot
    today: date
    lines: list[Line] = field(default_factory=list)
    holds: list[Hold] = field(default_factory=list)
    corrections: list[Correction] = field(default_factory=list)
    proposals: list[DateProposal] = field(default_factory=list)

    @property
    def phases(self) -> list[LotPhase]:
        return [line.phase for line in self.lines]

    def name(self, language: str) -> str:
        return lot_name(self.lot, language)

    @property
    def finished(self) -> bool:
        return bool(self.lines) and all(p.passed_on for p in self.phases)

    @property
    def current(self) -> Line | None:
        """The phase that the house is in; None when every one has passed."""
        return next((line for line in self.lines if not line.phase.passed_on), None)

    @property
    def next(self) -> NextDate | None:
        return next_date(self.lines, today=self.today)

    @property
    def to_accept(self) -> list[Correction]:
        return [
            c for c in self.corrections if rules.may_accept(c, finished=self.finished)
        ]

    @property
    def waits(self) -> list[Wait]:
        return list(waits_for_builder(self))


def next_date(lines: Iterable[Line], *, today: date) -> NextDate | None:
    """The earliest of our visits, inspections, ready and cover dates from today on."""
    found: list[NextDate] = []
    for line in lines:
        phase = line.phase
        if phase.planned_start and phase.work in ("planned", "working"):
            end = phase.planned_end or phase.planned_start
            if end >= today:
                on = max(phase.planned_start, today)
                found.append(NextDate(on, "visit", phase))
        for seen in line.inspections:
            if seen.state == "called_in" and seen.on >= today:
                found.append(NextDate(seen.on, "inspection", phase, seen.kind))
        if phase.ready_date and phase.work == "not_ready" and phase.ready_date >= today:
            found.append(NextDate(phase.ready_date, "ready", phase))
        if phase.cover_date and not phase.covered_on and phase.cover_date >= today:
            found.append(NextDate(phase.cover_date, "cover", phase))
    return min(found, key=lambda d: (d.on, d.phase.position), default=None)


def waits_for_builder(house: House) -> Iterable[Wait]:
    """Holds, ready parts, dates and corrections that the builder owes us."""
    for hold in house.holds:
        yield Wait("hold", hold.lot_phase, hold.text, on=hold.since)
    for line in house.lines:
        yield from _readiness(line, house.today)
        yield from _covering(line, house.today)
    for correction in house.corrections:
        if correction.owed_by == "builder" and correction.state == "open":
            yield Wait(
                "correction",
                correction.lot_phase,
                correction.text,
                correction.text_es,
                correction.due_on,
            )
    for correction in house.to_accept:
        yield Wait("accept", correction.lot_phase, correction.text, correction.text_es)


def _readiness(line: Line, today: date) -> Iterable[Wait]:
    """Only of the phase whose turn it is: what comes later cannot be ready yet."""
    phase = line.phase
    unsaid = phase.work_reason.get("parts", ())
    if phase.work not in rules.BEFORE_WORK or phase.work_reason.get("code") not in (
        "parts_unsaid",
        "no_parts",
    ):
        return
    if phase.ready_date is None:
        yield Wait("ready_date", phase)
        return
    if phase.ready_date - today > SOON:
        return
    for part in line.parts:
        if part.row.owed_by == "builder" and part.row.code in unsaid:
            row = part.row
            yield Wait("part", phase, row.name_en, row.name_es, phase.ready_date)
    if phase.ready_date <= today:
        yield Wait("ready_come", phase, on=phase.ready_date)


def _covering(line: Line, today: date) -> Iterable[Wait]:
    phase = line.phase
    if not phase.kind.conceals_en or phase.covered_on:
        return
    if phase.cover_date is None and phase.work in ("working", "done", "proven"):
        yield Wait("cover_date", phase)
    if phase.cover == "due" and not phase.gate_open:
        yield Wait("gate_shut", phase, on=phase.cover_date)
