"""Lot phases of the format, and how their inspections are told in it.

- Several kinds that one phase needs on the same visit are one inspection; the office's
  cap is divided by the kinds that come on a visit.
- Kinds of one phase that wait for each other: the first visit is in the format, the
  days until the last are added to the builder's days and taken off need-by.
- A kind that proves several phases belongs to the last of them on the lot. A phase
  whose kinds all belong to later ones is `inspected: false`: done is enough to go on.
- No kind needed: `inspected: false`. No office named: likewise, but nothing behind the
  phase is planned, for nobody can say what opens it.
- Every kind called in already: the phase counts as passed, and the next one opens after
  the day that the office gave. A full day is closed in the office's line. The day goes
  to the odds (`called_in`), which draw whether that visit passes.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date

from inspections.standing import LotStanding
from phases.models import LotPhase as Row
from tracker.planning.core.problem import AWAITING, OPEN, PASSED, QUARTERS, LotPhase
from tracker.sites.models import InspectionKind

from .kinds import own_kinds, rounds
from .offices import OfficeLine
from .rows import Rows

SLACK = 10  # working days between ready and need-by where nobody said one
REWORK = 1  # quarters to put right what an inspector found: common practice
DONE = ("done", "proven")


@dataclass
class Told:
    """One lot as far as it has been told in the format."""

    phases: list[LotPhase] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)
    visits: dict[str, list[InspectionKind]] = field(default_factory=dict)
    extra: dict[str, int] = field(default_factory=dict)
    begun: list[str] = field(default_factory=list)
    notes: list[dict[str, object]] = field(default_factory=list)
    opens: int = 0  # first day left open by what has passed so far
    gate: int = 0  # first day behind the visits that are called in
    called_in: dict[str, int] = field(default_factory=dict)  # their days
    need: int | None = None
    settled: bool = True  # everything so far has passed


def tell_lot(rows: Rows, standing: LotStanding, office: OfficeLine) -> Told:
    """The phases of one lot; those nobody can date are left out, with a note."""
    told = Told()
    last_done = max(
        (n for n, row in enumerate(standing.phases) if _is_behind(row)), default=-1
    )
    for place, row in enumerate(standing.phases):
        slot = rows.slots.get(row.kind.code)
        if slot is None:
            told.notes.append(_note("no_slot", row))
            continue
        if place < last_done or row.passed_on or row.covered_on:
            _tell_passed(told, row, slot, rows, place < last_done)
            continue
        if not _tell_open(told, row, slot, rows, standing, office):
            told.notes[-1]["behind"] = codes_behind(standing.phases[place + 1 :], rows)
            break
    return told


def _is_behind(row: Row) -> bool:
    """Begun or done, so that whatever comes before it no longer holds it up."""
    return row.work in ("working", *DONE)


def codes_behind(later: Sequence[Row], rows: Rows) -> list[str]:
    """Phases that cannot be planned either, for they wait for one that is not."""
    return [
        row.kind.code
        for row in later
        if row.kind.code in rows.slots and not row.passed_on
    ]


def _note(code: str, row: Row, **more: object) -> dict[str, object]:
    return {"code": code, "phase": row.kind.code, **more}


def _unsaid(row: Row) -> list[str]:
    """Parts of readiness that somebody still has to say."""
    return list(row.work_reason.get("parts", ()))


def _tell_passed(told: Told, row: Row, slot: str, rows: Rows, behind: bool) -> None:
    on = row.passed_on or row.covered_on
    if behind and on is None and row.work not in DONE:
        told.notes.append(_note("out_of_order", row))
    if on is not None:
        day = rows.calendar.number_of(on)
        told.opens = max(0, day + 1 + rows.learned.wait(slot))
    told.phases.append(_phase(slot, PASSED))
    told.rows.append(row)


def _phase(slot: str, status: str, **fields: object) -> LotPhase:
    usual = {
        "crew_quarters": 0,
        "ready_day": 0,
        "need_by_day": 0,
        "priority": 1,
        "builder_days_after_pass": 0,
        "pass_probability": 1.0,
    }
    return LotPhase(phase=slot, status=status, **{**usual, **fields})  # type: ignore[arg-type]


def _tell_open(
    told: Told,
    row: Row,
    slot: str,
    rows: Rows,
    standing: LotStanding,
    office: OfficeLine,
) -> bool:
    """Tell a phase that has not passed; False where nothing behind it can be told."""
    if standing.lot.plan is None:
        told.notes.append(_note("no_plan", row))
        return False
    unknown = standing.required.get(row.pk) is None
    kinds = [] if unknown else own_kinds(standing, row)
    done = row.work in DONE
    wait = rows.learned.wait(slot)
    again = row.inspection == "failed" and done and row.open_corrections > 0
    if done and not again:
        booked = [standing.asked.get(kind.code) for kind in kinds]
        if not kinds or all(booked):
            days = [request.for_date for request in booked if request]
            _tell_booked(told, row, slot, kinds, days, rows)
            return _is_inspected(told, row, unknown)
    ready = _ready(told, row, rows)
    if ready is None and not done:
        told.notes.append(_note("no_date", row, parts=_unsaid(row)))
        return False
    quarters = REWORK if again else _left(rows, standing, row)
    extra = office.again * (rounds(kinds) - 1) if kinds else 0
    need, priority = _need(told, row, rows, ready or 0, quarters, extra)
    told.phases.append(
        LotPhase(
            phase=slot,
            status=AWAITING if done and not again else OPEN,
            crew_quarters=quarters,
            ready_day=ready or 0,
            need_by_day=need - extra,
            priority=priority,
            builder_days_after_pass=wait + extra,
            pass_probability=rows.learned.pass_probability(k.pk for k in kinds),
            inspected=bool(kinds),
        )
    )
    told.rows.append(row)
    told.need, told.settled = need, False
    _note_visits(told, row, slot, kinds, extra)
    return _is_inspected(told, row, unknown)


def _is_inspected(told: Told, row: Row, unknown: bool) -> bool:
    """Somebody has said by whom; else nothing behind it can be told."""
    if unknown:
        told.notes.append(_note("no_office", row))
    return not unknown


def _note_visits(
    told: Told, row: Row, slot: str, kinds: list[InspectionKind], extra: int
) -> None:
    if kinds:
        told.visits[slot], told.extra[slot] = kinds, extra
    if row.work == "working":
        told.begun.append(slot)


def _tell_booked(
    told: Told,
    row: Row,
    slot: str,
    kinds: list[InspectionKind],
    days: list[date],
    rows: Rows,
) -> None:
    """Done, and nothing to plan: it is called in, or goes with a later phase."""
    wait = rows.learned.wait(slot)
    told.rows.append(row)
    if not days:
        told.opens = max(told.opens, wait)
        told.phases.append(_phase(slot, PASSED))
        return
    day = max(0, *(rows.calendar.number_of(one) for one in days))
    told.opens = max(told.opens, day + 1 + wait)
    told.gate = max(told.gate, day + 1)
    told.called_in[slot] = day
    need, priority = _need(told, row, rows, day, 0, 0)
    told.phases.append(
        _phase(
            slot,
            PASSED,
            need_by_day=need,
            priority=priority,
            builder_days_after_pass=wait,
            pass_probability=rows.learned.pass_probability(kind.pk for kind in kinds),
        )
    )


def _ready(told: Told, row: Row, rows: Rows) -> int | None:
    """The first day the builder's part may be there; None: nobody said one.

    A forecast that has come is not readiness: such a lot is looked for tomorrow. A hold
    is assumed to last the days that the owner set.
    """
    calendar = rows.calendar
    hold = rows.rules.hold_days if row.on_hold else 0
    if row.on_hold:
        told.notes.append(_note("held", row, days=hold))
    if row.work == "working" or (
        row.work in ("ready", "planned")
        and row.work_reason.get("code") in ("ready", "planned")
    ):
        return hold
    if row.ready_date is not None:
        day = calendar.number_of(row.ready_date)
        if not told.settled:
            return max(day, hold, told.gate, 0)
        if day < 1:
            said = row.ready_date.isoformat()
            told.notes.append(_note("unsaid", row, parts=_unsaid(row), forecast=said))
        return max(day, hold, told.gate, 1)
    if not told.settled:
        return max(0, hold)
    if told.phases:
        day = max(told.opens, hold, 1)
        told.notes.append(_note("guessed", row, parts=_unsaid(row), day=day))
        return day
    return None


def _left(rows: Rows, standing: LotStanding, row: Row) -> int:
    """Quarters of work that remain: broken off, worked, helped, done in overtime.

    A day of a helper or of overtime counts for four quarters.
    """
    plan = standing.lot.plan
    total = rows.quarters(plan.crew_quarters if plan else {}, row.kind.code)
    since = None
    for fact in rows.begun.get(row.pk, ()):
        if fact.kind == "broken_off":
            total, since = fact.payload["quarters_left"], None
        elif fact.kind == "helper_lent":
            total -= QUARTERS
        elif since is None:
            since = fact.happened_at
    if row.work == "working" and since is not None and since < rows.now:
        start = rows.local(since, standing.lot)
        here = rows.local(rows.now, standing.lot)
        total -= rows.calendar.quarters_between(start, here)
    return max(1, total - QUARTERS * rows.overtime[row.pk])


def _need(
    told: Told, row: Row, rows: Rows, ready: int, quarters: int, extra: int
) -> tuple[int, int]:
    """Need-by day and priority: a cover date 3, a date said 2, a guess 1."""
    calendar = rows.calendar
    days = []
    if row.need_by is not None:
        days.append((calendar.number_of(row.need_by, back=True), 2))
    if row.cover_date is not None:
        days.append((calendar.number_of(row.cover_date) - 1, 3))
    if days:
        return min(day for day, _ in days), max(priority for _, priority in days)
    base = ready
    if told.need is not None and told.phases:
        wait = told.phases[-1].builder_days_after_pass
        base = max(base, told.need + 1 + wait)
    return base + -(-quarters // QUARTERS) + SLACK + extra, 1
