"""Runs the invented year day by day and judges what the clock noticed of it."""

from collections.abc import Callable, Iterable
from datetime import date, datetime

from deploy import inspection_world as world_of
from deploy.inspection_houses import DAY, World, at, build, workday
from deploy.inspection_judge import (
    LOOKS,
    Judged,
    Watch,
    judge_calls,
    judge_covers,
    judge_end,
    judge_visits,
)
from inspections.actions import call_in_visit
from inspections.call_list import Visit, visits_of
from inspections.calls import calls_of
from inspections.models import InspectionRequest, Notice
from inspections.standing import LotStanding, relevant_lots, standing_of, standings
from inspections.timing import Deadline

WARNINGS = ("call_in_by", "recall_by", "cover_too_early")
Run = Callable[[datetime], None]


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
    judge_end(world, judged, today=first + days * DAY)
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
    judge_covers(world, watch, judged)
    judge_visits(world, watch, judged)


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
        judge_calls(standing, watch, judged, now)
        wanted = [visit.key for visit in _visits(standing, now) if _chosen(world)]
        for visit in _visits_now(standing, now) if wanted else ():
            if visit.key in wanted:
                _call(world, visit, now)


def _chosen(world: World) -> bool:
    return world.rng.random() < 0.55
