"""From the tables to the pure house, catalogue and stub-out list."""

from collections import defaultdict
from collections.abc import Iterable

from phases.catalogue import (
    Catalogue,
    Demand,
    Finish,
    Fixture,
    House,
    Option,
    Plan,
    Room,
    apply_options,
    load_catalogue,
    stub_out_list,
)
from phases.models import CatalogueRow
from tracker.sites import models as sites


def catalogue_now() -> Catalogue:
    """The owner's catalogue; the data files where nothing has been loaded yet."""
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


def plan_of(plan: sites.Plan) -> tuple[Plan, dict[str, Option]]:
    """The pure plan and its options by code, in four statements."""
    rooms = list(plan.rooms.all())
    fixtures: dict[tuple[int, int | None], list[sites.PlanFixture]] = defaultdict(list)
    for fixture in plan.fixtures.select_related("room"):
        fixtures[fixture.room_id, fixture.option_id].append(fixture)
    base = tuple(
        _room(room, fixtures[room.pk, None]) for room in rooms if room.option_id is None
    )
    options = {}
    for option in plan.options.prefetch_related("removes__room"):
        added_rooms = tuple(
            _room(room, fixtures[room.pk, option.pk])
            for room in rooms
            if room.option_id == option.pk
        )
        added = {
            room.key: tuple(_fixture(f) for f in fixtures[room.pk, option.pk])
            for room in rooms
            if room.option_id != option.pk and fixtures[room.pk, option.pk]
        }
        removes = tuple(f"{f.room.key}/{f.key}" for f in option.removes.all())
        options[option.code] = Option(option.code, added_rooms, added, removes)
    pure = Plan(
        rooms=base, foundation=plan.foundation, storeys=plan.storeys, facts=plan.facts
    )
    return pure, options


def house_of(
    lot: sites.Lot, plan: Plan, options: dict[str, Option], codes: Iterable[str]
) -> House:
    """The lot's house: its plan with the chosen options, its handing and book."""
    built = apply_options(plan, [options[code] for code in codes])
    return House(
        rooms=built.rooms,
        foundation=lot.stands_on,
        storeys=built.storeys,
        mirrored=lot.mirrored,
        book=lot.subdivision.code_book or "IRC",
        facts=built.facts,
    )


def demands_of(lot: sites.Lot, catalogue: Catalogue) -> tuple[Demand, ...]:
    """The stub-out list of a lot; empty where it has no plan."""
    if lot.plan is None:
        return ()
    plan, options = plan_of(lot.plan)
    codes = [option.code for option in lot.options.all()]
    return stub_out_list(house_of(lot, plan, options, codes), catalogue)
