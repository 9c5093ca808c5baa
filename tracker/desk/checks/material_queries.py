"""What the material pages read: a plan's list, a lot's list, weeks ahead."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

from phases.catalogue import Catalogue
from phases.house_of import catalogue_now
from phases.material import Waste, brought, lines_of, percents, together, waste_by_item
from phases.models import CheckItem, LotPhase, MaterialUse, PlanOutline
from phases.plan_check import book_of, options_key, stored_piping
from phases.sizing.amendments import NoBook
from phases.sizing.materials import PHASES, Line
from phases.sizing.said import say
from tracker.desk.checks.asked import Asked
from tracker.sites.models import Lot

DONE = ("done", "proven")
WEEKS = 12


@dataclass(frozen=True)
class Listed:
    """A material list and what it comes from."""

    lines: tuple[Line, ...] = ()
    outline: PlanOutline | None = None
    book: str = ""
    problem: str = ""

    @property
    def checked(self) -> bool:
        return self.outline is not None and self.outline.is_accepted

    def phase(self, code: str) -> tuple[Line, ...]:
        return tuple(line for line in self.lines if line.phase == code)

    @property
    def phases(self) -> list[tuple[str, tuple[Line, ...]]]:
        found = [(code, self.phase(code)) for code in PHASES]
        return [(code, lines) for code, lines in found if lines]


def plan_list(ask: Asked, wastes: Mapping[str, Waste]) -> Listed:
    """The list of a plan with options, from its outline and its stub-out list."""
    piping, book = ask.piping, ask.choice.book
    if piping.outline is None:
        return Listed(problem=piping.problem)
    known = percents(wastes)
    demands = ((d.phase, d.outlet, d.kind, 1) for d in ask.file.demands(ask.codes))
    lines = together(
        lines_of(piping.outline, piping.site, book, known),
        brought(demands, ask.file.catalogue, waste=known),
    )
    return Listed(lines, ask.row, book.title)


@dataclass
class Lots:
    """Everything that the lists of some lots need, read in a fixed number of goes."""

    outlines: dict[tuple[int, str], PlanOutline]
    options: dict[int, list[str]]
    items: dict[tuple[int, str], list[tuple[str, str, str, int]]]
    catalogue: Catalogue
    wastes: dict[str, Waste]
    known: tuple[tuple[str, float], ...] = field(default=())

    def list_of(self, lot: Lot) -> Listed:
        """A lot's whole list; a problem where it has no plan, outline or book."""
        if lot.plan is None:
            return Listed(problem=say("no_plan"))
        key = options_key(self.options.get(lot.pk, ()))
        row = self.outlines.get((lot.plan_id, key))
        if row is None:
            code = "no_outline_with" if key else "no_outline"
            return Listed(problem=say(code, plan=lot.plan.code, options=key))
        try:
            book = book_of(lot.subdivision, on=lot.permit_issued_on)
            piping = stored_piping(
                row, storeys=lot.plan.storeys, foundation=lot.stands_on
            )
        except (NoBook, ValueError) as error:
            return Listed(problem=error.args[0])
        assert piping.outline is not None
        asked = [line for code in PHASES for line in self.items.get((lot.pk, code), ())]
        lines = together(
            lines_of(piping.outline, piping.site, book, self.known),
            brought(asked, self.catalogue, waste=self.known),
        )
        return Listed(lines, row, book.title)


def lots_file(lots: Iterable[Lot]) -> Lots:
    """Outlines, options, stub-out items and waste of lots (with plan, subdivision)."""
    listed = list(lots)
    pks = [lot.pk for lot in listed]
    options: dict[int, list[str]] = defaultdict(list)
    through = Lot.options.through.objects.filter(lot__in=pks)
    for pk, code in through.values_list("lot_id", "option__code"):
        options[pk].append(code)
    outlines: dict[tuple[int, str], PlanOutline] = {}
    plans = {lot.plan_id for lot in listed if lot.plan_id}
    for row in PlanOutline.objects.filter(plan__in=plans).order_by("version"):
        before = outlines.get((row.plan_id, row.options))
        # An accepted version is in force until a later one is accepted.
        if before is None or row.is_accepted or not before.is_accepted:
            outlines[row.plan_id, row.options] = row
    items: dict[tuple[int, str], list[tuple[str, str, str, int]]] = defaultdict(list)
    asked = CheckItem.objects.filter(
        lot_phase__lot__in=pks, removed_at=None, spec__outlet__in=("set", "sleeve")
    ).values_list("lot_phase__lot", "lot_phase__kind__code", "spec")
    for pk, code, spec in asked:
        items[pk, code].append((code, spec["outlet"], spec["kind"], 1))
    wastes = waste_by_item()
    return Lots(
        outlines, options, items, catalogue_now(), wastes, known=percents(wastes)
    )


def used_on(lot: Lot) -> dict[tuple[str, str, str, str], MaterialUse]:
    """The latest use of each item that was written down, by phase, item, size, unit."""
    rows = MaterialUse.objects.filter(lot_phase__lot=lot).select_related(
        "lot_phase__kind", "entered_by"
    )
    return {
        (row.lot_phase.kind.code, row.item, row.size, row.unit): row
        for row in rows.order_by("pk")
    }


@dataclass
class Week:
    """What a week's phases need: quantity by item, size, unit, and the lots."""

    monday: date
    items: dict[tuple[str, str, str], float]
    phases: list[LotPhase]
    guesses: int = 0


@dataclass
class Ahead:
    """Weeks ahead, and the phases that no list could be made for."""

    weeks: list[Week]
    left_out: list[tuple[LotPhase, str]]


def day_of(phase: LotPhase) -> date | None:
    """When its material is needed: the plan's start, else the builder's ready date."""
    return phase.planned_start or phase.ready_date


def weeks_ahead(*, today: date, weeks: int = WEEKS) -> Ahead:
    """Material by the week in which phases start; what is late counts this week."""
    monday = today - timedelta(days=today.weekday())
    phases = [
        phase
        for phase in LotPhase.objects.of_open_lots()
        .exclude(work__in=(*DONE, "working"))
        .select_related("lot__subdivision__jurisdiction", "lot__plan", "kind")
        .order_by("planned_start", "ready_date", "pk")
        if (day := day_of(phase)) and day < monday + timedelta(weeks=weeks)
    ]
    file = lots_file({phase.lot_id: phase.lot for phase in phases}.values())
    lists = {phase.lot_id: file.list_of(phase.lot) for phase in phases}
    found: dict[date, Week] = {}
    left_out = []
    for phase in phases:
        listed = lists[phase.lot_id]
        if listed.problem:
            left_out.append((phase, listed.problem))
            continue
        day = max(day_of(phase) or today, today)
        start = day - timedelta(days=day.weekday())
        week = found.setdefault(start, Week(start, defaultdict(float), []))
        week.phases.append(phase)
        week.guesses += not listed.checked
        for line in listed.phase(phase.kind.code):
            week.items[line.item, line.size, line.unit] += line.quantity
    for week in found.values():
        week.items = dict(sorted(week.items.items()))
    return Ahead([found[start] for start in sorted(found)], left_out)
