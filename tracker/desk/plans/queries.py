"""Plans with their parts, and stub-out lists put into words."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Count, Q

from phases.catalogue import Catalogue, CrewText, Demand, crew_text
from phases.models import CatalogueRow, PhaseKind
from tracker.sites.models import Builder, Plan, PlanFixture, Room


@dataclass(frozen=True)
class ListRow:
    demand: Demand
    text: CrewText


@dataclass(frozen=True)
class PhaseList:
    kind: PhaseKind
    rows: tuple[ListRow, ...]


@dataclass(frozen=True)
class RoomParts:
    room: Room
    fixtures: tuple[PlanFixture, ...]


def builders_with_plans() -> list[Builder]:
    """Builders and their plans with counts of what hangs on them: two statements."""
    plans = Plan.objects.annotate(
        fixture_count=Count("fixtures", distinct=True),
        option_count=Count("options", distinct=True),
        lot_count=Count("lots", filter=Q(lots__retired_at=None), distinct=True),
    )
    by_builder: dict[int, list[Plan]] = defaultdict(list)
    for plan in plans.order_by("code"):
        by_builder[plan.builder_id].append(plan)
    builders = list(Builder.objects.order_by("name"))
    for builder in builders:
        builder.plan_rows = by_builder[builder.pk]
    return builders


def rooms_of(plan: Plan) -> list[RoomParts]:
    """Rooms of a plan with their fixtures; those of options name the option."""
    fixtures: dict[int, list[PlanFixture]] = defaultdict(list)
    for fixture in plan.fixtures.select_related("option").order_by("position", "key"):
        fixtures[fixture.room_id].append(fixture)
    rooms = plan.rooms.select_related("option").order_by("floor", "position", "key")
    return [RoomParts(room, tuple(fixtures[room.pk])) for room in rooms]


def list_by_phase(
    demands: Iterable[Demand], catalogue: Catalogue, language: str
) -> list[PhaseList]:
    """Each phase with its rows in walk order, as the crew reads them."""
    rows: dict[str, list[ListRow]] = defaultdict(list)
    for demand in demands:
        text = crew_text(demand, catalogue, language=language)
        rows[demand.phase].append(ListRow(demand, text))
    kinds = {kind.code: kind for kind in PhaseKind.objects.all()}
    return [
        PhaseList(kind, tuple(rows[code])) for code, kind in kinds.items() if rows[code]
    ]


TABLES = {
    "fixture_kinds": "Kinds of fixture",
    "demands": "What they demand",
    "facts": "Facts of a house",
    "room_kinds": "Kinds of room",
    "strings": "Words",
    "glossary": "Trade Spanish",
}


def catalogue_rows(table: str, text: str) -> list[CatalogueRow]:
    """Rows of one table that hold each word."""
    rows = CatalogueRow.objects.filter(table=table).order_by("position", "key")
    words = text.casefold().split()
    return [
        row
        for row in rows
        if all(word in " ".join(row.cells.values()).casefold() for word in words)
    ]
