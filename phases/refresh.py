"""Derives and stores what the facts amount to. Nothing else writes those columns."""

from collections.abc import Collection, Iterable
from datetime import date, datetime
from itertools import islice
from typing import Any

from django.db import connection
from django.db.models import Model

from phases import state
from phases.earning import settle_charges
from phases.item_state import ItemState, item_state
from phases.loaded import (
    Loaded,
    entry_of,
    item_need,
    load_lots,
    local_date,
    phase_view,
)
from phases.models import CheckItem, LotPhase
from phases.state.view import last_fact, standing_fact
from tracker.sites.models import Lot

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


def refresh_lots(lot_ids: Iterable[int], *, now: datetime) -> int:
    """Recompute items and phases of these lots; returns how many rows changed.

    Where a pass or a cover came or went, the draws that it earns are settled.
    """
    ids = iter(sorted(lot_ids))
    changed = 0
    while batch := list(islice(ids, BATCH)):
        changed += _refresh_batch(batch, now=now)
    return changed


def _refresh_batch(lot_ids: list[int], *, now: datetime) -> int:
    loaded = load_lots(lot_ids)
    items: list[CheckItem] = []
    phases: list[LotPhase] = []
    earning: set[int] = set()
    for lot in loaded.lots.values():
        items += [i for i in loaded.items[lot.pk] if _derive_item(i, lot, loaded)]
        previous = None
        for phase in loaded.phases[lot.pk]:
            view = phase_view(phase, lot, loaded, local_date(now, lot), previous)
            before = (phase.passed_on, phase.covered_on)
            if _derive_phase(phase, view, loaded):
                phase.refreshed_at = now
                phases.append(phase)
            if before != (phase.passed_on, phase.covered_on):
                earning.add(lot.pk)
            previous = view
    _store(CheckItem, items, ITEM_COLUMNS)
    _store(LotPhase, phases, [*PHASE_COLUMNS, "refreshed_at"])
    if earning:
        settle_charges(earning, now=now)
    return len(items) + len(phases)


def _store(model: type[Model], rows: list[Any], columns: list[str]) -> None:
    """Write the derived columns of rows that exist, and no other, in one statement.

    Django's bulk_update builds a CASE a cell, and an upsert writes each row whole, with
    all that an item asks for: both take most of the time of a refresh.
    """
    if not rows:
        return
    meta, quote = model._meta, connection.ops.quote_name
    fields = [meta.get_field(name.removesuffix("_id")) for name in columns]
    cells = ", ".join(f"{quote(field.column)} = %s" for field in fields)
    key = quote(meta.pk.column)
    values = [
        [
            *(f.get_db_prep_save(getattr(row, f.attname), connection) for f in fields),
            row.pk,
        ]
        for row in rows
    ]
    with connection.cursor() as cursor:
        # Names of our own columns, quoted; every value is a parameter.
        cursor.executemany(
            f"UPDATE {quote(meta.db_table)} SET {cells} WHERE {key} = %s",  # noqa: S608
            values,
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
    # The due date of one part of readiness is not the day of the whole phase.
    whole = [fact for fact in view.facts if not fact.payload.get("part")]
    said = last_fact(whole, "date_said", what=what)
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
