"""What a change of the catalogue would touch, counted before it is saved."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from phases.actions.items import is_late, spec_of
from phases.catalogue import Catalogue, Demand, stub_out_list
from phases.house_of import catalogue_now, house_of, plan_of
from phases.models import CheckItem, Fact, LotPhase
from tracker.sites.models import Lot

BATCH = 500


@dataclass(frozen=True)
class Touched:
    """Open lots and items that follow, and answered or done ones that stay."""

    lots: int = 0
    items: int = 0
    stay: int = 0


@dataclass(frozen=True)
class _Change:
    """What changes for houses of one kind: keys of demands, and phases of new ones."""

    keys: frozenset[str]
    new: dict[str, str]


def touched_by(catalogue: Catalogue) -> Touched:
    """Compare the lists of all open lots under this catalogue with those of now."""
    changes = dict(_changes(catalogue))
    lots = items = stay = 0
    pks = sorted(changes)
    for start in range(0, len(pks), BATCH):
        counted = _count({pk: changes[pk] for pk in pks[start : start + BATCH]})
        lots, items, stay = lots + counted[0], items + counted[1], stay + counted[2]
    return Touched(lots, items, stay)


def lots_touched(catalogue: Catalogue) -> list[int]:
    """The open lots whose lists change under this catalogue."""
    return sorted(pk for pk, _ in _changes(catalogue))


def _changes(catalogue: Catalogue) -> Iterator[tuple[int, _Change]]:
    now = catalogue_now()
    lots = (
        Lot.objects.open()
        .exclude(plan=None)
        .select_related("subdivision", "plan")
        .prefetch_related("options")
    )
    plans: dict[int, tuple] = {}  # type: ignore[type-arg]
    known: dict[tuple[object, ...], _Change] = {}
    for lot in lots:
        codes = tuple(option.code for option in lot.options.all())
        book = lot.subdivision.code_book
        sort = (lot.plan_id, codes, lot.mirrored, lot.stands_on, book)
        if sort not in known:
            if lot.plan_id not in plans:
                plans[lot.plan_id] = plan_of(lot.plan)
            house = house_of(lot, *plans[lot.plan_id], codes)
            known[sort] = _difference(
                stub_out_list(house, now), stub_out_list(house, catalogue)
            )
        if known[sort].keys:
            yield lot.pk, known[sort]


def _difference(old: tuple[Demand, ...], new: tuple[Demand, ...]) -> _Change:
    before = {demand.key: spec_of(demand) for demand in old}
    after = {demand.key: spec_of(demand) for demand in new}
    keys = {k for k in before | after if before.get(k) != after.get(k)}
    return _Change(
        frozenset(keys),
        {demand.key: demand.phase for demand in new if demand.key not in before},
    )


def _count(changes: dict[int, _Change]) -> tuple[int, int, int]:
    phases: dict[int, dict[str, LotPhase]] = defaultdict(dict)
    for phase in LotPhase.objects.filter(lot__in=changes).select_related("kind"):
        phases[phase.lot_id][phase.kind.code] = phase
    answered = set(
        Fact.objects.filter(kind="entry", lot__in=changes).values_list(
            "item", flat=True
        )
    )
    follow: dict[int, int] = defaultdict(int)
    stay = 0
    every = frozenset().union(*(change.keys for change in changes.values()))
    items = CheckItem.objects.filter(
        lot_phase__lot__in=changes, removed_at=None, key__in=every
    ).select_related("lot_phase")
    for item in items.defer("spec"):
        lot = item.lot_phase.lot_id
        if item.key not in changes[lot].keys:
            continue
        if item.pk in answered or is_late(item.lot_phase):
            stay += 1
        else:
            follow[lot] += 1
    for lot, change in changes.items():
        for code in change.new.values():
            phase = phases[lot].get(code)
            if phase is not None and not is_late(phase):
                follow[lot] += 1
    return len(follow), sum(follow.values()), stay
