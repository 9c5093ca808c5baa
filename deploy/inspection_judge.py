"""Judges an invented year: what came late, was doubled, lost, or never warned of."""

from collections import Counter, defaultdict
from dataclasses import dataclass, field
from datetime import date, datetime

from deploy.inspection_houses import DAY, Cover, World, at
from inspections.calls import calls_of
from inspections.models import Delivery, InspectionRequest, Notice
from inspections.standing import LotStanding, standing_of
from inspections.timing import Deadline, deadline

# Looks of one day: before the morning list, before the cut-offs, in the evening.
LOOKS = ((6, 5), (8, 5), (11, 5), (13, 5), (15, 35), (17, 5))


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


def judge_calls(
    standing: LotStanding, watch: Watch, judged: Judged, now: datetime
) -> None:
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


def judge_covers(world: World, watch: Watch, judged: Judged) -> None:
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


def judge_visits(world: World, watch: Watch, judged: Judged) -> None:
    """Each visit to a lot without a test up was warned of while it could be put up."""
    for lot, kind, on in world.bare_visits:
        judged.bare_visits += 1
        judged.bad[BAD[7]] += (lot.pk, f"{kind.code} {on}") not in watch.bare
    world.bare_visits.clear()


def judge_end(world: World, judged: Judged, *, today: date) -> None:
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
