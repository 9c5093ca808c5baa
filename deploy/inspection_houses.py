"""The houses, streets and offices of the inspections bench, and how work is proven."""

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from random import Random
from zoneinfo import ZoneInfo

from phases.actions.lots import create_lot
from phases.defaults import load_defaults
from phases.log import Who, writing
from phases.models import Fact, LotPhase, Photo, PhotoUse
from tracker.desk.demo import scenario
from tracker.people.models import Crew, Member
from tracker.sites.models import (
    Builder,
    Company,
    InspectionKind,
    Jurisdiction,
    Lot,
    Plan,
    PlanFixture,
    Room,
    Subdivision,
)

ZONE = ZoneInfo("America/Chicago")
DAY = timedelta(days=1)


def at(day: date, hour: int, minute: int = 0) -> datetime:
    return datetime.combine(day, time(hour, minute), tzinfo=ZONE)


def workday(day: date, steps: int) -> date:
    """The working day `steps` after `day`."""
    while steps:
        day += DAY
        steps -= day.weekday() < 5
    return day


@dataclass
class House:
    """One house on its way: which phase it is in and what was said of its cover."""

    lot: Lot
    start: date
    place: int = 0
    planned: bool = False
    end: date | None = None
    done: bool = False
    cover: date | None = None
    said_at: datetime | None = None
    mend_on: date | None = None
    deaf: bool = False  # no warning makes this crew put the test up


@dataclass(frozen=True)
class Cover:
    """A cover without a pass: of these phases, for the day said at that moment."""

    house: House
    phases: list[LotPhase]
    said_at: datetime
    said_for: date
    on: date


@dataclass
class World:
    rng: Random
    office: Who
    crew: Crew
    houses: list[House] = field(default_factory=list)
    covered_unpassed: list[Cover] = field(default_factory=list)
    results: int = 0
    bare_visits: list[tuple[Lot, InspectionKind, date]] = field(default_factory=list)


def build(*, lots: int, first: date, days: int, seed: int) -> World:
    """The demo's two offices, one street in each, `lots` houses started evenly."""
    now = at(first, 7)
    load_defaults()
    Company.objects.create(name="Quillback Plumbing")
    # A bench's member signs in nowhere.
    member = Member.objects.create(
        username="bench",
        name="Sadie Birk",
        role="office",
        email="bench@example.com",
        wants_email=True,
        password="!",
    )
    crew = Crew.objects.create(name="Frame One", skills=scenario.ALL)
    world = World(Random(seed), Who(member=member), crew)
    builder = Builder.objects.create(name="Veldmarsh Homes")
    plan = Plan.objects.create(builder=builder, code="P1")
    bath = Room.objects.create(
        plan=plan, key="bath", kind="bath", name_en="Bath", name_es="Baño"
    )
    PlanFixture.objects.create(
        plan=plan, room=bath, key="closet", kind="closet", wall="back"
    )
    streets = [_street(builder, row) for row in scenario.JURISDICTIONS]
    for n in range(lots):
        lot = create_lot(
            streets[n % len(streets)],
            who=world.office,
            now=now,
            plan=plan,
            label=str(n + 1),
            permit_number=f"P-{n + 1:04}",
            position=n,
        )
        begins = first + timedelta(days=int(n * max(1, days - 75) / lots))
        world.houses.append(House(lot, workday(begins, 1)))
    return world


def _street(builder: Builder, row: dict[str, object]) -> Subdivision:
    office = Jurisdiction.objects.create(**row)
    for place, kind in enumerate(scenario.KINDS[str(row["name"])]):
        code, en, es, proves, applies_to, on_test, after, rides = kind
        InspectionKind.objects.create(
            jurisdiction=office,
            code=code,
            name_en=en,
            name_es=es,
            proves=proves,
            applies_to=applies_to,
            on_test=on_test,
            after=after,
            rides_with=rides,
            position=place,
        )
    return Subdivision.objects.create(
        builder=builder,
        name=f"Street of {office.name}",
        jurisdiction=office,
        code_book="IRC",
        edition="2021",
    )


def prove(phase: LotPhase, *, who: Who, now: datetime) -> None:
    """Every item answered as it asks, photos arrived."""
    with writing(now=now) as log:
        drafts: list[Fact] = []
        photos: list[Photo] = []
        for item in phase.items.filter(removed_at=None):
            low = item.spec.get("least")
            value = low if low is not None else item.spec.get("most")
            said = {
                "measure": {"value": value, "unit": item.spec.get("unit", "")},
                "test": {"passed": True},
            }.get(item.proof, {})
            answers = [(item.proof if said else "tick", said)]
            for n in range(max(item.photos_needed, item.proof == "photo")):
                sha = f"{item.pk:032x}{n:032x}"
                answers.append(("photo", {"sha": sha}))
                photos.append(_photo(sha, now))
            drafts += [
                log.draft(
                    "entry",
                    lot=phase.lot,
                    phase=phase,
                    item=item,
                    who=who,
                    answer=answer,
                    version=item.version,
                    **payload,
                )
                for answer, payload in answers
            ]
        Photo.objects.bulk_create(photos)
        PhotoUse.objects.bulk_create(
            PhotoUse(
                photo_sha=fact.payload["sha"], lot=phase.lot, item=fact.item, fact=fact
            )
            for fact in log.append_all(drafts)
            if "sha" in fact.payload
        )


def _photo(sha: str, now: datetime) -> Photo:
    return Photo(
        sha256=sha,
        file="photos/p.jpg",
        thumb="thumbs/p.jpg",
        width=1,
        height=1,
        bytes_received=1,
        received_at=now,
    )
