"""All rows the problem is made of, read in a fixed number of statements."""

from collections import Counter, defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from zoneinfo import ZoneInfo

from inspections.standing import LotStanding, standings
from phases.models import Fact, LotPhase, PhaseKind
from tracker.people.models import Crew
from tracker.planning.core.problem import PHASES
from tracker.planning.models import ExtraDay, Pin, PlanningRules, RainDay
from tracker.sites.models import Company, Lot, Subdivision

from .calendar import Calendar
from .history import Learned, learn

WORKED = ("working", "done", "proven")


@dataclass
class Rows:
    now: datetime
    calendar: Calendar
    rules: PlanningRules
    kinds: list[PhaseKind]
    slots: dict[str, str]
    standings: list[LotStanding]
    crews: list[Crew]
    places: list[Subdivision]
    pins: list[Pin]
    rain: set[date]
    learned: Learned
    last_at: dict[int, int] = field(default_factory=dict)
    begun: dict[int, list[Fact]] = field(default_factory=lambda: defaultdict(list))
    overtime: Counter[int] = field(default_factory=Counter)
    said: dict[int, dict[str, Fact]] = field(default_factory=lambda: defaultdict(dict))

    def quarters(self, own: Mapping[str, int], code: str) -> int:
        """Quarters a phase takes by its plan, else by its kind."""
        kind = next(kind for kind in self.kinds if kind.code == code)
        return int(own.get(code) or kind.crew_quarters or 1)

    def local(self, moment: datetime, lot: Lot) -> datetime:
        return moment.astimezone(ZoneInfo(lot.subdivision.time_zone))


def slots_of(kinds: list[PhaseKind]) -> dict[str, str]:
    """Our phase codes to the four of the format, in the order of the work.

    A contractor with other phases gets the format's keys by position; a fifth phase has
    none and is left out of plans, which the page says.
    """
    codes = [kind.code for kind in sorted(kinds, key=lambda kind: kind.position)]
    if set(codes) <= set(PHASES):
        return {code: code for code in codes}
    return dict(zip(codes, PHASES, strict=False))


def load_rows(*, now: datetime) -> Rows:
    company = Company.get()
    kinds = list(PhaseKind.objects.all())
    slots = slots_of(kinds)
    unfinished = LotPhase.objects.filter(passed_on=None, covered_on=None)
    lots = Lot.objects.open().filter(pk__in=unfinished.values("lot"), closed_on=None)
    rows = Rows(
        now=now,
        calendar=Calendar.at(now.astimezone(ZoneInfo(company.time_zone))),
        rules=PlanningRules.get(),
        kinds=kinds,
        slots=slots,
        standings=[],
        crews=list(
            Crew.objects.filter(is_active=True)
            .prefetch_related("days_off")
            .select_related("home")
        ),
        places=list(
            Subdivision.objects.select_related("jurisdiction", "builder").order_by("pk")
        ),
        pins=list(
            Pin.objects.filter(lifted_at=None).select_related("lot_phase", "crew")
        ),
        rain=set(
            RainDay.objects.filter(taken_back_at=None).values_list("day", flat=True)
        ),
        learned=Learned(),
    )
    rows.learned = learn(slots, rows.quarters, now=now)
    rows.standings = standings(list(lots.values_list("pk", flat=True)), now=now)
    rows.standings.sort(key=lambda one: (one.lot.subdivision_id, one.lot.position))
    _add_work(rows)
    return rows


def _add_work(rows: Rows) -> None:
    """Where each crew worked last, and how far begun work has come."""
    worked = LotPhase.objects.filter(crew__isnull=False, work__in=WORKED).exclude(
        work_on=None
    )
    for crew, place in worked.order_by("work_on", "pk").values_list(
        "crew", "lot__subdivision"
    ):
        rows.last_at[crew] = place
    facts = Fact.objects.filter(
        kind__in=("started", "broken_off", "helper_lent", "reopened"),
        lot_phase__passed_on=None,
        lot_phase__lot__retired_at=None,
    )
    for fact in facts.order_by("no"):
        rows.begun[fact.lot_phase_id].append(fact)
    said = Fact.objects.filter(
        kind="part_said",
        lot_phase__passed_on=None,
        lot_phase__lot__retired_at=None,
        lot_phase__lot__closed_on=None,
    )
    for fact in said.order_by("no"):
        rows.said[fact.lot_phase_id][fact.payload["part"]] = fact
    given = ExtraDay.objects.filter(lot_phase__passed_on=None)
    rows.overtime.update(given.values_list("lot_phase", flat=True))
