"""Solving: a first plan at once, then annealing until time or trials run out."""

import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from .aim import Aim
from .engine import columns as k
from .engine.floors import note_floors
from .engine.search import anneal, copy_plan
from .english import said_pin
from .errors import BadProblem
from .pins import pin_conflicts
from .plan import Plan, Score
from .problem import Problem
from .replan import settle_on
from .result import plan_from, score_now
from .start import carried_over, dispatched, free_quarters, score_of
from .state import Order, blank, load, unload
from .tables import fixed_tables

HOT, COLD = 5.0, 0.7  # points of the score
HOT_AGAIN = 4.0  # when a plan is carried over
ROUNDS = 200
MOST_TRIALS = 20_000  # between two looks at `stop`
# To keep the pins, before anything else. Hot and cold in turn: what frees a pin may
# cost much at first, and seldom another pin.
PIN_ROUNDS, PIN_TRIALS = 96, 2500
PIN_HEATS = (5.0, 50.0, 500.0, 5000.0, 5.0, 500.0, 5.0 * k.BROKEN_PIN, 50.0)
MEETINGS = (0.5, 0.7, 0.85, 1.0)  # shares of the effort


@dataclass(frozen=True)
class Effort:
    """How long to search: `seconds` by the clock, or exactly `iterations` trials.

    Only a number of trials gives the same plan every time.
    """

    seconds: float | None = None
    iterations: int | None = None
    seed: int = 1
    chains: int = 2


@dataclass(frozen=True)
class Progress:
    iterations: int
    seconds: float
    share: float  # of the effort, 0 to 1
    score: Score


def never() -> bool:
    return False


def solve(
    problem: Problem,
    effort: Effort,
    *,
    start: Plan | None = None,
    aim: Aim | None = None,
    threshold: float | None = None,
    stop: Callable[[], bool] = never,
    progress: Callable[[Progress], None] | None = None,
) -> Plan:
    """The best plan found.

    `start` is carried over first; while it holds it comes back itself unless the score
    falls by more than `threshold` (see replan.py). `stop` is asked many times a second;
    once it says yes, the best plan so far comes back. Raises BadProblem when pins
    contradict, NoPlan when no plan that keeps them was found.
    """
    began = time.monotonic()
    if conflicts := pin_conflicts(problem):
        raise BadProblem("\n".join(map(said_pin, conflicts)), conflicts)
    aim = aim or Aim()
    fixed = fixed_tables(problem, buffer=aim.buffer, buffer_price=aim.price)
    limit = effort.seconds if effort.iterations is None else None
    clock = Clock(began, limit, effort.iterations or 0)
    search = Search(problem, fixed, effort)
    search.begin(start, lambda: stop() or clock.share(0) > 0.05)
    search.keep_pins(stop)
    search.run(clock, HOT if start is None else HOT_AGAIN, stop, progress)
    plan = search.best_plan()
    if start is None:
        return plan
    return settle_on(problem, start, plan, aim=aim, threshold=threshold)


@dataclass
class Clock:
    began: float
    seconds: float | None
    iterations: int

    def elapsed(self) -> float:
        return time.monotonic() - self.began

    def share(self, done: int) -> float:
        """How much of the effort is spent, 0 to 1."""
        if self.seconds is not None:
            return min(1.0, self.elapsed() / max(self.seconds, 1e-9))
        return min(1.0, done / self.iterations) if self.iterations else 1.0


def fitting(clock: Clock, steps: int, took: float) -> int:
    """Trials for a round of about a two-hundredth of the time, at most 50 ms."""
    assert clock.seconds is not None
    wanted = min(0.05, max(0.002, clock.seconds / ROUNDS))
    wanted = min(wanted, max(0.0005, clock.seconds - clock.elapsed()))
    return max(50, min(100_000, int(steps * wanted / max(took, 1e-6))))


