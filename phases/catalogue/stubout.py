"""The stub-out list: all that must come out of each wall, floor and ceiling."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from phases.catalogue.answers import Answers, holds
from phases.catalogue.demand import Demand
from phases.catalogue.house import WALLS, Fixture, House, PlanError, Room
from phases.catalogue.loading import Catalogue
from phases.catalogue.missing import (
    house_markers,
    markers,
    room_names,
    why_no_list,
)
from phases.catalogue.survey import Survey, room_needs, survey
from phases.catalogue.tables import DemandRow, FixtureKind
from phases.catalogue.targets import swap, targets_of


@dataclass(frozen=True, slots=True)
class Part:
    """One of several alike: a bowl, a wall, a stack, a vent; fills a text's places."""

    key: str
    places: dict[str, tuple[str, str]]
    size: str = ""


def stub_out_list(house: House, catalogue: Catalogue) -> tuple[Demand, ...]:
    """Everything the lot's house demands, phase by phase, in walk order.

    What cannot be listed stands in it as markers of proof `no_list`, one a phase.
    Raises PlanError where two demands would have one key.
    """
    found = list(house_markers(house, catalogue=catalogue))
    if house.rooms:
        seen = survey(house, catalogue=catalogue)
        for room in seen.rooms:
            found.extend(_of_room(room, seen=seen, catalogue=catalogue))
    keys = set[str]()
    for demand in found:
        if demand.key in keys:
            raise PlanError(f"Two demands have the key {demand.key}. Rename one.")
        keys.add(demand.key)
    place = {phase: index for index, phase in enumerate(catalogue.phases)}
    found.sort(key=lambda demand: (place[demand.phase], demand.walk, demand.key))
    return tuple(found)


def _of_room(room: Room, *, seen: Survey, catalogue: Catalogue) -> Iterator[Demand]:
    if not room.fixtures:
        yield from markers("no_list.room", room=room, catalogue=catalogue)
    needs = room_needs(room, catalogue)
    place = 0
    for planned in room.fixtures:
        wall = WALLS.index(swap(planned.wall, mirrored=seen.house.mirrored))
        for copy in range(1, planned.quantity + 1):
            fixture = planned
            if copy > 1:
                fixture = replace(planned, key=f"{planned.key}-{copy}")
            found = _of_fixture(
                fixture,
                planned=planned,
                room=room,
                seen=seen,
                catalogue=catalogue,
                needs=needs,
            )
            for line, demand in enumerate(found):
                walk = (room.floor, room.order, wall, place, line)
                yield replace(demand, walk=walk)
            place += 1


def _of_fixture(
    fixture: Fixture,
    *,
    planned: Fixture,
    room: Room,
    seen: Survey,
    catalogue: Catalogue,
    needs: frozenset[str],
) -> Iterator[Demand]:
    reason = why_no_list(planned, room=room, survey=seen, catalogue=catalogue)
    kind = catalogue.kinds.get(fixture.kind)
    if reason is None and kind and kind.outlets and kind.code not in catalogue.rows_of:
        reason = "no_list.rows", kind.name_en, kind.name_es
    if reason or kind is None:
        code, *what = reason or ("no_list.kind", fixture.kind, fixture.kind)
        yield from markers(
            code,
            room=room,
            catalogue=catalogue,
            key=fixture.key,
            what=(what[0], what[1]),
        )
        return
    params = {name: values[0] for name, values in kind.params.items()}
    params.update(fixture.params)
    answers = Answers(planned, room=room, survey=seen, params=params, needs=needs)
    done = set[tuple[str, str]]()
    for row in catalogue.rows_of.get(kind.code, ()):
        if (row.key, row.phase) in done or not holds(row.when, answers):
            continue
        done.add((row.key, row.phase))
        maker = _Maker(fixture, planned, room, row, kind, seen, catalogue)
        yield from maker.demands()


