"""An invented contractor's year for the inspections bench: houses, builders, a city.

Each house goes through its phases day by day. Builders say cover dates early, late or
too early, move them, and cover on the day they said. Inspectors pass, fail or find the
gate locked. Everything is written by the same actions that people use.
"""

from datetime import date, datetime

from deploy.inspection_houses import DAY, Cover, House, World, at, prove, workday
from inspections.actions import Found, record_result
from inspections.models import InspectionRequest, Notice
from phases.actions.corrections import close_correction
from phases.actions.dates import say_date
from phases.actions.work import plan_phase, put_on_test, work_done
from phases.models import Correction, LotPhase
from tracker.sites.models import Lot

FINDINGS = (
    "No plate where the drain passes the stud",
    "Vent less than 6 in. above the roof",
    "Pipe not held at the turn",
)


def phase_of(house: House) -> LotPhase | None:
    rows = house.lot.phases.select_related("kind", "lot__subdivision")
    return rows.order_by("position")[house.place : house.place + 1].first()


def morning(world: World, today: date) -> None:
    """07:30: builders cover what they said; houses that may go on are planned."""
    now = at(today, 7, 30)
    for house in world.houses:
        if house.start > today or (phase := phase_of(house)) is None:
            continue
        if house.done:
            _after_done(world, house, phase, today, now)
        elif not house.planned:
            _plan(world, house, phase, today, now)
        elif house.cover and world.rng.random() < 0.04:
            shift = world.rng.choice((-2, -1, 1, 2, 3))
            _say(world, house, phase, max(today, house.cover + shift * DAY), now)


def _plan(
    world: World, house: House, phase: LotPhase, today: date, now: datetime
) -> None:
    start = workday(today, world.rng.choice((1, 2, 3)))
    house.planned, house.end = True, workday(start, world.rng.choice((0, 1)))
    plan_phase(
        phase, crew=world.crew, start=start, end=house.end, who=world.office, now=now
    )
    if phase.kind.conceals_en and world.rng.random() < 0.75:
        cover = workday(house.end, world.rng.choice((1, 2, 3, 4, 5, 6)))
        _say(world, house, phase, cover, now)


def _say(
    world: World, house: House, phase: LotPhase, cover: date, now: datetime
) -> None:
    """The builder says when he covers; rough and top out close with one drywall."""
    if house.cover != cover:
        house.cover, house.said_at = cover, now
    for each in _closed_with(house, phase):
        say_date(
            house.lot, phase=each, what="cover", date=cover, who=world.office, now=now
        )


def _closed_with(house: House, phase: LotPhase) -> list[LotPhase]:
    if phase.kind.code in ("rough", "topout"):
        return list(
            house.lot.phases.filter(kind__code__in=("rough", "topout")).select_related(
                "kind", "lot__subdivision"
            )
        )
    return [phase]


def _after_done(
    world: World, house: House, phase: LotPhase, today: date, now: datetime
) -> None:
    """Rough goes on into top out at once; the others wait for their pass and cover."""
    if phase.kind.code == "rough":
        house.place += 1
        house.planned = house.done = False
        return
    if not phase.kind.conceals_en:
        if phase.passed_on is not None:
            house.place += 1
        return
    if house.cover is None:
        _say(world, house, phase, workday(today, world.rng.choice((2, 3, 4, 5))), now)
    elif today >= house.cover and today.weekday() < 5:
        _cover(world, house, phase, today, now)


def _cover(
    world: World, house: House, phase: LotPhase, today: date, now: datetime
) -> None:
    closed = _closed_with(house, phase)
    open_gate = all(each.passed_on is not None for each in closed)
    if not open_gate and world.rng.random() < 0.6:
        # He was told, and waits.
        _say(world, house, phase, workday(today, 2), now)
        return
    if not open_gate:
        assert house.cover is not None
        assert house.said_at is not None
        world.covered_unpassed.append(
            Cover(house, closed, house.said_at, house.cover, today)
        )
    for each in closed:
        say_date(
            house.lot,
            phase=each,
            what="cover",
            date=today,
            status="actual",
            who=world.office,
            now=now,
        )
    house.place += 1
    house.planned = house.done = False
    house.cover = house.said_at = house.end = None
    house.start = workday(today, 2)


def afternoon(world: World, today: date) -> None:
    """15:30: crews finish, prove and mend."""
    now = at(today, 15, 30)
    for house in world.houses:
        if house.mend_on and house.mend_on <= today:
            for row in Correction.objects.filter(lot=house.lot).exclude(state="closed"):
                close_correction(row, who=world.office, now=now)
            house.mend_on = None
        if not house.planned or house.done or house.end is None or house.end > today:
            continue
        phase = phase_of(house)
        assert phase is not None
        if world.rng.random() < 0.1:
            house.end = workday(today, 1)
            plan_phase(
                phase,
                crew=world.crew,
                start=today,
                end=house.end,
                who=world.office,
                now=now,
            )
            continue
        prove(phase, who=world.office, now=now)
        work_done(phase, who=world.office, now=now)
        house.done = True
        dice = world.rng.random()
        house.deaf = dice > 0.9
        if dice < 0.8:
            put_on_test(phase, who=world.office, now=now)


def inspectors(world: World, today: date) -> None:
    """14:00: results of the day; a few are entered only when the clock asks."""
    for request in InspectionRequest.objects.waiting().filter(for_date=today):
        if world.rng.random() < 0.95:
            enter_result(world, request, today, at(today, 14))


def enter_result(
    world: World, request: InspectionRequest, today: date, now: datetime
) -> None:
    dice = world.rng.random()
    result = "passed" if dice < 0.88 else "failed" if dice < 0.96 else "no_access"
    if request.kind.on_test and not _stands(request):
        result = "not_on_test"
        world.bare_visits.append((request.lot, request.kind, request.for_date))
        _house(world, request.lot_id).deaf = False
    lot = Lot.objects.select_related("subdivision__jurisdiction").get(pk=request.lot_id)
    found = [Found(world.rng.choice(FINDINGS))] if result == "failed" else []
    record_result(
        lot,
        request.kind,
        result=result,
        on=request.for_date,
        who=world.office,
        now=now,
        found=found,
        fault_of="builder" if result == "no_access" else "",
    )
    world.results += 1
    if result == "failed":
        _house(world, lot.pk).mend_on = workday(today, world.rng.choice((1, 2)))


def _house(world: World, lot: int) -> House:
    return next(house for house in world.houses if house.lot.pk == lot)


def _stands(request: InspectionRequest) -> bool:
    phases = request.lot.phases.filter(kind__code__in=request.kind.proves)
    return any(phase.on_test for phase in phases)


def put_up_what_is_missed(world: World, now: datetime) -> None:
    """A lead who was told that no test is up goes there, if he listens."""
    told = Notice.objects.open().filter(reason="not_on_test")
    for notice in told.select_related("lot_phase__kind", "lot_phase__lot__subdivision"):
        phase = notice.lot_phase
        if not phase.on_test and not _house(world, phase.lot_id).deaf:
            put_on_test(phase, who=world.office, now=now)
