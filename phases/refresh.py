"""Derives and stores what the facts amount to. Nothing else writes those columns."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from itertools import islice
from zoneinfo import ZoneInfo

from phases import state
from phases.item_state import Entry, ItemState, Need, item_state
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
from phases.state.view import last_fact, standing_fact
from tracker.sites.models import Company, InspectionKind, Lot

BATCH = 100

ITEM_COLUMNS = ["state", "answer", "answered_version", "answered_at", "proven_by_id"]
PHASE_COLUMNS = [
    "crew_id",
    "planned_start",
    "planned_half",
    "planned_end",
    "work",
    "work_on",
    "work_reason",
    "inspection",
    "inspection_on",
    "inspection_reason",
    "cover",
    "cover_on",
    "cover_reason",
    "gate_open",
    "gate_missing",
    "call_in_missing",
    "ready_date",
    "cover_date",
    "need_by",
    "passed_on",
    "covered_on",
    "on_test",
    "items_total",
    "items_unproven",
    "open_corrections",
    "on_hold",
    "word",
]


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


def refresh_lots(lot_ids: Iterable[int], *, now: datetime) -> int:
    """Recompute items and phases of these lots; returns how many rows changed."""
    ids = iter(sorted(lot_ids))
    changed = 0
    while batch := list(islice(ids, BATCH)):
        changed += _refresh_batch(batch, now=now)
    return changed


def _refresh_batch(lot_ids: list[int], *, now: datetime) -> int:
    loaded = _load(lot_ids)
    items: list[CheckItem] = []
    phases: list[LotPhase] = []
    for lot in loaded.lots.values():
        items += [i for i in loaded.items[lot.pk] if _derive_item(i, lot, loaded)]
        previous_passed = True
        for phase in loaded.phases[lot.pk]:
            view = phase_view(phase, lot, loaded, local_date(now, lot), previous_passed)
            if _derive_phase(phase, view, loaded):
                phase.refreshed_at = now
                phases.append(phase)
            previous_passed = phase.passed_on is not None
    # Column names of foreign keys are written through their field.
    strip = {name: name.removesuffix("_id") for name in ITEM_COLUMNS + PHASE_COLUMNS}
    CheckItem.objects.bulk_update(
        items, [strip[n] for n in ITEM_COLUMNS], batch_size=100
    )
    LotPhase.objects.bulk_update(
        phases, [*(strip[n] for n in PHASE_COLUMNS), "refreshed_at"], batch_size=20
    )
    return len(items) + len(phases)


def _load(lot_ids: list[int]) -> Loaded:
    lots = Lot.objects.filter(pk__in=lot_ids).select_related("subdivision", "plan")
    loaded = Loaded({lot.pk: lot for lot in lots}, warn_days=_warn_days())
    in_lots = {"lot__in": lot_ids}
    phases = LotPhase.objects.filter(**in_lots).select_related("kind")
    for phase in phases.order_by("lot", "position"):
        loaded.phases[phase.lot_id].append(phase)
    for fact in Fact.objects.filter(**in_lots).exclude(lot_phase=None).order_by("no"):
        loaded.facts[fact.lot_phase_id].append(fact)
        if fact.kind == "entry":
            loaded.entries[fact.item_id].append(fact)
    for item in CheckItem.objects.filter(lot_phase__lot__in=lot_ids).select_related(
        "lot_phase"
    ):
        loaded.items[item.lot_phase.lot_id].append(item)
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


def _derive_item(item: CheckItem, lot: Lot, loaded: Loaded) -> bool:
    facts = loaded.entries[item.pk]
    found = item_state(
        item_need(item),
        [entry_of(fact, lot) for fact in facts],
        arrived=loaded.arrived,
        open_correction=any(
            c.item_id == item.pk and c.is_ours for c in loaded.corrections[lot.pk]
        ),
    )
    last = next((fact for fact in facts if fact.no == found.no), None)
    return _assign(
        item,
        ITEM_COLUMNS,
        [
            found.state,
            _answer(found),
            found.version,
            last.recorded_at if last else None,
            found.person if found.state == "proven" else None,
        ],
    )


def _answer(found: ItemState) -> dict[str, object]:
    answer: dict[str, object] = {
        "value": found.value,
        "off": found.off or None,
        "photos": list(found.photos) or None,
        "proven_on": found.proven_on.isoformat() if found.proven_on else None,
        "missing": list(found.missing) or None,
        "reason": found.reason or None,
    }
    return {key: value for key, value in answer.items() if value is not None}


def _lot_has(lot: Lot, items: list[CheckItem]) -> set[str] | None:
    if not items:
        return None
    has = {lot.stands_on}
    for item in items:
        has.add(item.spec.get("fixture", ""))
        has.update(item.spec.get("systems", ()))
    return has - {""}


def phase_view(
    phase: LotPhase, lot: Lot, loaded: Loaded, today: date, previous_passed: bool
) -> state.PhaseView:
    """What the answers of this lot phase depend on, from loaded rows."""
    standing = [item for item in loaded.items[lot.pk] if item.removed_at is None]
    items = [item for item in standing if item.lot_phase_id == phase.pk]
    facts = tuple(
        state.PhaseFact(f.no, f.kind, local_date(f.happened_at, lot), f.payload)
        for f in loaded.facts[phase.pk]
    )
    office = lot.subdivision.jurisdiction_id
    return state.PhaseView(
        today=today,
        facts=facts,
        items=tuple(
            state.ItemView(i.key, i.concealed, i.state, _proven_on(i)) for i in items
        ),
        has_list=bool(items),
        parts=tuple(loaded.parts[phase.kind_id]),
        kinds=required_kinds(
            loaded.kinds[office] if office else (),
            phase.kind.code,
            has=_lot_has(lot, standing),
        ),
        previous_passed=previous_passed,
        own_corrections=sum(
            c.is_ours and c.lot_phase_id == phase.pk for c in loaded.corrections[lot.pk]
        ),
        conceals=bool(phase.kind.conceals_en),
        warn_days=loaded.warn_days,
    )


def _proven_on(item: CheckItem) -> date | None:
    said = item.answer.get("proven_on")
    return date.fromisoformat(said) if said else None


def _derive_phase(phase: LotPhase, view: state.PhaseView, loaded: Loaded) -> bool:
    found = state.answers(view)
    passed = state.has_passed(view)
    on_test = state.on_test(view)
    held = phase.pk in loaded.held_phases or phase.lot_id in loaded.held_lots
    plan = standing_fact(view.facts, "planned", undone_by="unplanned")
    sent = last_fact(view.facts, "planned")
    passed_on = None
    if passed:
        passed_on = found.inspection.on or found.work.on
    covered = found.cover.state.startswith("covered")
    return _assign(
        phase,
        PHASE_COLUMNS,
        [
            sent.payload["crew"] if sent else None,
            date.fromisoformat(plan.payload["start"]) if plan else None,
            plan.payload.get("half", 0) if plan else 0,
            date.fromisoformat(plan.payload["end"]) if plan else None,
            *(found.work.state, found.work.on, found.work.reason),
            *(found.inspection.state, found.inspection.on, found.inspection.reason),
            *(found.cover.state, found.cover.on, found.cover.reason),
            found.gate.open,
            list(found.gate.missing),
            [] if found.call_in_overridden else list(found.call_in_missing),
            _date_said(view, "ready"),
            _date_said(view, "cover"),
            _date_said(view, "need_by"),
            passed_on,
            found.cover.on if covered else None,
            on_test,
            len(view.items),
            sum(item.state != "proven" for item in view.items),
            view.own_corrections,
            held,
            state.glyph_word(found, passed=passed, on_test=on_test, held=held),
        ],
    )


def _date_said(view: state.PhaseView, what: str) -> date | None:
    said = last_fact(view.facts, "date_said", what=what)
    value = said.payload.get("date") if said else None
    return date.fromisoformat(value) if value else None


def _assign(row: object, columns: Collection[str], values: Iterable[object]) -> bool:
    """Set the columns; True when one of them changed."""
    changed = False
    for name, value in zip(columns, values, strict=True):
        if getattr(row, name) != value:
            setattr(row, name, value)
            changed = True
    return changed
