"""Where a search starts: a first plan made at once, or a plan carried over."""

from collections.abc import Callable, Iterator
from itertools import count

import numpy as np

from .engine import columns as k
from .engine.dispatch import dispatch
from .engine.insertion import free_pins, put_in
from .plan import Plan
from .problem import Problem
from .state import Order, blank, load, unload

# Slack in quarters worth a factor e, price of a move, price of a quarter's wait.
RULES = ((12.0, 1.5, 0.3), (24.0, 1.5, 0.3), (12.0, 3.0, 0.3), (6.0, 1.5, 1.0))


def free_quarters(problem: Problem) -> list[int]:
    return [crew.free_from_quarter for crew in problem.crews]


def dispatched(
    problem: Problem, fixed: k.Fixed, enough: Callable[[], bool]
) -> tuple[int, Order]:
    """The best first plan of a few rules, the first of them whatever the clock says."""
    live = blank(fixed)
    free = free_quarters(problem)
    found: list[tuple[int, int, Order]] = []
    for number, rule in zip(count(), RULES, strict=False):
        if found and enough():
            break
        dispatch(fixed, live, np.array(free, dtype=np.int64), np.array(rule))
        order = unload(fixed, live)
        score = load(fixed, live, order, free)
        if score >= k.BROKEN_PIN:
            free_pins(fixed, live)
            order, score = unload(fixed, live), score_of(live)
        found.append((score, number, order))
    score, _, order = min(found)
    return score, order


def score_of(live: k.Live) -> int:
    return int(live.counters[k.JOBS_COST] + live.counters[k.MOVES_COST])


def carried_over(problem: Problem, fixed: k.Fixed, plan: Plan) -> tuple[int, Order]:
    """The plan's own order taken over to a problem that may have changed.

    Jobs of the same name keep crew, hold and place in the order; new ones and those
    whose crew may no longer do them are put in where they cost least. Tried as it is,
    and ordered by the new earliest starts; the better one counts.
    """
    live, free = blank(fixed), free_quarters(problem)
    orders = list(_orders(problem, fixed, plan))
    scores = [load(fixed, live, order, free) for order, _ in orders]
    order, lost = orders[scores.index(min(scores))]
    load(fixed, live, order, free)
    for job in lost:
        put_in(fixed, live, job)
    if score_of(live) >= k.BROKEN_PIN:
        free_pins(fixed, live)
    return score_of(live), unload(fixed, live)


def _orders(
    problem: Problem, fixed: k.Fixed, plan: Plan
) -> Iterator[tuple[Order, list[int]]]:
    n = len(problem.jobs)
    places = plan.engine.order or _by_start(plan)
    known = [problem.job_index.get(plan.jobs[place].name) for place in places]
    kept = [job for job in known if job is not None]
    crew, lost = [-1] * n, []
    old = plan.by_name()
    for index, job in enumerate(problem.jobs):
        if not job.is_open:
            continue
        was = old.get(job.name)
        able = fixed.quarters[:, index]
        number = problem.crew_index.get(was.crew or "", -1) if was else -1
        if number < 0 or able[number] == 0:
            number = int(np.flatnonzero(able)[0])
            lost.append(index)
        crew[index] = number
    hold = _holds(problem, fixed, plan)
    by_start = _new_starts(problem, plan)
    rank = {job: place for place, job in enumerate(kept)}
    everything = sorted(range(n), key=lambda j: (by_start[j], rank.get(j, n), j))
    missing = [job for job in everything if job not in rank]
    first = [job for job in missing if not problem.jobs[job].is_open]
    rest = [job for job in missing if problem.jobs[job].is_open]
    as_it_was = _lot_order(problem, first + kept + rest)
    yield Order(as_it_was, crew, hold), lost
    yield Order(_lot_order(problem, everything), crew, hold), lost


def _by_start(plan: Plan) -> list[int]:
    def when(place: int) -> tuple[int, int]:
        job = plan.jobs[place]
        return (-1 if job.start_quarter is None else job.start_quarter, place)

    return sorted(range(len(plan.jobs)), key=when)


def _holds(problem: Problem, fixed: k.Fixed, plan: Plan) -> list[int]:
    held = {plan.jobs[place].name for place in plan.engine.hold}
    told = fixed.jobs[:, k.TOLD_CREW] >= 0
    return [int(job.name in held and told[i]) for i, job in enumerate(problem.jobs)]


def _new_starts(problem: Problem, plan: Plan) -> list[int]:
    """Per job the old start, or the later one that the changed problem forces."""
    old = plan.by_name()
    starts: list[int] = []
    gate: dict[str, int] = {}
    for job in problem.jobs:
        was = old.get(job.name)
        start = -1
        if job.is_open:
            start = max(0, 4 * job.phase.ready_day, gate.get(job.lot.id, 0))
            if was and was.start_quarter is not None:
                start = max(start, was.start_quarter)
            if pin := problem.pin_of.get(job.name):
                start = max(start, 4 * pin.day)
        waits = was.pass_day - was.end_quarter // 4 if was else 1
        passed = max(start + 1, 0) // 4 + max(0, waits)
        gate[job.lot.id] = 4 * (passed + 1 + job.phase.builder_days_after_pass)
        starts.append(start)
    return starts


def _lot_order(problem: Problem, jobs: list[int]) -> list[int]:
    """The same order, with a lot's phases never before the phase ahead of them."""
    waiting: dict[int, list[int]] = {}
    done: set[int] = set()
    ordered: list[int] = []
    before = _before(problem)
    for job in jobs:
        pred = before.get(job)
        if pred is not None and pred not in done:
            waiting.setdefault(pred, []).append(job)
            continue
        ready = [job]
        while ready:
            one = ready.pop()
            ordered.append(one)
            done.add(one)
            ready.extend(waiting.pop(one, []))
    return ordered


def _before(problem: Problem) -> dict[int, int]:
    pairs = {}
    jobs = problem.jobs
    for index in range(1, len(jobs)):
        if jobs[index].lot.id == jobs[index - 1].lot.id:
            pairs[index] = index - 1
    return pairs
