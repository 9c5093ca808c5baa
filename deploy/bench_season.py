"""A quarter planned day by day against "first ready lot to the first free crew".

Run: `bash deploy/bench season`, or from the top of the project
`python -m deploy.bench_season [--demo] [--buffers] [--seeds N]`. Both rules meet the
same builders, rain, durations and inspectors; the figures of each are printed side by
side. `--demo` also makes the demo in a folder that goes away and times each re-plan of
it: rain, a failed inspection, a builder's slip. `--buffers` runs the planner alone with
each buffer of the slider: the evidence for the one that is set.
"""

import argparse
import sys
import time
from collections import Counter
from dataclasses import replace

from deploy.season_world import (
    DAYS,
    SKILLS,
    TAIL,
    Name,
    Piece,
    World,
    frame,
    make_world,
    naive_choice,
)
from tracker.planning.core.plan import Engine, Plan
from tracker.planning.core.problem import (
    OPEN,
    PASSED,
    QUARTERS,
    Lot,
    LotPhase,
    Problem,
    Told,
)
from tracker.planning.core.season import Season, buffers
from tracker.planning.core.solve import Aim, Effort, solve
from tracker.planning.core.warm import warm

EFFORT = Effort(iterations=60_000)
TOLD_DAYS = 10
AHEAD = 10 * QUARTERS  # a crew that waits takes its own later work from so far ahead
BUFFER = 2.0  # times the expected re-inspection days: what the slider is set to
LEVELS = (0, 1, 2, 3, 4)
CHANCE = 0.87
LOADS = (5, 6)  # lots a week: five keep the crews busy, six are all they can do
BETTER = ("late days", "drives", "covers at risk")


