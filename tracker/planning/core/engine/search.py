# The tables hold integers that the checker cannot see through.
# mypy: disable-error-code="no-any-return"
"""Simulated annealing over crews, orders and holds."""

import math

from . import columns as k
from .compiled import allocating, compiled
from .decoder import begin, spread, touch, undo
from .dice import below, coin, fraction, percent
from .lists import renumber, write_down
from .moves import any_of, move_run, queue_touched, run_end, run_start
from .slack import note_latest


@compiled
def pick(fixed: k.Fixed, live: k.Live) -> int:
    """A job to move: any, often one that costs something or the one before it."""
    number = live.lists[k.HOT, 0]
    if number > 0 and percent(live) < fixed.sizes[k.HOT_PICKS]:
        job = live.lists[k.HOT, 1 + below(live, number)]
        pred = fixed.jobs[job, k.PRED]
        if pred >= 0 and percent(live) < 20:
            job = pred
            if live.counters[k.JOBS_COST] >= k.BROKEN_PIN:
                # What holds up a pin may stand further ahead.
                pred = fixed.jobs[job, k.PRED]
                if pred >= 0 and coin(live):
                    job = pred
    else:
        job = fixed.lists[k.OPEN, below(live, fixed.sizes[k.OPEN_COUNT])]
    return job


@compiled
def pick_run(fixed: k.Fixed, live: k.Live) -> tuple[int, int]:
    """First and last job of a run to move, (-1, -1) when the pick cannot move."""
    job = pick(fixed, live)
    if fixed.jobs[job, k.PIN_CREW] >= 0:
        if live.counters[k.JOBS_COST] >= k.BROKEN_PIN and coin(live):
            return job, job
        # A pin stays: move what stands before it.
        job = live.jobs[job, k.PREV]
    if job >= fixed.sizes[k.N] or fixed.jobs[job, k.PIN_CREW] >= 0:
        return -1, -1
    if live.jobs[job, k.CREW] < 0:
        return -1, -1
    throw = percent(live)
    if throw < 40:
        return job, job
    if throw < 70:
        # Runs are picked alike, be they long or short: short ones may save a drive.
        job = live.lists[k.RUNS, 1 + below(live, live.lists[k.RUNS, 0])]
        if fixed.jobs[job, k.PIN_CREW] >= 0:
            return -1, -1
        first = run_start(fixed, live, job, fixed.sizes[k.LONGEST])
        return first, run_end(fixed, live, first, fixed.sizes[k.LONGEST])
    few = 2 + (percent(live) & 3)
    if throw < 90:
        return job, run_end(fixed, live, job, few)
    return run_start(fixed, live, job, few), job


@compiled
def place_near_own(fixed: k.Fixed, live: k.Live, first: int) -> int:
    """Behind or before another job of the same subdivision."""
    sub = fixed.jobs[first, k.SUB]
    base = fixed.lists[k.SUB_START, sub]
    number = fixed.lists[k.SUB_START, sub + 1] - base
    around = live.jobs[first, k.SUB_PLACE] - base
    place = base + any_of(live, number, around, fixed.sizes[k.NEAR])
    other = live.lists[k.SUB_JOBS, place]
    if coin(live):
        return live.jobs[other, k.PREV]
    return other


@compiled
def place_sooner(fixed: k.Fixed, live: k.Live, first: int) -> int:
    """On its own crew ahead of what starts behind its pin, or one or two jobs more."""
    n, pin = fixed.sizes[k.N], fixed.jobs[first, k.PIN_DAY]
    after = live.jobs[first, k.PREV]
    while after < n and live.jobs[after, k.START] // 4 > pin:
        after = live.jobs[after, k.PREV]
    for _ in range(below(live, 3)):
        if after < n:
            after = live.jobs[after, k.PREV]
    return after


