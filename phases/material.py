"""Material of a plan or a lot: outline and stub-out list, with waste that learns."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from django.db.models import Max

from phases.catalogue import Catalogue
from phases.models import MaterialUse, MaterialWaste
from phases.sizing.materials import (
    FITTING_WASTE,
    PHASES,
    PIPE_WASTE,
    Line,
    Tally,
    learned_waste,
)
from phases.sizing.outline import Outline
from phases.sizing.outline.site import Site
from phases.sizing.tables import Book
from phases.sizing.takeoff import material_list

# Outlets of the stub-out list that are a thing of their own to bring.
BROUGHT = {
    "set": "one for each that the stub-out list sets",
    "sleeve": "one for each sleeve of the stub-out list",
}


@dataclass(frozen=True)
class Waste:
    """Waste of one item: set by the office, else learned from lots, else usual."""

    item: str
    percent: float
    source: str
    lots: int = 0
    learned: float | None = None


def waste_by_item() -> dict[str, Waste]:
    """Every item with a waste of its own; three statements."""
    latest = MaterialUse.objects.values("lot_phase", "item", "size", "unit").annotate(
        last=Max("pk")
    )
    rows = MaterialUse.objects.filter(pk__in=latest.values("last")).order_by("pk")
    used: dict[str, list[tuple[float, float]]] = defaultdict(list)
    lots: dict[str, set[int]] = defaultdict(set)
    units: dict[str, str] = {}
    for row in rows:
        used[row.item].append((row.net, row.used))
        lots[row.item].add(row.lot_phase_id)
        units[row.item] = row.unit
    found = {}
    for item, pairs in used.items():
        default = PIPE_WASTE if units[item] == "ft" else FITTING_WASTE
        learned = learned_waste(pairs, default=default)
        known = len(pairs) >= 3
        found[item] = Waste(
            item,
            learned,
            "learned" if known else "usual",
            len(lots[item]),
            learned if known else None,
        )
    for row in MaterialWaste.objects.all():
        before = found.get(row.item, Waste(row.item, 0, "set"))
        found[row.item] = replace(before, percent=float(row.percent), source="set")
    return found


def percents(wastes: Mapping[str, Waste]) -> tuple[tuple[str, float], ...]:
    """What the take-off takes: per cent of every item that is not at the usual."""
    return tuple(
        sorted((w.item, w.percent) for w in wastes.values() if w.source != "usual")
    )


@lru_cache(maxsize=512)
def lines_of(
    outline: Outline, site: Site, book: Book, waste: tuple[tuple[str, float], ...]
) -> tuple[Line, ...]:
    """The take-off of an outline; kept by content."""
    return material_list(outline, book=book, site=site, waste=dict(waste))


def brought(
    demands: Iterable[tuple[str, str, str, int]],
    catalogue: Catalogue,
    *,
    waste: Iterable[tuple[str, float]] = (),
) -> tuple[Line, ...]:
    """Fixtures to set and sleeves, from (phase, outlet, kind, quantity) of a list."""
    tally = Tally(dict(waste))
    for phase, outlet, kind, quantity in demands:
        if outlet not in BROUGHT or phase not in PHASES:
            continue
        known = catalogue.kinds.get(kind)
        if outlet == "set" and known and known.implied_room:
            continue  # the house's own pipes: nothing to carry in
        name = known.name_en if known else kind
        item = name if outlet == "set" else f"sleeve, {name}"
        tally.add(
            phase,
            item,
            "",
            max(quantity, 1),
            "pc",
            rule=BROUGHT[outlet],
            of="stub-out list lines",
        )
    return tally.lines()


def together(*lists: Iterable[Line]) -> tuple[Line, ...]:
    """Several lists as one, in order of phase and item."""
    lines = [line for listed in lists for line in listed]
    return tuple(
        sorted(lines, key=lambda line: (PHASES.index(line.phase), line.item, line.size))
    )