class Planner:
    """Plans every morning, keeps what crews were told where that pays."""

    def __init__(self, world: World, buffer: float = BUFFER) -> None:
        self.world, self.buffer = world, buffer
        self.told: dict[Name, tuple[str, int]] = {}
        self.plan: Plan | None = None
        self.lines: dict[str, list[tuple[int, Piece]]] = {}
        self.slowest = 0.0

    def morning(self, day: int) -> None:
        problem, pieces = self.problem(day)
        began = time.monotonic()
        aim = Aim(buffers(problem, self.buffer, Season()))
        start = _shifted(self.plan) if self.plan else None
        plan = solve(problem, EFFORT, start=start, aim=aim)
        self.slowest = max(self.slowest, time.monotonic() - began)
        self.plan, self.lines = plan, {}
        told: dict[Name, tuple[str, int]] = {}
        for job in plan.jobs:
            start_at = QUARTERS * day + (job.start_quarter or 0)
            if job.crew is None:
                continue
            line = self.lines.setdefault(job.crew, [])
            line.append((start_at, pieces[job.name]))
            if (job.start_quarter or 0) < QUARTERS * TOLD_DAYS:
                told[job.name] = (job.crew, start_at)
        for name, (crew, start_at) in self.told.items():
            if name in pieces and start_at >= QUARTERS * day:
                now = told.get(name, ("", -1))
                same = (crew, start_at // QUARTERS) == (now[0], now[1] // QUARTERS)
                self.world.changes += not same
        for line in self.lines.values():
            line.sort(key=lambda one: one[0])
        self.told = told

    def problem(self, day: int) -> tuple[Problem, dict[Name, Piece]]:
        """What the office knows this morning, day 0 being today."""
        world, pieces, lots = self.world, {}, {}
        for piece in world.pieces:
            if piece.passed is None and piece.ready < day + DAYS:
                lots.setdefault((piece.lot, piece.place), []).append(
                    _phase(world, piece, day)
                )
                pieces[piece.name] = piece
        free = {
            crew: max(0, until - QUARTERS * day) for crew, until in world.free.items()
        }
        base = world.problem
        rain = frozenset(one for one in (0,) if day in world.rain)
        kept = tuple(
            Lot(name, place, tuple(phases))
            for (name, place), phases in lots.items()
            if any(phase.status != PASSED for phase in phases)
        )
        open_names = {
            (lot.id, phase.phase)
            for lot in kept
            for phase in lot.phases
            if phase.status == OPEN
        }
        problem = replace(
            base,
            weekday_of_day0=day % 5,
            working_days=base.working_days[day:],
            lots=kept,
            rain_days=rain,
            crews=tuple(
                replace(c, at=world.at[c.id], free_from_quarter=free[c.id])
                for c in base.crews
            ),
            published=tuple(
                Told(*name, crew, at - QUARTERS * day)
                for name, (crew, at) in self.told.items()
                if name in open_names and at >= QUARTERS * day
            ),
        )
        return problem, pieces

    def choice(self, crew: str, day: int, quarter: int) -> Piece | None:
        """Its next job that can begin; one from farther on rather than waiting."""
        for start, piece in self.lines.get(crew, ()):
            if start > quarter + AHEAD:
                return None
            if self.world.may_begin(piece, day):
                return piece
        return None


def _phase(world: World, piece: Piece, day: int) -> LotPhase:
    """A piece as the planner may know it: its real length and failures he does not."""
    status, ready = OPEN, piece.forecast(day) - day
    if piece.begun is not None and not piece.redo:
        status = PASSED
    before = piece.before
    if before is not None and before.passed is not None:
        ready = max(ready, before.passed + 1 + before.wait - day)
        if piece.slip and day >= piece.ready - 3:
            ready = max(ready, (piece.opens() or 0) - day)
    elif before is not None and before.visit is not None:
        ready = max(ready, before.visit + 1 + before.wait - day)
    return LotPhase(
        phase=piece.phase,
        status=status,
        crew_quarters=1 if piece.redo else piece.planned,
        ready_day=ready,
        need_by_day=piece.need_by + piece.slip - day,
        priority=3 if piece.phase != "trim" else 2,
        builder_days_after_pass=piece.wait,
        pass_probability=CHANCE,
    )


def _shifted(plan: Plan) -> Plan:
    """Yesterday's plan counted from today."""
    jobs = tuple(
        replace(
            job,
            start_quarter=(job.start_quarter or 0) - QUARTERS,
            end_quarter=job.end_quarter - QUARTERS,
            inspection_day=(job.inspection_day or 0) - 1,
        )
        for job in plan.jobs
        if job.crew is not None
    )
    return replace(plan, jobs=jobs, engine=Engine())


def live(
    seed: int, lots_a_week: int, *, planned: bool, buffer: float = BUFFER
) -> tuple[World, float]:
    """A quarter by one of the rules; the world at its end and the slowest re-plan."""
    world = make_world(seed, frame(DAYS + TAIL + 90), lots_a_week=lots_a_week)
    planner = Planner(world, buffer)
    for day in range(DAYS + TAIL):
        if planned:
            planner.morning(day)
        for quarter in range(QUARTERS * day, QUARTERS * (day + 1)):
            for crew in world.free:
                if world.free[crew] > quarter:
                    continue
                piece = (
                    planner.choice(crew, day, quarter)
                    if planned
                    else naive_choice(world, crew, day)
                )
                if piece is not None:
                    world.begin(piece, crew, quarter)
        world.results(day)
    return world, planner.slowest


def quarter(seeds: int, lots_a_week: int) -> bool:
    """Prints the table; False where the planner does not do better."""
    print(f"\n-- {lots_a_week} lots a week for {len(SKILLS)} crews", flush=True)
    sums = {True: Counter(), False: Counter()}
    slowest = 0.0
    for seed in range(1, seeds + 1):
        for planned in (True, False):
            world, took = live(seed, lots_a_week, planned=planned)
            slowest = max(slowest, took)
            sums[planned].update(world.figures())
            print(f"seed {seed} {'planned' if planned else 'naive  '}", end=" ")
            print(", ".join(f"{k} {v}" for k, v in world.figures().items()), flush=True)
    print(f"\n{'sum of the seeds':<28}{'planned':>10}{'naive':>10}")
    for name in sums[True]:
        shown = sums[False][name] if name != "changes to what was told" else "none told"
        print(f"{name:<28}{sums[True][name]:>10}{shown:>10}")
    print(f"slowest re-plan {slowest:.2f} s")
    worse = [n for n in BETTER if sums[True][n] > sums[False][n]]
    if worse:
        print(f"NOT BETTER: {', '.join(worse)}")
    return not worse


def compare_buffers(seeds: int) -> None:
    """Sums over the seeds for each buffer, at both loads."""
    for lots in LOADS:
        print(f"\n-- {lots} lots a week, planned with each buffer", flush=True)
        names = ("late phases", "late days", "drives", "covers at risk")
        print(f"{'buffer':>8}" + "".join(f"{name:>16}" for name in names))
        for buffer in LEVELS:
            sums: Counter[str] = Counter()
            for seed in range(1, seeds + 1):
                world, _ = live(seed, lots, planned=True, buffer=buffer)
                sums.update(world.figures())
            shown = "".join(f"{sums[name]:>16}" for name in names)
            print(f"{buffer:>8}{shown}", flush=True)


def main() -> int:
    parser = argparse.ArgumentParser()
    parser.add_argument("--seeds", type=int, default=2)
    parser.add_argument("--demo", action="store_true")
    parser.add_argument("--buffers", action="store_true")
    options = parser.parse_args()
    warm()
    if options.buffers:
        compare_buffers(options.seeds)
        return 0
    tables = [quarter(options.seeds, lots) for lots in LOADS]
    if options.demo:
        from deploy.demo_replans import run

        run()
    return 0 if all(tables) else 1


if __name__ == "__main__":
    sys.exit(main())
