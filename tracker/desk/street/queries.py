"""Lots with their phases and next step, in a fixed number of SQL statements."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from django.core.paginator import Page, Paginator
from django.db.models import Q, QuerySet

from phases.models import Hold, LotPhase
from tracker.desk.glyph import leading, zones_of
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
LOT_COLUMNS = (
    *("subdivision_id", "label", "block", "unit", "address", "permit_number"),
    *("mirrored", "position", "plan__code", "plan__name"),
)
PAGE = 200


@dataclass(frozen=True)
class House:
    """A lot as its drawing shows it: a word a zone, and the one word of all."""

    lot: Lot
    zones: dict[str, str]
    word: str


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


def street_houses(subdivision: Subdivision, member: Member) -> list[House]:
    """Every open lot of a subdivision that the member may see, as they stand.

    Two statements, and no more of a phase than its drawing needs: what a lot does
    next is read for the rows of one page alone.
    """
    lots = list(
        Lot.objects.visible_to(member)
        .open()
        .filter(subdivision=subdivision)
        .select_related("plan")
        .only(*LOT_COLUMNS)
        .order_by("position", "label", "pk")
    )
    words: dict[int, list[tuple[str, str]]] = defaultdict(list)
    phases = LotPhase.objects.filter(lot__subdivision=subdivision)
    for lot_id, *said in phases.order_by("lot", "position").values_list(
        "lot", "kind__glyph_part", "word"
    ):
        words[lot_id].append(tuple(said))
    for lot in lots:
        # The name is asked for in each row; the street is the same for all.
        lot.subdivision = subdivision
    return [
        House(
            lot,
            _zones_once(tuple(words[lot.pk])),
            leading(word for _, word in words[lot.pk]),
        )
        for lot in lots
    ]


@lru_cache(maxsize=4096)
def _zones_once(words: tuple[tuple[str, str], ...]) -> dict[str, str]:
    return zones_of(words)


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


def kept(houses: Iterable[House], *, word: str, plan: str, text: str) -> list[House]:
    """Houses that the filters leave."""
    wanted = text.casefold().split()
    return [
        one
        for one in houses
        if (not word or one.word == word)
        and (not plan or (one.lot.plan is not None and one.lot.plan.code == plan))
        and all(part in _searched(one).split() or part in _long(one) for part in wanted)
    ]


def _searched(house: House) -> str:
    lot = house.lot
    return f"lot lote {lot.label} {lot.block} {lot.unit}".casefold()


def _long(house: House) -> str:
    lot = house.lot
    plan = lot.plan.code if lot.plan else ""
    return f"{lot.address} {lot.permit_number} {plan}".casefold()


def sorted_houses(houses: Iterable[House], by: str) -> list[House]:
    """In the order asked for; an unknown one leaves them as they stand."""
    keys: dict[str, Any] = {
        "lot": lambda one: _by_number(one.lot.label),
        "plan": lambda one: (one.lot.plan is None, str(one.lot.plan or "")),
        "state": lambda one: one.word,
    }
    return sorted(houses, key=keys[by]) if by in keys else list(houses)


def sorted_rows(rows: Iterable[Row]) -> list[Row]:
    """By the next date; lots without one come last."""
    return sorted(rows, key=lambda row: (row.step.on is None, row.step.on))


@dataclass(frozen=True)
class Shown:
    """One page of the rows of a street."""

    rows: list[Row]
    page: Page


def shown_rows(houses: Sequence[House], *, sort: str, page: str) -> Shown:
    """The rows of one page; `page` "all" is every row on one, for printing.

    By the next date every row has to be worked out; in any other order only those
    of the page.
    """
    size = max(1, len(houses)) if page == "all" else PAGE
    if sort == "date":
        ordered: Sequence[Any] = sorted_rows(rows_of(house.lot for house in houses))
    else:
        ordered = sorted_houses(houses, sort)
    part = Paginator(ordered, size).get_page(page)
    found = list(part.object_list)
    rows = found if sort == "date" else rows_of(house.lot for house in found)
    return Shown(rows, part)


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
