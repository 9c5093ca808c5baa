"""Rows of lots, loaded in a fixed number of statements and handed to the rules."""

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date, datetime
from zoneinfo import ZoneInfo

from phases import state
from phases.item_state import Entry, Need
from phases.models import (
    CheckItem,
    Correction,
    Fact,
    Hold,
    LotPhase,
    Photo,
    PhotoUse,
    ReadyPart,
)
from phases.required import KindRow, required_kinds
from tracker.sites.models import Company, InspectionKind, Lot


@dataclass
class Loaded:
    """Rows of a batch of lots, grouped for the rules."""

    lots: dict[int, Lot]
    phases: dict[int, list[LotPhase]] = field(default_factory=lambda: defaultdict(list))
    facts: dict[int, list[Fact]] = field(default_factory=lambda: defaultdict(list))
    items: dict[int, list[CheckItem]] = field(default_factory=lambda: defaultdict(list))
    entries: dict[int, list[Fact]] = field(default_factory=lambda: defaultdict(list))
    corrections: dict[int, list[Correction]] = field(
        default_factory=lambda: defaultdict(list)
    )
    held_lots: set[int] = field(default_factory=set)
    held_phases: set[int] = field(default_factory=set)
    arrived: set[str] = field(default_factory=set)
    parts: dict[int, list[str]] = field(default_factory=lambda: defaultdict(list))
    kinds: dict[int, list[KindRow]] = field(default_factory=lambda: defaultdict(list))
    warn_days: int = 3


def local_date(when: datetime, lot: Lot) -> date:
    """The day it is on the lot at a moment."""
    return when.astimezone(ZoneInfo(lot.subdivision.time_zone)).date()


def load_lots(lot_ids: list[int]) -> Loaded:
    lots = Lot.objects.filter(pk__in=lot_ids).select_related("subdivision", "plan")
    loaded = Loaded({lot.pk: lot for lot in lots}, warn_days=_warn_days())
    in_lots = {"lot__in": lot_ids}
    phases = LotPhase.objects.filter(**in_lots).select_related("kind")
    lot_of = {}
    for phase in phases.order_by("lot", "position"):
        loaded.phases[phase.lot_id].append(phase)
        lot_of[phase.pk] = phase.lot_id
    for fact in Fact.objects.filter(**in_lots).exclude(lot_phase=None).order_by("no"):
        loaded.facts[fact.lot_phase_id].append(fact)
        if fact.kind == "entry":
            loaded.entries[fact.item_id].append(fact)
    # A join would build one more lot phase for each of hundreds of items.
    for item in CheckItem.objects.filter(lot_phase__lot__in=lot_ids):
        loaded.items[lot_of[item.lot_phase_id]].append(item)
    for correction in Correction.objects.filter(**in_lots).exclude(state="closed"):
        loaded.corrections[correction.lot_id].append(correction)
    for lot_id, phase_id in Hold.objects.filter(lifted_on=None, **in_lots).values_list(
        "lot", "lot_phase"
    ):
        (loaded.held_phases if phase_id else loaded.held_lots).add(phase_id or lot_id)
    used = PhotoUse.objects.filter(**in_lots).values("photo_sha")
    loaded.arrived = set(
        Photo.objects.filter(sha256__in=used).values_list("sha256", flat=True)
    )
    for part in ReadyPart.objects.filter(is_required=True):
        loaded.parts[part.kind_id].append(part.code)
    offices = {lot.subdivision.jurisdiction_id for lot in loaded.lots.values()}
    for kind in InspectionKind.objects.filter(jurisdiction__in=offices - {None}):
        loaded.kinds[kind.jurisdiction_id].append(
            KindRow(kind.code, tuple(kind.proves), tuple(kind.applies_to))
        )
    return loaded


def _warn_days() -> int:
    return Company.get().cover_warn_days


def item_need(item: CheckItem) -> Need:
    spec = item.spec
    return Need(
        proof=item.proof,
        photos=item.photos_needed,
        unit=spec.get("unit", ""),
        least=spec.get("least"),
        most=spec.get("most"),
        advisory=spec.get("advisory", False),
    )


def entry_of(fact: Fact, lot: Lot) -> Entry:
    """An entry fact as the rules read it; facts without an op are named by number."""
    payload = fact.payload
    return Entry(
        no=fact.no,
        op=str(fact.op or fact.no),
        person=fact.by_id,
        answer=payload["answer"],
        version=payload.get("version", 1),
        on=local_date(fact.happened_at, lot),
        payload=payload,
    )


def _lot_has(lot: Lot, items: list[CheckItem]) -> set[str] | None:
    if not items:
        return None
    has = {lot.stands_on}
    for item in items:
        has.add(item.spec.get("fixture", ""))
        has.update(item.spec.get("systems", ()))
    return has - {""}


def phase_view(
    phase: LotPhase,
    lot: Lot,
    loaded: Loaded,
    today: date,
    previous: state.PhaseView | None,
) -> state.PhaseView:
    """What the answers of this lot phase depend on, from loaded rows."""
    standing = [item for item in loaded.items[lot.pk] if item.removed_at is None]
    items = [item for item in standing if item.lot_phase_id == phase.pk]
    facts = tuple(
        state.PhaseFact(f.no, f.kind, local_date(f.happened_at, lot), f.payload)
        for f in loaded.facts[phase.pk]
    )
    office = lot.subdivision.jurisdiction_id
    kinds = required_kinds(
        loaded.kinds[office] if office else (),
        phase.kind.code,
        has=_lot_has(lot, standing),
    )
    return state.PhaseView(
        today=today,
        facts=facts,
        items=tuple(
            state.ItemView(i.key, i.concealed, i.state, _proven_on(i)) for i in items
        ),
        has_list=bool(items),
        parts=tuple(loaded.parts[phase.kind_id]),
        kinds=kinds,
        previous_passed=previous is None or state.may_follow(previous, kinds),
        own_corrections=sum(
            c.is_ours and c.lot_phase_id == phase.pk for c in loaded.corrections[lot.pk]
        ),
        conceals=bool(phase.kind.conceals_en),
        warn_days=loaded.warn_days,
    )


def _proven_on(item: CheckItem) -> date | None:
    said = item.answer.get("proven_on")
    return date.fromisoformat(said) if said else None
