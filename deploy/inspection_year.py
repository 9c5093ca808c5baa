"""Runs the invented year day by day and judges what the clock noticed of it."""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import date, datetime

from deploy import inspection_world as world_of
from deploy.inspection_houses import DAY, Cover, World, at, build, workday
from inspections.actions import call_in_visit
from inspections.call_list import Visit, visits_of
from inspections.calls import calls_of
from inspections.models import Delivery, InspectionRequest, Notice
from inspections.standing import LotStanding, relevant_lots, standing_of, standings
from inspections.timing import Deadline, deadline

# Looks of one day: before the morning list, before the cut-offs, in the evening.
LOOKS = ((6, 5), (8, 5), (11, 5), (13, 5), (15, 35), (17, 5))
WARNINGS = ("call_in_by", "recall_by", "cover_too_early")
Run = Callable[[datetime], None]


@dataclass
class Judged:
    """What a year came to; everything under `bad` must be nothing."""

    lots: int = 0
    days: int = 0
    inspections: int = 0
    results: int = 0
    notices: int = 0
    covers_unpassed: int = 0
    known_in_time: int = 0
    bare_visits: int = 0
    late_unavoidable: int = 0
    bad: Counter[str] = field(default_factory=Counter)


@dataclass
class Watch:
    """What was seen on the way: for which cover each phase stood warned of, and when;
    what was ready; which visits were warned of as not on test.
    """

    warned: dict[tuple[int, str], list[datetime]] = field(
        default_factory=lambda: defaultdict(list)
    )
    bare: set[tuple[int, str]] = field(default_factory=set)
    ready: dict[tuple[int, str], tuple[date, datetime]] = field(default_factory=dict)


BAD = (
    "late call-ins that were avoidable",
    "open requests doubled",
    "notices doubled",
    "notices over two a reason",
    "asked inspections lost",
    "covers without a pass and without a warning in time",
    "covers without a pass and without any warning",
    "visits not on test without a warning",
    "messages lost",
)


def run_year(
    *,
    lots: int,
    first: date,
    days: int,
    seed: int,
    run: Run,
    told: Callable[[str], None] | None = None,
) -> tuple[World, Judged]:
    """`run(moment)` makes the clock's tasks look at a moment, and waits for them.

    `told` is told every thirty days how it stands.
    """
    world = build(lots=lots, first=first, days=days, seed=seed)
    judged, watch = Judged(lots=lots, days=days), Watch()
    for n in range(days):
        today = first + n * DAY
        if today.weekday() < 5:
            _working_day(world, watch, judged, today, run)
        else:
            run(at(today, 6, 5))
        if told is not None and n % 30 == 29:
            told(f"{today}: {judged.bad.total()} wrong so far")
    _judge_end(world, judged, today=first + days * DAY)
    return world, judged


def _working_day(
    world: World, watch: Watch, judged: Judged, today: date, run: Run
) -> None:
    for place, (hour, minute) in enumerate(LOOKS):
        if place == 1:
            world_of.morning(world, today)
        if place == 4:
            world_of.inspectors(world, today)
            world_of.afternoon(world, today)
        now = at(today, hour, minute)
        run(now)
        _note(watch, now)
        world_of.put_up_what_is_missed(world, now)
        if place:
            _office_acts(world, today, now)
        if place == 2:
            _diligent(world, watch, judged, today, now)
    _judge_covers(world, watch, judged)
    _judge_visits(world, watch, judged)


def _note(watch: Watch, now: datetime) -> None:
    rows = Notice.objects.open().filter(reason__in=(*WARNINGS, "not_on_test"))
    for lot, phase, words in rows.values_list("lot", "lot_phase", "words"):
        if words["code"] == "not_on_test":
            watch.bare |= {(lot, f"{kind} {words['date']}") for kind in words["kinds"]}
        else:
            watch.warned[phase, words["cover"]].append(now)


def _office_acts(world: World, today: date, now: datetime) -> None:
    """What the notices ask for: calls that are due, results that are missing."""
    next_morning = at(workday(today, 1), 9)
    lots = set(
        Notice.objects.open()
        .filter(reason__in=("call_in_by", "recall_by", "propose", "reinspect"))
        .values_list("lot", flat=True)
    )
    for standing in _in_order(lots, now):
        if any(_is_due(visit, now, next_morning) for visit in _visits(standing, now)):
            for visit in _visits_now(standing, now):
                if _is_due(visit, now, next_morning):
                    _call(world, visit, now)
    late = Notice.objects.open().filter(reason="no_result").values("lot")
    for request in InspectionRequest.objects.waiting().filter(
        lot__in=late, for_date__lte=today
    ):
        world_of.enter_result(world, request, today, now)


def _in_order(lots: Iterable[int], now: datetime) -> list[LotStanding]:
    return sorted(standings(list(lots), now=now), key=lambda each: each.lot.pk)


def _is_due(visit: Visit, now: datetime, until: datetime) -> bool:
    dated = [call.deadline for call in visit.calls]
    last = [row.call_in_by for row in dated if isinstance(row, Deadline)]
    return any(now <= moment <= until for moment in last)


def _visits_now(standing: LotStanding, now: datetime) -> list[Visit]:
    """Loaded again: each call before this one took a place of the day."""
    return _visits(standing_of(standing.lot, now=now), now)


def _visits(standing: LotStanding, now: datetime) -> list[Visit]:
    return visits_of(call for call in calls_of(standing, now=now) if call.ready)


def _call(world: World, visit: Visit, now: datetime) -> None:
    assert visit.inspect_on is not None
    call_in_visit(
        visit.lot,
        [call.kind for call in visit.calls],
        for_date=visit.inspect_on,
        who=world.office,
        now=now,
    )


