"""A lot as the phone keeps it: rooms, items, answers, corrections, sheets, words.

Everything is read for all lots at once, in a fixed number of SQL statements.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from inspections.actions.results import demand_of
from inspections.models import PipeTest, WalkHint
from inspections.rules import SYSTEMS
from phases.house_of import catalogue_now
from phases.models import (
    CheckItem,
    Correction,
    Fact,
    Hold,
    LotPhase,
    Photo,
    PhotoUse,
)
from phases.names import names
from tracker.people.models import Member
from tracker.phone.around_docs import (
    correction_doc,
    hold_doc,
    sheet_docs,
    test_doc,
)
from tracker.phone.item_docs import item_doc
from tracker.phone.my_lots import phases_for
from tracker.sites.models import DrawingSheet, InspectionKind, Lot
from tracker.words import say

Doc = dict[str, Any]
DONE = ("done", "proven")


@dataclass
class Read:
    """Rows of the asked lots, by lot."""

    member: Member
    phases: dict[int, list[LotPhase]] = field(default_factory=lambda: defaultdict(list))
    items: dict[int, list[CheckItem]] = field(default_factory=lambda: defaultdict(list))
    answers: dict[int, list[Fact]] = field(default_factory=lambda: defaultdict(list))
    walked: dict[int, Fact] = field(default_factory=dict)
    corrections: dict[int, list[Correction]] = field(
        default_factory=lambda: defaultdict(list)
    )
    holds: dict[int, list[Hold]] = field(default_factory=lambda: defaultdict(list))
    sheets: dict[int, list[DrawingSheet]] = field(
        default_factory=lambda: defaultdict(list)
    )
    kinds: dict[int, list[InspectionKind]] = field(
        default_factory=lambda: defaultdict(list)
    )
    tests: dict[int, list[PipeTest]] = field(default_factory=lambda: defaultdict(list))
    hints: set[tuple[int, str]] = field(default_factory=set)
    pictured: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))
    ours: set[int] = field(default_factory=set)
    photos: set[str] = field(default_factory=set)
    words: dict[str, dict[str, str]] = field(default_factory=dict)


def lot_docs(lot_ids: Iterable[int], *, member: Member, today: date) -> list[Doc]:
    """The lots as JSON, in the order asked; ids the member may not see are left out."""
    ids = list(lot_ids)
    lots = {
        lot.pk: lot
        for lot in Lot.objects.visible_to(member)
        .filter(pk__in=ids)
        .select_related("subdivision", "plan")
        .prefetch_related("options")
    }
    read = _read(lots, member=member, today=today)
    catalogue = catalogue_now()
    return [_lot(lots[pk], read, catalogue, today) for pk in ids if pk in lots]


def _read(lots: dict[int, Lot], *, member: Member, today: date) -> Read:
    read = Read(member)
    inside = {"lot__in": lots}
    for phase in LotPhase.objects.filter(**inside).select_related("kind"):
        read.phases[phase.lot_id].append(phase)
    mine = phases_for(member, today=today).filter(**inside)
    read.ours = set(mine.values_list("pk", flat=True))
    shown = CheckItem.objects.filter(lot_phase__in=read.ours, removed_at=None)
    for item in shown.select_related("lot_phase__kind").order_by(
        "lot_phase__position", "walk_order", "key"
    ):
        read.items[item.lot_phase.lot_id].append(item)
    facts = Fact.objects.filter(
        kind__in=("entry", "walked", "correction_opened"), **inside
    ).select_related("by")
    for fact in facts.order_by("no"):
        if fact.kind == "entry":
            read.answers[fact.item_id].append(fact)
        elif fact.item_id and fact.payload.get("source", "walk") == "walk":
            read.walked[fact.item_id] = fact
    for correction in Correction.objects.filter(**inside).exclude(state="closed"):
        read.corrections[correction.lot_id].append(correction)
    for hold in Hold.objects.filter(lifted_on=None, **inside):
        read.holds[hold.lot_id].append(hold)
    _read_pipe_and_hints(read)
    _read_around(read, lots)
    return read


def _read_pipe_and_hints(read: Read) -> None:
    """Tests that are up, and what inspectors failed before and the walk begins with."""
    up = PipeTest.objects.filter(lot_phase__in=read.ours, is_up=True)
    for test in up.order_by("put_up_at"):
        read.tests[test.lot_phase_id].append(test)
    taken = WalkHint.objects.filter(state=WalkHint.TAKEN)
    read.hints = set(taken.values_list("phase_kind_id", "demand"))


def _read_around(read: Read, lots: dict[int, Lot]) -> None:
    plans = {lot.plan_id for lot in lots.values()} - {None}
    for sheet in DrawingSheet.objects.filter(plan__in=plans):
        read.sheets[sheet.plan_id].append(sheet)
    offices = {lot.subdivision.jurisdiction_id for lot in lots.values()} - {None}
    for kind in InspectionKind.objects.filter(jurisdiction__in=offices):
        read.kinds[kind.jurisdiction_id].append(kind)
    uses = PhotoUse.objects.filter(lot__in=lots, correction__isnull=False)
    for correction, sha in uses.values_list("correction", "photo_sha"):
        read.pictured[str(correction)].append(sha)
    shas = {sha for taken in read.pictured.values() for sha in taken} | {
        sha
        for items in read.items.values()
        for item in items
        for sha in item.answer.get("photos", ())
    }
    read.photos = set(
        Photo.objects.filter(pk__in=shas).values_list("sha256", flat=True)
    )
    read.words = {language: names(language) for language in ("en", "es")}


def _lot(lot: Lot, read: Read, catalogue: Any, today: date) -> Doc:
    ours = [phase for phase in read.phases[lot.pk] if phase.pk in read.ours]
    # Work that is done waits for a test, an inspection or a correction: it has no day.
    days = [p.planned_start for p in ours if p.planned_start and p.work not in DONE]
    return {
        "id": lot.pk,
        "name": lot.name,
        "name_es": lot.name_es,
        "subdivision": lot.subdivision.name,
        "address": lot.address,
        "plan": lot.plan.code if lot.plan else "",
        "mirrored": lot.mirrored,
        "gate_code": lot.gate_code,
        "key_note": lot.key_note,
        "day": max(min(days), today).isoformat() if days else None,
        "phases": [_phase(phase, lot, read) for phase in ours],
        "rooms": _rooms(lot, read, catalogue),
        "corrections": [
            correction_doc(one, taken=read.pictured[str(one.pk)], arrived=read.photos)
            for one in read.corrections[lot.pk]
        ],
        "holds": [hold_doc(hold) for hold in read.holds[lot.pk]],
        "sheets": sheet_docs(
            lot, read.sheets.get(lot.plan_id or 0, []), read.phases[lot.pk]
        ),
    }


def _phase(phase: LotPhase, lot: Lot, read: Read) -> Doc:
    kinds = read.kinds.get(lot.subdivision.jurisdiction_id or 0, [])
    return {
        "id": phase.pk,
        "code": phase.kind.code,
        "name": {"en": phase.kind.name_en, "es": phase.kind.name_es},
        "ours": True,
        "work": phase.work,
        "inspection": phase.inspection,
        "cover": phase.cover,
        "words": {
            language: say(phase.work_reason, language, read.words[language])
            for language in ("en", "es")
        },
        "on_test": phase.on_test,
        "tests": [test_doc(one) for one in read.tests[phase.pk]],
        "planned_start": phase.planned_start.isoformat()
        if phase.planned_start
        else None,
        "inspections": [
            {
                "code": kind.code,
                "name": {"en": kind.name_en, "es": kind.name_es},
                "systems": [one for one in kind.on_test if one in SYSTEMS],
            }
            for kind in kinds
            if phase.kind.code in kind.proves
        ],
    }


def _rooms(lot: Lot, read: Read, catalogue: Any) -> list[Doc]:
    """Rooms in walk order, each with its items."""
    rooms: dict[str, Doc] = {}
    for item in sorted(read.items[lot.pk], key=lambda one: one.walk_order):
        spec = item.spec
        room = rooms.setdefault(
            item.room_key,
            {
                "key": item.room_key,
                "name": {
                    "en": spec.get("room_en") or "Whole house",
                    "es": spec.get("room_es") or "Toda la casa",
                },
                "items": [],
            },
        )
        room["items"].append(
            item_doc(
                item,
                answers=read.answers[item.pk],
                walked=read.walked.get(item.pk),
                photos=read.photos,
                member=read.member,
                catalogue=catalogue,
                look_first=(item.lot_phase.kind_id, demand_of(item)) in read.hints,
            )
        )
    return list(rooms.values())