@compiled
def place_near_time(fixed: k.Fixed, live: k.Live, first: int) -> int:
    """Somewhere about the same time on any crew, rather between runs than in one."""
    jobs = live.jobs
    reach = max(10, fixed.sizes[k.OPEN_COUNT] // 12)
    longest = fixed.sizes[k.LONGEST]
    head = fixed.sizes[k.N] + below(live, fixed.sizes[k.CREWS])
    if jobs[head, k.NEXT] < 0:
        # A crew without work stands near nothing and would never be found.
        return head
    for _ in range(5):
        number, around = fixed.sizes[k.OPEN_COUNT], jobs[first, k.PLACE]
        other = live.lists[k.ORDER, any_of(live, number, around, reach)]
        if fixed.quarters[jobs[other, k.CREW], first] == 0:
            continue
        throw = percent(live)
        if throw < 33:
            return run_end(fixed, live, other, longest)
        if throw < 66:
            return jobs[run_start(fixed, live, other, longest), k.PREV]
        return other
    return -1


@compiled
def place_next_run(fixed: k.Fixed, live: k.Live, first: int, last: int) -> int:
    """Behind the next run on the crew, or before the one before."""
    jobs = live.jobs
    if coin(live):
        after = jobs[last, k.NEXT]
        return -1 if after < 0 else run_end(fixed, live, after, fixed.sizes[k.LONGEST])
    before = jobs[first, k.PREV]
    if before >= fixed.sizes[k.N]:
        return -1
    return jobs[run_start(fixed, live, before, fixed.sizes[k.LONGEST]), k.PREV]


@compiled
def swap_runs(fixed: k.Fixed, live: k.Live, first: int, last: int) -> int:
    """Exchange the run with one about the same time; the moves that adds."""
    jobs = live.jobs
    reach = max(10, fixed.sizes[k.OPEN_COUNT] // 25)
    place = any_of(live, fixed.sizes[k.OPEN_COUNT], jobs[first, k.PLACE], reach)
    other = live.lists[k.ORDER, place]
    if fixed.jobs[other, k.PIN_CREW] >= 0 or jobs[other, k.CREW] == jobs[first, k.CREW]:
        return k.REFUSED
    if percent(live) < 67:
        other = run_start(fixed, live, other, fixed.sizes[k.LONGEST])
        other_last = run_end(fixed, live, other, fixed.sizes[k.LONGEST])
    else:
        other_last = run_end(fixed, live, other, 1 + (percent(live) & 3))
    before = jobs[first, k.PREV]
    # The second half may win back what the first one costs.
    live.counters[k.ALLOWED] = k.REFUSED
    more = move_run(fixed, live, first, last, other_last)
    may_win = live.counters[k.MAY_WIN]
    if more == k.REFUSED:
        return more
    live.counters[k.MAY_WIN] = k.REFUSED
    second = move_run(fixed, live, other, other_last, before)
    live.counters[k.MAY_WIN] += may_win
    return k.REFUSED if second == k.REFUSED else more + second


@compiled
def shuffle_key(fixed: k.Fixed, live: k.Live) -> int:
    """Another place in the queue for an inspection, the crew's work as it is."""
    jobs, facts = live.jobs, fixed.jobs
    job = below(live, fixed.sizes[k.N])
    touch(live, job)
    low, high = 0, live.jobs[job, k.KEY] + k.TAIL
    if jobs[job, k.CREW] >= 0:
        low = max(0, live.jobs[jobs[job, k.PREV], k.KEY])
        if jobs[job, k.NEXT] >= 0:
            high = live.jobs[jobs[job, k.NEXT], k.KEY]
    if facts[job, k.PRED] >= 0:
        low = max(low, live.jobs[facts[job, k.PRED], k.KEY])
    if facts[job, k.SUCC] >= 0:
        high = min(high, live.jobs[facts[job, k.SUCC], k.KEY])
    low, high = (low >> k.ORDER_BITS) + 1, (high >> k.ORDER_BITS) - 1
    if high <= low:
        return k.REFUSED
    key = low + int((high - low) * (fraction(live) * 0.999))
    live.jobs[job, k.KEY] = (key << k.ORDER_BITS) | job
    return 0


@compiled
def toggle_hold(fixed: k.Fixed, live: k.Live) -> int:
    """Wait for the published day, or no longer."""
    job = fixed.lists[k.TOLD, below(live, fixed.sizes[k.TOLD_COUNT])]
    touch(live, job)
    live.jobs[job, k.HOLD] = 1 - live.jobs[job, k.HOLD]
    return 0


@compiled
def change(fixed: k.Fixed, live: k.Live) -> int:
    """One random change to the links; the price of the moves it adds, or REFUSED."""
    throw = percent(live)
    if throw < 1:
        return shuffle_key(fixed, live)
    if throw < 4 and fixed.sizes[k.TOLD_COUNT] > 0:
        return toggle_hold(fixed, live)
    first, last = pick_run(fixed, live)
    if first < 0:
        return k.REFUSED
    if fixed.jobs[first, k.PIN_CREW] >= 0:
        after = place_sooner(fixed, live, first)
    elif throw < 55:
        after = place_near_own(fixed, live, first)
    elif throw < 80:
        after = place_near_time(fixed, live, first)
    elif throw < 90:
        after = place_next_run(fixed, live, first, last)
    else:
        return swap_runs(fixed, live, first, last)
    if after < 0:
        return k.REFUSED
    return move_run(fixed, live, first, last, after)


@compiled
def trial(fixed: k.Fixed, live: k.Live, budget: float) -> bool:
    """Try one change; it stays when the score grows by at most `budget`."""
    begin(live)
    live.counters[k.ALLOWED] = int(budget)
    moves = change(fixed, live)
    if moves == k.REFUSED or moves - live.counters[k.JOBS_COST] > budget:
        undo(fixed, live)
        return False
    queue_touched(fixed, live)
    more = spread(fixed, live, budget - moves)
    if more == k.REFUSED or more + moves > budget:
        undo(fixed, live)
        return False
    live.counters[k.JOBS_COST] += more
    live.counters[k.MOVES_COST] += moves
    return True


@allocating
def copy_plan(source: k.Live, target: k.Live) -> None:
    """What makes a plan, without the lists that only serve the search."""
    target.jobs[:] = source.jobs
    target.counters[k.JOBS_COST] = source.counters[k.JOBS_COST]
    target.counters[k.MOVES_COST] = source.counters[k.MOVES_COST]


@compiled
def score_of(live: k.Live) -> int:
    return live.counters[k.JOBS_COST] + live.counters[k.MOVES_COST]


@allocating
def anneal(fixed: k.Fixed, live: k.Live, best: k.Live, heat: float, steps: int) -> int:
    """`steps` trials at one temperature; `best` keeps the best plan met.

    Gives the number of changes kept.
    """
    note_latest(fixed, live, renumber(fixed, live))
    write_down(fixed, live)
    kept, best_score = 0, score_of(best)
    for _ in range(steps):
        budget = -heat * math.log(fraction(live))
        if not trial(fixed, live, budget):
            continue
        kept += 1
        score = score_of(live)
        if score < best_score:
            best_score = score
            copy_plan(live, best)
    return kept