def _diligent(
    world: World, watch: Watch, judged: Judged, today: date, now: datetime
) -> None:
    """The morning list: most of it is called at once, the rest left to the warnings."""
    for standing in _in_order(relevant_lots().values_list("pk", flat=True), now):
        _late(standing, watch, judged, now)
        wanted = [visit.key for visit in _visits(standing, now) if _chosen(world)]
        for visit in _visits_now(standing, now) if wanted else ():
            if visit.key in wanted:
                _call(world, visit, now)


def _chosen(world: World) -> bool:
    return world.rng.random() < 0.55


def _late(standing: LotStanding, watch: Watch, judged: Judged, now: datetime) -> None:
    """A call that was ready before its last moment, and is still not made after it."""
    for call in calls_of(standing, now=now):
        key = (standing.lot.pk, call.kind.code)
        before = watch.ready.pop(key, None)
        if call.request is not None or call.cover is None:
            continue
        if before is not None and before[0] == call.cover and before[1] < now:
            judged.bad[BAD[0]] += 1
        elif call.cover_too_early and call.ready:
            judged.late_unavoidable += 1
        last = call.deadline
        if call.ready and isinstance(last, Deadline) and now <= last.call_in_by:
            watch.ready[key] = (call.cover, last.call_in_by)


def _judge_covers(world: World, watch: Watch, judged: Judged) -> None:
    """Each cover without a pass: was it warned of in time to act?"""
    for cover in world.covered_unpassed:
        judged.covers_unpassed += 1
        standing = standing_of(cover.house.lot, now=at(cover.on, 8))
        warned = [
            moment
            for phase in cover.phases
            for moment in watch.warned[phase.pk, cover.said_for.isoformat()]
        ]
        codes = {phase.kind.code for phase in cover.phases}
        last = _last_call(standing, codes, cover.said_for)
        # A look comes ten minutes later at most; here it may take until the next one.
        if last is not None and _look_after(cover.said_at) <= last:
            judged.known_in_time += 1
            if not any(moment <= last for moment in warned) and not _called_by(
                cover, codes, last
            ):
                judged.bad[BAD[5]] += 1
        if cover.said_at < at(cover.on, 6) and not any(
            moment < at(cover.on, 7, 30) for moment in warned
        ):
            judged.bad[BAD[6]] += 1
    world.covered_unpassed.clear()


def _look_after(moment: datetime) -> datetime:
    """The first look that can see what was said at that moment."""
    looks = [at(moment.date() + n * DAY, *look) for n in (0, 1) for look in LOOKS]
    return next(look for look in looks if look > moment)


def _called_by(cover: Cover, codes: set[str], last: datetime) -> bool:
    """Somebody asked in time; that it was no use in the end was known later."""
    rows = InspectionRequest.objects.filter(lot=cover.house.lot, asked_at__lte=last)
    asked = rows.exclude(status=InspectionRequest.CANCELLED).select_related("kind")
    return any(codes & set(row.kind.proves) for row in asked)


def _last_call(standing: LotStanding, codes: set[str], cover: date) -> datetime | None:
    assert standing.office is not None
    found = [
        deadline(
            standing.office.record,
            code,
            covers={**standing.covers, code: cover},
            after=standing.after,
            booked={},
        )
        for code, kind in standing.to_pass.items()
        if codes & set(kind.proves)
    ]
    dated = [row.call_in_by for row in found if isinstance(row, Deadline)]
    return min(dated, default=None)


def _judge_visits(world: World, watch: Watch, judged: Judged) -> None:
    """Each visit to a lot without a test up was warned of while it could be put up."""
    for lot, kind, on in world.bare_visits:
        judged.bare_visits += 1
        judged.bad[BAD[7]] += (lot.pk, f"{kind.code} {on}") not in watch.bare
    world.bare_visits.clear()


def _judge_end(world: World, judged: Judged, *, today: date) -> None:
    judged.inspections = InspectionRequest.objects.count()
    judged.results = world.results
    judged.notices = Notice.objects.count()
    same = Counter(Notice.objects.values_list("lot", "lot_phase", "reason", "subject"))
    judged.bad[BAD[2]] += sum(n - 1 for n in same.values())
    by_reason = Counter(
        Notice.objects.exclude(lot_phase=None).values_list("lot_phase", "reason")
    )
    judged.bad[BAD[3]] += sum(n > 2 for n in by_reason.values())
    open_calls = Counter(InspectionRequest.objects.waiting().values_list("lot", "kind"))
    judged.bad[BAD[1]] += sum(n - 1 for n in open_calls.values())
    judged.bad[BAD[4]] += (
        InspectionRequest.objects.waiting().filter(for_date__lt=today - DAY * 3).count()
    )
    judged.bad[BAD[8]] += Delivery.objects.exclude(state=Delivery.SENT).count()


def table(judged: Judged, name: str) -> str:
    """The year as a table; the last rows must all be 0."""
    rows = [
        ("lots", judged.lots),
        ("days", judged.days),
        ("inspections called in", judged.inspections),
        ("results", judged.results),
        ("notices", judged.notices),
        ("covers without a pass", judged.covers_unpassed),
        ("of them known before the last call", judged.known_in_time),
        ("visits to a lot without a test up", judged.bare_visits),
        ("mornings on which a cover was too early to be met", judged.late_unavoidable),
        *((row, judged.bad[row]) for row in BAD),
    ]
    width = max(len(text) for text, _ in rows)
    return "\n".join([name, *(f"  {text:<{width}}  {n:>6}" for text, n in rows)])
