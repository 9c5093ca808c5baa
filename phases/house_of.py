"""From the tables to the pure house, catalogue and stub-out list."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache

from django.db.models import Count, Max

from phases.catalogue import (
    Catalogue,
    Demand,
    Finish,
    Fixture,
    House,
    Option,
    Room,
    apply_options,
    load_catalogue,
    stub_out_list,
)
from phases.item_sizes import with_sizes
from phases.models import CatalogueRow
from phases.plan_check import lot_report
from tracker.sites import models as sites


def catalogue_now() -> Catalogue:
    """The owner's catalogue; the data files where nothing has been loaded yet."""
    edits = CatalogueRow.history.aggregate(last=Max("history_id"))["last"]
    rows = CatalogueRow.objects.aggregate(n=Count("pk"), last=Max("pk"))
    return _read_catalogue(edits, rows["n"], rows["last"])


@lru_cache(maxsize=2)
def _read_catalogue(*_version: int | None) -> Catalogue:
    # Reading and checking all rows takes longer than a lot's list; once a version.
    tables: dict[str, list[dict[str, str]]] = defaultdict(list)
    for row in CatalogueRow.objects.order_by("table", "position", "key"):
        tables[row.table].append(row.cells)
    return Catalogue.from_rows(tables) if tables else load_catalogue()


def _room(row: sites.Room, fixtures: Iterable[sites.PlanFixture]) -> Room:
    return Room(
        key=row.key,
        kind=row.kind,
        floor=row.floor,
        order=row.position,
        name_en=row.name_en,
        name_es=row.name_es,
        finish=Finish(
            board=row.board,
            backer=row.backer,
            tile=row.tile,
            tiled=row.tiled,
            floor=row.floor_finish,
            stud=row.stud,
        ),
        stack=row.stack,
        vent=row.vent,
        fixtures=tuple(_fixture(fixture) for fixture in fixtures),
    )


def _fixture(row: sites.PlanFixture) -> Fixture:
    return Fixture(
        key=row.key,
        kind=row.kind,
        position=row.place,
        wall=row.wall,
        hand=row.hand,
        along=row.along,
        along_from=row.along_from,
        beside=row.beside,
        quantity=row.quantity,
        params={key: str(value) for key, value in row.params.items()},
    )


def plan_of(plan: sites.Plan) -> tuple[House, dict[str, Option]]:
    """The pure plan and its options by code, in four statements."""
    rooms = list(plan.rooms.all())
    fixtures: dict[tuple[int, int | None], list[sites.PlanFixture]] = defaultdict(list)
    for fixture in plan.fixtures.select_related("room"):
        fixtures[fixture.room_id, fixture.option_id].append(fixture)
    base = tuple(
        _room(room, fixtures[room.pk, None]) for room in rooms if room.option_id is None
    )
    removed: dict[int, list[tuple[str, str]]] = defaultdict(list)
    # Read through the table between, so that it is one statement, however many.
    through = sites.Option.removes.through.objects.filter(option__plan=plan)
    for pk, room_key, key in through.order_by("pk").values_list(
        "option_id", "planfixture__room__key", "planfixture__key"
    ):
        removed[pk].append((room_key, key))
    options = {}
    for option in plan.options.all():
        options[option.code] = Option(
            option.code,
            removes=tuple(removed[option.pk]),
            adds_rooms=tuple(
                _room(room, fixtures[room.pk, option.pk])
                for room in rooms
                if room.option_id == option.pk
            ),
            adds=tuple(
                (room.key, _fixture(fixture))
                for room in rooms
                if room.option_id != option.pk
                for fixture in fixtures[room.pk, option.pk]
            ),
        )
    house = House(
        rooms=base,
        foundation=plan.foundation,
        storeys=plan.storeys,
        facts={key: str(value) for key, value in plan.facts.items()},
    )
    return house, options


def house_of(
    lot: sites.Lot, plan: House, options: dict[str, Option], codes: Iterable[str]
) -> House:
    """The lot's house: its plan with the chosen options, its handing and book."""
    return replace(
        apply_options(plan, [options[code] for code in codes]),
        foundation=lot.stands_on,
        mirrored=lot.mirrored,
        book=lot.subdivision.code_book or "IRC",
    )


def demands_of(lot: sites.Lot, catalogue: Catalogue) -> tuple[Demand, ...]:
    """The stub-out list of a lot; empty where it has no plan."""
    if lot.plan is None:
        return ()
    plan, options = plan_of(lot.plan)
    codes = [option.code for option in lot.options.all()]
    house = house_of(lot, plan, options, codes)
    listed = stub_out_list(house, catalogue)
    return with_sizes(listed, house, lot_report(lot, house, codes))
