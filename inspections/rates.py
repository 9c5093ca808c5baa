"""How often work passes the first time, by crew, phase, office, item; why not."""

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

from inspections.actions.results import demand_of
from inspections.first_pass import Rate, Reason, first_pass_rate, ranked
from inspections.models import Finding, InspectionResult, WalkHint
from phases.models import CheckItem, LotPhase

# The inspector could not judge the work: counted apart, by whose fault it was.
NOT_SEEN = ("not_ready", "no_access", "not_on_test")


@dataclass
class Rates:
    """First-time pass rates since a day, each table from the lowest to the highest."""

    since: date | None
    all: Rate
    crews: list[tuple[str, Rate]] = field(default_factory=list)
    phases: list[tuple[str, Rate]] = field(default_factory=list)
    offices: list[tuple[str, Rate]] = field(default_factory=list)
    items: list[tuple[str, Rate]] = field(default_factory=list)
    reasons: list[Reason] = field(default_factory=list)
    not_seen: list[tuple[str, str, int]] = field(default_factory=list)
    hints: list[WalkHint] = field(default_factory=list)


def rates(*, since: date | None = None, language: str = "en") -> Rates:
    """All tables, in five statements; phases and items in the reader's language."""
    results = InspectionResult.objects.select_related("kind__jurisdiction")
    if since is not None:
        results = results.filter(on__gte=since)
    rows = list(results)
    first = [row for row in rows if row.first_visit]
    phases = _phases(first)
    findings = list(
        Finding.objects.filter(result__in=[row.pk for row in first], owed_by="us")
        .select_related("item")
        .order_by("pk")
    )
    found = Rates(since, _rate(first))
    found.crews = _table(
        (phase.crew.name, row)
        for row in first
        for phase in phases[row.pk]
        if phase.crew is not None
    )
    found.phases = _table(
        (getattr(phase.kind, f"name_{language}"), row)
        for row in first
        for phase in phases[row.pk]
    )
    found.offices = _table((row.kind.jurisdiction.name, row) for row in first)
    found.items = _items(first, phases, findings, language)
    found.reasons = ranked(_reason(finding, language) for finding in findings)
    not_seen = Counter(
        (row.fault_of or "nobody said", row.result)
        for row in rows
        if row.result in NOT_SEEN
    )
    found.not_seen = [(who, what, n) for (who, what), n in not_seen.most_common()]
    found.hints = list(WalkHint.objects.select_related("phase_kind"))
    return found


def _rate(rows: Iterable[InspectionResult]) -> Rate:
    said = [row.result == "passed" for row in rows]
    return first_pass_rate(sum(said), len(said))


def _table(
    pairs: Iterable[tuple[str, InspectionResult]],
) -> list[tuple[str, Rate]]:
    grouped: dict[str, dict[object, InspectionResult]] = defaultdict(dict)
    for name, row in pairs:
        grouped[name][row.pk] = row
    table = [(name, _rate(rows.values())) for name, rows in grouped.items()]
    return sorted(table, key=lambda pair: (pair[1].share or 0, pair[0]))


def _phases(rows: list[InspectionResult]) -> dict[object, list[LotPhase]]:
    """The phases that each result speaks of."""
    by_lot: dict[int, list[LotPhase]] = defaultdict(list)
    lots = {row.lot_id for row in rows}
    for phase in LotPhase.objects.filter(lot__in=lots).select_related("kind", "crew"):
        by_lot[phase.lot_id].append(phase)
    return {
        row.pk: [p for p in by_lot[row.lot_id] if p.kind.code in row.kind.proves]
        for row in rows
    }


def _text(item: CheckItem, language: str) -> str:
    spec = item.spec
    return str(spec.get(f"text_{language}") or spec.get("text_en") or demand_of(item))


def _reason(finding: Finding, language: str) -> str:
    """Failures of one demand are one reason; without an item the words are."""
    if finding.item is not None:
        return _text(finding.item, language)
    return " ".join(finding.words.split()).rstrip(".")


def _items(
    rows: list[InspectionResult],
    phases: dict[object, list[LotPhase]],
    findings: list[Finding],
    language: str,
) -> list[tuple[str, Rate]]:
    """Of the first visits that saw a demand, how many had no word about it."""
    named = {finding.demand for finding in findings if finding.demand}
    if not named:
        return []
    result_of = {phase.pk: row.pk for row in rows for phase in phases[row.pk]}
    seen: dict[str, set[object]] = defaultdict(set)
    text: dict[str, str] = {}
    items = CheckItem.objects.filter(lot_phase__in=list(result_of), removed_at=None)
    for item in items.only("key", "lot_phase", "spec"):
        demand = demand_of(item)
        if demand in named:
            seen[demand].add(result_of[item.lot_phase_id])
            text[demand] = _text(item, language)
    bad: dict[str, set[object]] = defaultdict(set)
    for finding in findings:
        bad[finding.demand].add(finding.result_id)
        # What was named was seen, even if it is no longer on the list.
        seen[finding.demand].add(finding.result_id)
    table = [
        (
            text.get(demand, demand),
            first_pass_rate(len(seen[demand] - bad[demand]), len(seen[demand])),
        )
        for demand in named
    ]
    return sorted(table, key=lambda pair: (pair[1].share or 0, pair[0]))
