"""From the problem to the arrays of the engine."""

from collections.abc import Mapping, Sequence

import numpy as np

from .engine import columns as k
from .problem import PHASES, QUARTERS, Problem

Array = np.ndarray


def fixed_tables(
    problem: Problem,
    *,
    buffer: Mapping[tuple[str, str], int] | None = None,
    buffer_price: int = 0,
) -> k.Fixed:
    """The problem as arrays.

    `buffer` gives days before need-by per (lot, phase); each day inside it costs
    `buffer_price` x priority.
    """
    jobs = _jobs(problem, buffer or {}, buffer_price)
    n = len(problem.jobs)
    quarters = _quarters(problem)
    reach = _reach(problem, quarters)
    rules = [
        [one.lead_days, one.cutoff_quarter, one.daily_cap]
        for one in problem.jurisdictions
    ]
    is_open = np.array([job.is_open for job in problem.jobs], dtype=bool)
    told = np.flatnonzero(jobs[:n, k.TOLD_CREW] >= 0)
    subs = np.bincount(jobs[:n, k.SUB][is_open], minlength=len(problem.subdivisions))
    weights = problem.weights
    sizes = [n, len(problem.crews), len(problem.jurisdictions), reach]
    sizes += [weights.move, weights.crew_change, weights.day_change]
    sizes += [len(told), int(is_open.sum()), 40, 10, 30]
    return k.Fixed(
        jobs=jobs,
        quarters=quarters,
        next_off=_next_off(problem, reach),
        next_visit=_next_visit(problem, reach),
        rules=np.array(rules, dtype=np.int64).reshape(-1, 3),
        travel=_table(problem.move_quarters, len(problem.subdivisions)),
        lists=_lists(told, np.flatnonzero(is_open), np.cumsum([0, *subs])),
        sizes=np.array(sizes, dtype=np.int64),
    )


def _table(rows: Sequence[Sequence[int]], width: int) -> Array:
    return np.array(rows, dtype=np.int64).reshape(-1, width)


def _lists(*lists: Array) -> Array:
    table = np.zeros((len(lists), max(map(len, lists))), dtype=np.int64)
    for row, one in zip(table, lists, strict=True):
        row[: len(one)] = one
    return table


def _jobs(
    problem: Problem, buffer: Mapping[tuple[str, str], int], buffer_price: int
) -> Array:
    rows = np.zeros((len(problem.jobs) + len(problem.crews), k.FIXED_WIDTH), np.int64)
    rows[:, [k.JUR, k.PRED, k.SUCC, k.TOLD_CREW, k.PIN_DAY, k.PIN_CREW]] = -1
    rows[:, k.TOLD_DAY] = k.NEVER
    before: dict[str, int] = {}
    for index, job in enumerate(problem.jobs):
        _fill(rows[index], problem, index)
        phase, row = job.phase, rows[index]
        if job.lot.id in before:
            row[k.PRED] = before[job.lot.id]
            rows[before[job.lot.id], k.SUCC] = index
        before[job.lot.id] = index
        row[k.AIM] = phase.need_by_day - buffer.get(job.name, 0)
        row[k.AIM_PRICE] = buffer_price * phase.priority
    for index, crew in enumerate(problem.crews):
        head = rows[len(problem.jobs) + index]
        head[k.SUB] = problem.subdivision_index[crew.at]
    return rows


def _fill(row: Array, problem: Problem, index: int) -> None:
    job = problem.jobs[index]
    phase = job.phase
    row[k.SUB] = problem.subdivision_index[job.lot.subdivision]
    row[k.RELEASE] = QUARTERS * max(0, phase.ready_day)
    row[k.NEED] = phase.need_by_day
    row[k.PRICE] = problem.weights.late_day * phase.priority
    row[k.BUILDER] = phase.builder_days_after_pass
    row[k.EXPOSED] = phase.phase in problem.rain_exposed_phases
    if phase.inspected:
        place = problem.subdivisions[row[k.SUB]]
        row[k.JUR] = problem.jurisdiction_index[place.jurisdiction]
    if not job.is_open:
        return
    if pin := problem.pin_of.get(job.name):
        row[k.PIN_DAY] = pin.day
        row[k.PIN_CREW] = problem.crew_index[pin.crew]
        row[k.RELEASE] = max(row[k.RELEASE], QUARTERS * pin.day)
    if told := problem.told_of.get(job.name):
        row[k.TOLD_DAY] = told.start_quarter // QUARTERS
        row[k.TOLD_CREW] = problem.crew_index[told.crew]


def _quarters(problem: Problem) -> Array:
    jobs = problem.jobs
    table = np.zeros((len(problem.crews), len(jobs)), dtype=np.int64)
    work = np.array([job.phase.crew_quarters for job in jobs], dtype=np.float64)
    kinds = {
        name: np.array([job.is_open and job.phase.phase == name for job in jobs], bool)
        for name in PHASES
    }
    for row, crew in zip(table, problem.crews, strict=True):
        # The same division and rounding as in Crew.quarters.
        takes = np.maximum(1, np.ceil(work / crew.speed)).astype(np.int64)
        for name in crew.phases:
            row[kinds[name]] = takes[kinds[name]]
    for pin in problem.pins:
        index = problem.job_index.get((pin.lot, pin.phase))
        for row, crew in zip(table, problem.crews, strict=True):
            if index is not None and crew.id != pin.crew:
                row[index] = 0
    return table


def _reach(problem: Problem, quarters: Array) -> int:
    """More days than any plan can need: all work one after the other, and waits."""
    work = int(quarters.max(axis=0, initial=0).sum()) // QUARTERS + 1
    longest = int(quarters.max(initial=0)) // QUARTERS + 2
    off = {day for crew in problem.crews for day in crew.days_off} | problem.rain_days
    closed = {day for one in problem.jurisdictions for day in one.closed_days}
    waits = max((one.lead_days for one in problem.jurisdictions), default=0)
    told = (one.start_quarter // QUARTERS for one in problem.published)
    last = max(
        len(problem.working_days),
        *(phase.ready_day for lot in problem.lots for phase in lot.phases),
        *(pin.day for pin in problem.pins),
        *(crew.free_from_quarter // QUARTERS for crew in problem.crews),
        *off,
        *closed,
        *told,
        0,
    )
    gates = max(
        (sum(p.builder_days_after_pass for p in lot.phases) for lot in problem.lots),
        default=0,
    )
    travel = max((max(row, default=0) for row in problem.move_quarters), default=0)
    drives = len(problem.jobs) * min(travel, QUARTERS) // QUARTERS
    full = (
        len(problem.jobs)
        * 5
        // max(1, min((one.daily_cap for one in problem.jurisdictions), default=1))
    )
    stops = len(off) * longest
    return last + work + stops + gates + drives + full + 4 * (waits + 8) + 16


def _next_off(problem: Problem, reach: int) -> Array:
    rows = []
    for rain in (frozenset[int](), problem.rain_days):
        for crew in problem.crews:
            rows.append(_next_in(crew.days_off | rain, reach))
    return _table(rows, reach)


def _next_visit(problem: Problem, reach: int) -> Array:
    rows = []
    for one in problem.jurisdictions:
        days = {day for day in range(reach) if problem.inspects(one, day)}
        rows.append(_next_in(days, reach))
    return _table(rows, reach)


def _next_in(days: frozenset[int] | set[int], reach: int) -> list[int]:
    """For each day the first of `days` not before it; beyond the last one: reach."""
    row, coming = [reach] * reach, reach
    for day in range(reach - 1, -1, -1):
        if day in days:
            coming = day
        row[day] = coming
    return row
