"""Draws are earned when their event comes, and taken back when it is taken back."""

from collections import defaultdict
from collections.abc import Collection
from datetime import date, datetime

from phases.models import Charge, DrawTerm, LotPhase
from tracker.sites.models import Lot


def terms_for(
    phase: LotPhase, terms: Collection[DrawTerm], options: Collection[int]
) -> list[DrawTerm]:
    """The terms that hold for a lot phase: one base draw, and one for each option."""
    mine = [t for t in terms if t.kind_id == phase.kind_id]
    base = [t for t in mine if t.option_id is None]
    own = [t for t in base if t.plan_id is not None and t.plan_id == phase.lot.plan_id]
    general = [t for t in base if t.plan_id is None]
    return (own or general)[:1] + [t for t in mine if t.option_id in options]


def event_date(phase: LotPhase, event: str) -> date | None:
    return {
        "pass": phase.passed_on,
        "cover": phase.covered_on,
        "closing": phase.lot.closed_on,
    }[event]


def settle_charges(lot_ids: Collection[int], *, now: datetime) -> int:
    """Earn what these lots' events earn; void or credit what they no longer do."""
    lots = Lot.objects.filter(pk__in=lot_ids).select_related("subdivision")
    by_builder: dict[int, list[DrawTerm]] = defaultdict(list)
    builders = {lot.subdivision.builder_id for lot in lots}
    for term in DrawTerm.objects.filter(builder__in=builders):
        by_builder[term.builder_id].append(term)
    options: dict[int, set[int]] = defaultdict(set)
    chosen = Lot.options.through.objects.filter(lot__in=lot_ids)
    for lot_id, option_id in chosen.values_list("lot_id", "option_id"):
        options[lot_id].add(option_id)
    standing = {
        (c.lot_phase_id, c.term_id): c
        for c in Charge.objects.filter(
            lot__in=lot_ids, sort=Charge.DRAW, voided_at=None, taken_back_at=None
        )
    }
    changed = 0
    phases = LotPhase.objects.filter(lot__in=lot_ids).select_related(
        "lot__subdivision", "kind"
    )
    for phase in phases:
        terms = by_builder[phase.lot.subdivision.builder_id]
        for term in terms_for(phase, terms, options[phase.lot_id]):
            on = event_date(phase, term.earned_on)
            charge = standing.get((phase.pk, term.pk))
            if on is not None and charge is None:
                _earn(phase, term, on, now=now)
                changed += 1
            elif on is None and charge is not None:
                _take_back(charge, now=now)
                changed += 1
    return changed


def _earn(phase: LotPhase, term: DrawTerm, on: date, *, now: datetime) -> None:
    text = phase.kind.name_en
    if term.option_id:
        text = f"{text}: {term.option}"
    Charge.objects.create(
        lot=phase.lot,
        lot_phase=phase,
        term=term,
        sort=Charge.DRAW,
        text=text,
        amount=term.amount,
        event=term.earned_on,
        earned_on=on,
        made_by="Plumbrow",
        made_at=now,
    )


def _take_back(charge: Charge, *, now: datetime) -> None:
    if charge.invoice_id is None:
        charge.voided_at = now
        charge.save(update_fields=["voided_at"])
        return
    charge.taken_back_at = now
    charge.save(update_fields=["taken_back_at"])
    Charge.objects.create(
        lot=charge.lot,
        lot_phase=charge.lot_phase,
        term=charge.term,
        sort=Charge.CREDIT,
        text=f"Credit: {charge.text}",
        amount=-charge.amount,
        event=charge.event,
        earned_on=now.date(),
        credits=charge,
        made_by="Plumbrow",
        made_at=now,
    )
