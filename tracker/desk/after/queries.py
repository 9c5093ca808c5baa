"""What the page after final reads, in a fixed number of statements."""

from collections import Counter
from dataclasses import dataclass

from django.db.models import Count, F, Max, Prefetch, Q, QuerySet

from phases.models import Correction
from tracker.sites.models import Lot

OPEN = ~Q(corrections__state="closed")


def finished_lots() -> QuerySet[Lot]:
    """Lots whose last phase has passed, with what is open on them."""
    open_rows = Correction.objects.exclude(state="closed").filter(
        source__in=("builder_walk", "call_back")
    )
    return (
        Lot.objects.open()
        .annotate(
            passed=Count("phases", filter=Q(phases__passed_on__isnull=False)),
            all_phases=Count("phases"),
            final_on=Max("phases__passed_on"),
        )
        .filter(passed=F("all_phases"), all_phases__gt=0)
        .select_related("subdivision__builder", "plan")
        .prefetch_related(
            Prefetch("corrections", queryset=open_rows, to_attr="open_rows"),
            "phases__kind",
        )
        .order_by("closed_on", "final_on", "pk")
    )


@dataclass(frozen=True)
class Tally:
    """Call-backs of one crew, plan or item, with how many houses they come from."""

    name: str
    call_backs: int
    lots: int


def tallies() -> dict[str, list[Tally]]:
    """Call-backs by crew, plan and item, most first; one statement."""
    rows = Correction.objects.filter(source="call_back").select_related(
        "crew", "lot__plan", "item"
    )
    counts: dict[str, Counter[str]] = {"crew": Counter(), "plan": Counter()}
    counts["item"] = Counter()
    lots: dict[tuple[str, str], set[int]] = {}
    for row in rows:
        names = {
            "crew": str(row.crew or "?"),
            "plan": str(row.lot.plan or "?"),
            "item": str(row.item or "?"),
        }
        for sort, name in names.items():
            counts[sort][name] += 1
            lots.setdefault((sort, name), set()).add(row.lot_id)
    return {
        sort: [
            Tally(name, n, len(lots[sort, name])) for name, n in counter.most_common(12)
        ]
        for sort, counter in counts.items()
    }
