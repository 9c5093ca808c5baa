"""Lots with their phases and next step, in a fixed number of SQL statements."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import Q, QuerySet

from phases.models import Hold, LotPhase
from tracker.desk.glyph import leading
from tracker.desk.street.rules import Step, next_step
from tracker.people.models import Member
from tracker.sites.models import Lot, Subdivision

PHASE_COLUMNS = (
    "lot_id",
    "position",
    "word",
    "work",
    "work_reason",
    "inspection",
    "inspection_on",
    "inspection_reason",
    "cover",
    "cover_on",
    "gate_missing",
    "call_in_missing",
    "planned_start",
    "planned_end",
    "ready_date",
    "cover_date",
    "need_by",
    "open_corrections",
    "kind__code",
    "kind__name_en",
    "kind__name_es",
    "kind__glyph_part",
    "crew__name",
)
SORTS = ("place", "lot", "plan", "state", "date")


@dataclass(frozen=True)
class Row:
    lot: Lot
    phases: tuple[LotPhase, ...]
    word: str
    step: Step


def rows_of(lots: Iterable[Lot]) -> list[Row]:
    """Each lot with phases, word and next step: two statements for any number."""
    lots = list(lots)
    ids = [lot.pk for lot in lots]
    phases: dict[int, list[LotPhase]] = defaultdict(list)
    rows = LotPhase.objects.select_related("kind", "crew").only(*PHASE_COLUMNS)
    for phase in rows.filter(lot__in=ids).order_by("lot", "position"):
        phases[phase.lot_id].append(phase)
    holds: dict[int, list[Hold]] = defaultdict(list)
    for hold in Hold.objects.filter(lot__in=ids, lifted_on=None):
        holds[hold.lot_id].append(hold)
    return [_row(lot, phases[lot.pk], holds[lot.pk]) for lot in lots]


def _row(lot: Lot, phases: Sequence[LotPhase], holds: Sequence[Hold]) -> Row:
    word = leading(phase.word for phase in phases)
    return Row(lot, tuple(phases), word, next_step(phases, holds))


def street_rows(subdivision: Subdivision, member: Member) -> list[Row]:
    """Every open lot of a subdivision that the member may see, as they stand."""
    lots = (
        Lot.objects.visible_to(member)
        .open()
        .filter(subdivision=subdivision)
        .select_related("plan")
        .order_by("position", "label", "pk")
    )
    rows = rows_of(lots)
    for row in rows:
        # The name is asked for in each row; the street is the same for all.
        row.lot.subdivision = subdivision
    return rows


def find_lots(member: Member, text: str) -> QuerySet[Lot]:
    """Lots whose name, address, permit, plan, street or builder holds each word."""
    lots = (
        Lot.objects.visible_to(member)
        .open()
        .select_related("plan", "subdivision__builder")
        .order_by("subdivision__name", "position", "label", "pk")
    )
    for word in text.split()[:8]:
        lots = lots.filter(
            Q(label__iexact=word)
            | Q(address__icontains=word)
            | Q(permit_number__icontains=word)
            | Q(plan__code__icontains=word)
            | Q(subdivision__name__icontains=word)
            | Q(subdivision__builder__name__icontains=word)
        )
    return lots


def kept(rows: Iterable[Row], *, word: str, plan: str, text: str) -> list[Row]:
    """Rows that the filters leave."""
    wanted = text.casefold().split()
    return [
        row
        for row in rows
        if (not word or row.word == word)
        and (not plan or (row.lot.plan is not None and row.lot.plan.code == plan))
        and all(part in _searched(row).split() or part in _long(row) for part in wanted)
    ]


def _searched(row: Row) -> str:
    return f"lot lote {row.lot.label} {row.lot.block} {row.lot.unit}".casefold()


def _long(row: Row) -> str:
    plan = row.lot.plan.code if row.lot.plan else ""
    return f"{row.lot.address} {row.lot.permit_number} {plan}".casefold()


def sorted_rows(rows: Iterable[Row], by: str) -> list[Row]:
    """Rows in the order asked for; an unknown one leaves them as they stand."""
    keys: dict[str, Any] = {
        "lot": lambda row: _by_number(row.lot.label),
        "plan": lambda row: (row.lot.plan is None, str(row.lot.plan or "")),
        "state": lambda row: row.word,
        "date": lambda row: (row.step.on is None, row.step.on),
    }
    return sorted(rows, key=keys[by]) if by in keys else list(rows)


def _by_number(label: str) -> tuple[int, str]:
    digits = "".join(c for c in label if c.isascii() and c.isdigit())
    return (int(digits) if digits else 0, label)


@dataclass(frozen=True)
class StreetCount:
    subdivision: Subdivision
    lots: int
    words: dict[str, int]


def streets(member: Member) -> list[StreetCount]:
    """Subdivisions with how many lots stand at which word: three statements."""
    phases: dict[int, list[str]] = defaultdict(list)
    mine = Lot.objects.visible_to(member).open()
    words = LotPhase.objects.filter(lot__in=mine.values("pk"))
    for lot, word in words.order_by("lot", "position").values_list("lot", "word"):
        phases[lot].append(word)
    counts: dict[int, Counter[str]] = defaultdict(Counter)
    for lot, street in mine.values_list("pk", "subdivision"):
        counts[street][leading(phases[lot])] += 1
    rows = Subdivision.objects.select_related("builder", "jurisdiction")
    shown = rows.order_by("builder__name", "name")
    if not member.sees_all:
        shown = shown.filter(pk__in=counts)
    return [
        StreetCount(row, counts[row.pk].total(), dict(counts[row.pk].most_common()))
        for row in shown
    ]