@dataclass(frozen=True, slots=True)
class _Maker:
    """Makes the demands of one row for one fixture."""

    fixture: Fixture
    planned: Fixture
    room: Room
    row: DemandRow
    kind: FixtureKind
    seen: Survey
    catalogue: Catalogue

    def demands(self) -> Iterator[Demand]:
        quantity = self.quantity()
        if not quantity:
            return
        row, mirrored = self.row, self.seen.house.mirrored
        targets = targets_of(
            row, fixture=self.fixture, finish=self.room.finish, mirrored=mirrored
        )
        room_en, room_es = room_names(self.room, catalogue=self.catalogue)
        base = f"{self.room.key}/{self.fixture.key}/{row.key}.{row.phase}"
        for part in self.parts(quantity):
            text_en, text_es = self.texts(part)
            yield Demand(
                key=f"{base}.{part.key}" if part.key else base,
                phase=row.phase,
                room=self.room.key,
                room_en=room_en,
                room_es=room_es,
                fixture=self.fixture.key,
                kind=self.kind.code,
                outlet=row.outlet,
                text_en=text_en,
                text_es=text_es,
                quantity=quantity,
                size=part.size or row.size,
                targets=targets,
                concealed=row.concealed,
                proof=row.proof,
                measure=row.measure,
                unit=row.unit,
                least=row.least,
                most=row.most,
                minutes=row.minutes,
                photos=row.photos,
                handoff=row.handoff,
                advisory=row.advisory,
                source=row.source,
                walk=(),
            )

    def quantity(self) -> int:
        count = self.row.count
        if count.isdigit():
            return int(count)
        if count == "served":
            return self.seen.served.get((self.room.key, self.planned.key), 0)
        size = count.removeprefix("roof_vents_")
        return self.seen.roof_vents("1 1/2" if size == "1_5" else size)

    def parts(self, quantity: int) -> Iterator[Part]:
        each = self.row.each
        if each == "bowl":
            bowls = self.kind.params.get("bowls", ("1",))[0]
            for n in range(1, int(self.fixture.params.get("bowls", bowls)) + 1):
                yield Part(str(n), {"n": (str(n), str(n))})
        elif each == "wall":
            yield from self.walls()
        elif each in ("stack", "vent"):
            shared = self.seen.stacks if each == "stack" else self.seen.vents
            for one in shared:
                names = [room_names(r, catalogue=self.catalogue) for r in one.rooms]
                joined = ", ".join(n[0] for n in names), ", ".join(n[1] for n in names)
                yield Part(one.key, {"room": joined}, one.size)
        else:
            yield Part("", {"count": (str(quantity), str(quantity))})

    def walls(self) -> Iterator[Part]:
        """The room's walls with pipe in them, by their names on the plan."""
        used = {
            fixture.wall
            for fixture in self.room.fixtures
            if fixture.position not in ("island", "floor")
            and (kind := self.catalogue.kinds.get(fixture.kind))
            and kind.outlets
            and kind.implied_room != "each"
        }
        mirrored = self.seen.house.mirrored
        for shown in WALLS:
            wall = swap(shown, mirrored=mirrored)
            if wall in used:
                words = self.catalogue.strings[f"wall.{shown or 'any'}"]
                yield Part(wall, {"wall": (words.en, words.es)})

    def texts(self, part: Part) -> tuple[str, str]:
        """The row's texts with the places in braces filled in."""
        row = self.row
        if "{" not in row.text_en:
            return row.text_en, row.text_es
        hand = swap(self.fixture.hand, mirrored=self.seen.house.mirrored)
        words = self.catalogue.strings[f"hand.{hand}"]
        size = part.size or row.size
        places = {
            "hand": (words.en, words.es),
            "size": (size, size),
            "beside": self.beside(),
            **part.places,
        }
        filled = [
            text.format(**{name: pair[side] for name, pair in places.items()})
            for side, text in enumerate((row.text_en, row.text_es))
        ]
        return filled[0], filled[1]

    def beside(self) -> tuple[str, str]:
        partner = self.seen.partners.get((self.room.key, self.planned.key))
        if partner is None:
            return "", ""
        kind = self.catalogue.kinds.get(partner[1].kind)
        room_en, room_es = room_names(partner[0], catalogue=self.catalogue)
        if kind is None:
            return room_en, room_es
        return f"{kind.name_en}, {room_en}", f"{kind.name_es}, {room_es}"


def rooms_of(demands: tuple[Demand, ...]) -> tuple[tuple[str, tuple[Demand, ...]], ...]:
    """Demands by room in the order of a walk: floor, room order, wall, fixture."""
    rooms: dict[str, list[Demand]] = {}
    for demand in sorted(demands, key=lambda demand: (demand.walk, demand.key)):
        rooms.setdefault(demand.room, []).append(demand)
    return tuple((room, tuple(found)) for room, found in rooms.items())
