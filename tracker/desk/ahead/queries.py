"""What the look-ahead's pages read, in a fixed number of statements."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from phases.models import LotPhase, PhaseKind
from tracker.desk.ahead.sheet import Name, Sheet, sheet_of
from tracker.people.models import Crew
from tracker.planning.adapter.calendar import Calendar
from tracker.planning.adapter.keys import Keys
from tracker.planning.adapter.rows import slots_of
from tracker.planning.models import PlanVersion
from tracker.planning.queries import standing_pins


@dataclass(frozen=True)
class Board:
    """A version with everything its pages need to name and draw it."""

    version: PlanVersion
    sheet: Sheet
    keys: Keys
    kinds: Mapping[str, PhaseKind]
    rows: Mapping[Name, Mapping[str, Any]]
    told: Mapping[Name, tuple[str, int]]


# Read where they are used, not with every version.
HEAVY = ("why", "odds", "notes", "remedies", "levels", "season")
COLUMNS = (
    *("pk", "crew", "planned_start", "planned_half", "cover_date", "work"),
    *("need_by", "ready_date", "passed_on", "lot", "work_reason"),
)


def kinds_by_slot() -> dict[str, PhaseKind]:
    """Phase kinds by the format's key."""
    kinds = list(PhaseKind.objects.all())
    slots = slots_of(kinds)
    return {slots[kind.code]: kind for kind in kinds if kind.code in slots}


def board_of(version: PlanVersion) -> Board:
    """Four statements, whatever the number of jobs."""
    keys = Keys.read(version.keys)
    kinds = kinds_by_slot()
    rows = {
        row["pk"]: row
        for row in LotPhase.objects.filter(lot__in=keys.lots.values())
        .order_by()
        .values(*COLUMNS)
    }
    by_name = {name: rows[pk] for name, pk in keys.phases.items() if pk in rows}
    crews = dict(Crew.objects.values_list("pk", "name"))
    calendar = Calendar(version.day0)
    told = {
        name: known
        for name, row in by_name.items()
        if (known := _told(row, crews, calendar)) is not None
    }
    walls = {
        name: row["cover_date"]
        for name, row in by_name.items()
        if row["cover_date"] is not None
    }
    sheet = sheet_of(
        version.problem,
        version.plan,
        walls=walls,
        told=told,
        begun=keys.begun,
        pins=_pins(version, keys),
    )
    return Board(version, sheet, keys, kinds, by_name, told)


def _pins(version: PlanVersion, keys: Keys) -> dict[Name, tuple[str, int]] | None:
    """Pins that hold now; a plan of the past and a what-if keep to their own."""
    if version.what_if or version.status not in (version.DRAFT, version.PUBLISHED):
        return None
    names = {pk: name for name, pk in keys.phases.items()}
    calendar = Calendar(version.day0)
    return {
        names[pin.lot_phase_id]: (pin.crew.name, calendar.number_of(pin.day))
        for pin in standing_pins()
        if pin.lot_phase_id in names
    }


def _told(
    row: Mapping[str, Any], crews: Mapping[int, str], calendar: Calendar
) -> tuple[str, int] | None:
    if row["planned_start"] is None or row["crew"] not in crews:
        return None
    if row["work"] == "working":
        return None
    quarter = 4 * calendar.number_of(row["planned_start"]) + 2 * row["planned_half"]
    return crews[row["crew"]], quarter


def shown_version(asked: str) -> PlanVersion | None:
    """The version asked for by number of row; else the published one, else a draft."""
    versions = PlanVersion.objects.defer(*HEAVY)
    if asked.isdigit():
        return versions.filter(pk=asked).first()
    return (
        versions.filter(status=PlanVersion.PUBLISHED).first()
        or versions.filter(status=PlanVersion.DRAFT).first()
    )


def day_of(board: Board, number: int) -> date:
    return board.sheet.calendar.date_of(number)