class Search:
    """Chains of annealing on one problem, and the best plan they met."""

    def __init__(self, problem: Problem, fixed: k.Fixed, effort: Effort) -> None:
        self.problem, self.fixed, self.effort = problem, fixed, effort
        self.free = free_quarters(problem)
        note_floors(fixed, np.array(self.free, dtype=np.int64))
        seeds = range(effort.chains)
        self.live = [blank(fixed, effort.seed * 64 + i) for i in seeds]
        self.best = [blank(fixed) for _ in seeds]
        self.done = [0 for _ in seeds]

    def begin(self, start: Plan | None, enough: Callable[[], bool]) -> None:
        if start is None:
            _, order = dispatched(self.problem, self.fixed, enough)
        else:
            _, order = carried_over(self.problem, self.fixed, start)
        for chain in range(len(self.live)):
            self.put(chain, order)
            copy_plan(self.live[chain], self.best[chain])

    def keep_pins(self, stop: Callable[[], bool]) -> None:
        """Search until every pin is kept, but not for ever, whatever the effort."""
        for number in range(PIN_ROUNDS):
            if self.best_score() < k.BROKEN_PIN or stop():
                break
            heat = PIN_HEATS[number % len(PIN_HEATS)]
            for live, best in zip(self.live, self.best, strict=True):
                anneal(self.fixed, live, best, heat, PIN_TRIALS)
        self.meet()

    def put(self, chain: int, order: Order) -> None:
        load(self.fixed, self.live[chain], order, self.free)

    def best_score(self) -> int:
        return min(score_of(best) for best in self.best)

    def leader(self) -> int:
        scores = [score_of(best) for best in self.best]
        return scores.index(min(scores))

    def run(
        self,
        clock: Clock,
        hot: float,
        stop: Callable[[], bool],
        progress: Callable[[Progress], None] | None,
    ) -> None:
        """All chains side by side; at each meeting the worst takes the best plan."""
        if not self.fixed.sizes[k.OPEN_COUNT]:
            return

        def chain(number: int, until: float) -> None:
            say = progress if number == 0 else None
            self.run_chain(number, clock, hot, until, stop, say)

        with ThreadPoolExecutor(len(self.live)) as pool:
            for until in MEETINGS:
                tasks = [pool.submit(chain, i, until) for i in range(len(self.live))]
                for task in tasks:
                    task.result()
                self.meet()

    def run_chain(
        self,
        chain: int,
        clock: Clock,
        hot: float,
        until: float,
        stop: Callable[[], bool],
        progress: Callable[[Progress], None] | None,
    ) -> None:
        """Rounds of trials, cooling down, until that share of the effort is spent."""
        steps = 1000
        if clock.seconds is None:
            steps = max(1, -(-clock.iterations // (ROUNDS * len(self.live))))
            steps = min(steps, MOST_TRIALS)
        told = clock.elapsed()
        while not stop():
            share = clock.share(self.done[chain] * len(self.live))
            if share >= until:
                break
            before = time.monotonic()
            heat = hot * (COLD / hot) ** share
            anneal(self.fixed, self.live[chain], self.best[chain], heat, steps)
            self.done[chain] += steps
            if clock.seconds is not None:
                steps = fitting(clock, steps, time.monotonic() - before)
            if progress and clock.elapsed() - told > 0.25:
                told = clock.elapsed()
                progress(self.report(chain, clock))
        if progress:
            progress(self.report(chain, clock))

    def meet(self) -> None:
        leader = self.leader()
        scores = [score_of(best) for best in self.best]
        worst = scores.index(max(scores))
        if scores[worst] > scores[leader]:
            self.put(worst, unload(self.fixed, self.best[leader]))
            copy_plan(self.live[worst], self.best[worst])

    def report(self, chain: int, clock: Clock) -> Progress:
        done = sum(self.done)
        score = score_now(self.problem, self.best[chain])
        return Progress(done, clock.elapsed(), clock.share(done), score)

    def best_plan(self) -> Plan:
        best = self.best[self.leader()]
        load(self.fixed, self.live[0], unload(self.fixed, best), self.free)
        return plan_from(self.problem, self.fixed, self.live[0])
