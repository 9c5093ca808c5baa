"""Everything about one house, in a fixed number of SQL statements."""

from collections import defaultdict
from dataclasses import dataclass, field
from types import SimpleNamespace
from typing import Any

from inspections.models import InspectionRequest, InspectionResult
from phases.catalogue import Catalogue
from phases.catalogue.demand import Target
from phases.catalogue.words import say_reading, say_target, say_tolerance
from phases.house_of import catalogue_now
from phases.models import CheckItem, Correction, Fact, Hold, LotPhase, ReadyPart
from tracker.desk.lot.rooms import RoomItems, by_room
from tracker.desk.street.rules import current_phase
from tracker.sites.models import BuilderDate, InspectionKind, Lot

LAST_FACTS = 25


@dataclass(frozen=True)
class PartSaid:
    """A part of readiness and the latest word on it."""

    part: ReadyPart
    ready: bool
    fact: Fact | None
    due: BuilderDate | None = None


@dataclass(frozen=True)
class PhasePanel:
    phase: LotPhase
    parts: tuple[PartSaid, ...]
    dates: dict[str, BuilderDate]

    @property
    def items_proven(self) -> int:
        return self.phase.items_total - self.phase.items_unproven


@dataclass
class House:
    """A lot as its page shows it."""

    lot: Lot
    phases: list[PhasePanel] = field(default_factory=list)
    rooms: list[RoomItems] = field(default_factory=list)
    holds: list[Hold] = field(default_factory=list)
    corrections: list[Correction] = field(default_factory=list)
    dates: list[BuilderDate] = field(default_factory=list)
    kinds: list[InspectionKind] = field(default_factory=list)
    requests: list[InspectionRequest] = field(default_factory=list)
    results: list[InspectionResult] = field(default_factory=list)
    facts: list[Fact] = field(default_factory=list)
    shown_phase: str = "all"

    @property
    def lot_phases(self) -> list[LotPhase]:
        return [panel.phase for panel in self.phases]


def house(lot: Lot, *, phase: str = "", show: str = "") -> House:
    """Read a lot. `phase` is the code of the phase whose items are listed, or "all";
    empty: the one that needs looking at. `show` is "open" for unproven items only."""
    read = House(lot)
    read.dates = list(lot.dates.order_by("-fact_no"))
    read.phases = _panels(lot, read.dates)
    read.shown_phase = phase or _current(read.lot_phases)
    items = CheckItem.objects.filter(lot_phase__lot=lot, removed_at=None)
    if read.shown_phase != "all":
        items = items.filter(lot_phase__kind__code=read.shown_phase)
    if show == "open":
        items = items.exclude(state=CheckItem.PROVEN)
    read.rooms = by_room(
        items.select_related("lot_phase__kind", "proven_by").order_by(
            "walk_order", "lot_phase__position", "key"
        )
    )
    read.holds = list(lot.holds.select_related("lot_phase__kind").order_by("-since"))
    read.corrections = list(
        lot.corrections.select_related("lot_phase__kind", "crew").order_by(
            "closed_at", "due_on", "opened_at"
        )
    )
    if lot.subdivision.jurisdiction_id:
        read.kinds = list(
            InspectionKind.objects.filter(jurisdiction=lot.subdivision.jurisdiction_id)
        )
    read.requests = list(
        lot.inspections.waiting().select_related("kind").order_by("for_date")
    )
    read.results = list(
        lot.results.select_related("kind").order_by("-on", "-recorded_at")
    )
    read.facts = list(facts_of(lot)[:LAST_FACTS])
    return read


def _current(phases: list[LotPhase]) -> str:
    phase = current_phase(phases)
    return phase.kind.code if phase else "all"


def facts_of(lot: Lot) -> Any:
    """What happened on a lot, the latest first."""
    return lot.facts.select_related(
        "by", "superintendent", "device", "item", "lot_phase__kind"
    ).order_by("-no")


def _panels(lot: Lot, dates: list[BuilderDate]) -> list[PhasePanel]:
    phases = list(
        lot.phases.select_related("kind", "crew")
        .prefetch_related("helper_rows__crew", "kind__parts")
        .order_by("position")
    )
    said: dict[tuple[int | None, str], Fact] = {}
    for fact in lot.facts.filter(kind="part_said").select_related(
        "by", "superintendent"
    ):
        said[fact.lot_phase_id, fact.payload["part"]] = fact
    latest: dict[str, dict[str, BuilderDate]] = defaultdict(dict)
    due: dict[tuple[str, str], BuilderDate] = {}
    for row in reversed(dates):
        if row.part:
            due[row.phase, row.part] = row
        else:
            latest[row.phase][row.what] = row
    return [
        PhasePanel(
            phase,
            tuple(
                _part(
                    part,
                    said.get((phase.pk, part.code)),
                    due.get((phase.kind.code, part.code)),
                )
                for part in _of(phase)
            ),
            latest[phase.kind.code],
        )
        for phase in phases
    ]


def _of(phase: LotPhase) -> list[ReadyPart]:
    return sorted(phase.kind.parts.all(), key=lambda part: part.position)


def _part(part: ReadyPart, fact: Fact | None, due: BuilderDate | None) -> PartSaid:
    return PartSaid(part, bool(fact and fact.payload.get("ready")), fact, due)


# What the limits of a reading that is no target are said from.
READING = ("measure", "unit", "least", "most", "minutes")
_TARGET_FIELDS = tuple(Target.__dataclass_fields__)


def targets_of(item: CheckItem, language: str, catalogue: Catalogue) -> list[str]:
    """Where the item belongs, from bare framing, with the tolerance at the end."""
    targets = [
        Target(**{name: row[name] for name in _TARGET_FIELDS if name in row})
        for row in item.spec.get("targets", ())
    ]
    said = [say_target(one, catalogue, language=language) for one in targets]
    if targets:
        said.append(say_tolerance(targets[0]))
        return said
    asked = {name: item.spec.get(name) for name in READING}
    limits = asked["least"] is not None or asked["most"] is not None
    if limits and asked["measure"]:
        reading = SimpleNamespace(**asked)
        said.append(say_reading(reading, catalogue, language=language))
    return said


def put_targets_in_words(rooms: list[RoomItems], language: str) -> None:
    """Give each item its targets as text; the catalogue is read once."""
    catalogue = catalogue_now()
    for room in rooms:
        for line in room.items:
            line.targets = targets_of(line.item, language, catalogue)
