"""Makes the demo's tables of who and where."""

from dataclasses import dataclass, field
from datetime import datetime
from functools import cache
from random import Random

from django.contrib.auth.hashers import make_password

from phases.actions.lots import create_lot
from phases.defaults import load_defaults
from phases.log import Who, writing
from phases.models import DrawTerm, PhaseKind, PieceRate
from tracker.desk.demo import scenario
from tracker.desk.demo.outlines import lay_outlines
from tracker.desk.demo.plans import PLANS, PlanText
from tracker.people.models import Crew, Member
from tracker.sites.models import (
    Builder,
    Company,
    InspectionKind,
    Jurisdiction,
    Lot,
    Option,
    Plan,
    PlanFixture,
    Room,
    Subdivision,
    Superintendent,
)

# The words of the plan texts, and the columns they fill.
COLUMNS = {"wall": "wall", "hand": "hand", "at": "place", "beside": "beside"}


@dataclass
class World:
    """Handles to what was made, by name."""

    owner: Member
    office: Member
    crews: list[Crew] = field(default_factory=list)
    leads: dict[int, Member] = field(default_factory=dict)
    plumbers: dict[int, Member] = field(default_factory=dict)
    subdivisions: list[Subdivision] = field(default_factory=list)
    lots: list[Lot] = field(default_factory=list)
    kinds: dict[str, PhaseKind] = field(default_factory=dict)


def build(rng: Random, *, now: datetime) -> World:
    load_defaults()
    Company.objects.create(**scenario.COMPANY)
    people = {
        username: _member(username, name, role, "en")
        for username, name, role in scenario.OFFICE
    }
    world = World(owner=people["owner"], office=people["office"])
    world.kinds = {kind.code: kind for kind in PhaseKind.objects.all()}
    offices = {row["name"]: _jurisdiction(row) for row in scenario.JURISDICTIONS}
    builders = {
        name: Builder.objects.create(name=name, phone=f"555-02{place:02}")
        for place, name in enumerate(scenario.BUILDERS, start=1)
    }
    supers = {
        name: [
            Superintendent.objects.create(builder=builders[name], name=person)
            for person in persons
        ]
        for name, persons in scenario.SUPERINTENDENTS.items()
    }
    for text in PLANS:
        _plan(builders[text.builder], text)
    for row in scenario.SUBDIVISIONS:
        builder, name, office, book, edition, *_, x, y, _street = row
        world.subdivisions.append(
            Subdivision.objects.create(
                builder=builders[builder],
                name=name,
                jurisdiction=offices[office],
                code_book=book,
                edition=edition,
                map_x=x,
                map_y=y,
            )
        )
    lay_outlines(world.owner, now=now)
    _crews(world)
    _money(world, builders)
    with writing(now=now) as log:
        _lots(world, rng, supers, now=now)
        # The lots are refreshed when their history is told.
        log.touched.clear()
    return world


def _member(username: str, name: str, role: str, language: str, crew=None) -> Member:
    return Member.objects.create(
        username=username,
        password=_password(),
        name=name,
        role=role,
        language=language,
        crew=crew,
    )


@cache
def _password() -> str:
    # A good hash is slow on purpose; the demo's people share one.
    return make_password(scenario.PASSWORD)


def _jurisdiction(row: dict) -> Jurisdiction:
    office = Jurisdiction.objects.create(**row)
    for place, kind in enumerate(scenario.KINDS[row["name"]], start=1):
        code, en, es, proves, applies_to, on_test, after, rides_with = kind
        InspectionKind.objects.create(
            jurisdiction=office,
            code=code,
            name_en=en,
            name_es=es,
            proves=proves,
            applies_to=applies_to,
            on_test=on_test,
            after=after,
            rides_with=rides_with,
            position=place,
        )
    return office


def _plan(builder: Builder, text: PlanText) -> None:
    plan = Plan.objects.create(
        builder=builder,
        code=text.code,
        name=text.name,
        storeys=text.storeys,
        foundation=text.foundation,
        facts={"fuel": text.fuel, "prv": "yes" if text.storeys == 2 else "no"},
        crew_quarters=text.quarters,
    )
    rooms = {}
    for place, room in enumerate(text.rooms, start=1):
        rooms[room.key] = Room.objects.create(
            plan=plan,
            key=room.key,
            kind=room.kind,
            floor=room.floor,
            name_en=room.en,
            name_es=room.es,
            position=place,
            tile=6 if room.tile else 0,
            backer=8 if room.tile else 0,
        )
        _fixtures(plan, rooms[room.key], room.fixtures, None)
    for option in text.options:
        row = Option.objects.create(plan=plan, code=option.code, name=option.name)
        _fixtures(plan, rooms[option.room], option.adds, row)
        for path in option.removes:
            room_key, key = path.split("/")
            row.removes.add(
                PlanFixture.objects.get(plan=plan, room__key=room_key, key=key)
            )


def _fixtures(plan: Plan, room: Room, text: str, option: Option | None) -> None:
    for place, word in enumerate(text.split(), start=1):
        kind, _, rest = word.partition(":")
        params = dict(pair.split("=") for pair in rest.split(",") if pair)
        columns = {
            to: params.pop(name) for name, to in COLUMNS.items() if name in params
        }
        PlanFixture.objects.create(
            plan=plan,
            option=option,
            room=room,
            key=kind,
            kind=kind,
            params=params,
            position=place,
            **columns,
        )


def _crews(world: World) -> None:
    homes = {s.name: s for s in world.subdivisions}
    for name, skills, speed, home, members in scenario.CREWS:
        crew = Crew.objects.create(
            name=name, skills=skills, speed=speed, home=homes[home]
        )
        world.crews.append(crew)
        for username, person, role, language in members:
            member = _member(username, person, role, language, crew)
            (world.leads if role == "lead" else world.plumbers)[crew.pk] = member


def _money(world: World, builders: dict[str, Builder]) -> None:
    for place, builder in enumerate(builders.values()):
        for code, amount in scenario.DRAWS.items():
            DrawTerm.objects.create(
                builder=builder,
                kind=world.kinds[code],
                amount=amount + 50 * place,
                earned_on="cover" if code == "rough" and place == 2 else "pass",
            )
        for option in Option.objects.filter(plan__builder=builder):
            DrawTerm.objects.create(
                builder=builder,
                kind=world.kinds["topout"],
                plan=option.plan,
                option=option,
                amount=380,
            )
    for code, amount in scenario.PIECES.items():
        PieceRate.objects.create(kind=world.kinds[code], amount=amount)


def _lots(world: World, rng: Random, supers: dict, *, now: datetime) -> None:
    who = Who(member=world.office)
    for row, subdivision in zip(scenario.SUBDIVISIONS, world.subdivisions, strict=True):
        builder, _name, _office, _book, _edition, count, block, _x, _y, street = row
        plans = list(Plan.objects.filter(builder=subdivision.builder))
        for n in range(1, count + 1):
            # The last lots of a street are released before their plan is chosen.
            plan = rng.choice(plans) if n < count - 1 else None
            options = list(plan.options.all()) if plan else []
            world.lots.append(
                create_lot(
                    subdivision,
                    who=who,
                    now=now,
                    plan=plan,
                    options=[o for o in options if rng.random() < 0.3],
                    label=str(n),
                    block=block,
                    address=f"{100 + 4 * n} {street}",
                    mirrored=rng.random() < 0.4,
                    permit_number=f"P-{subdivision.pk}{n:03}",
                    gate_code="4417#" if subdivision.map_x > 9 else "",
                    superintendent=rng.choice(supers[builder]),
                    position=n,
                )
            )
