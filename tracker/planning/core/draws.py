"""The simulation behind the odds, all draws of a job at once in numpy."""

from typing import Any

import numpy as np

from .plan import Plan
from .problem import QUARTERS, Job, Problem
from .season import Name, Sampled, Season, Spread, called_in
from .visits import Offices

Array = Any
DAY = float(QUARTERS)


def draw_passes(
    problem: Problem, plan: Plan, season: Season, draws: int, seed: int
) -> Array:
    """Pass days [jobs, draws] of the plan's jobs, in the order of `problem.jobs`."""
    return live(problem, plan, season, draws, seed).passes


def live(
    problem: Problem, plan: Plan, season: Season, draws: int, seed: int
) -> "World":
    """All draws lived to the end: `passes`, and `called` for what is called in."""
    world = World(problem, plan, season, draws, seed)
    for index in _dated_order(problem, plan):
        world.live_through(index)
    return world


def _dated_order(problem: Problem, plan: Plan) -> list[int]:
    """Jobs in the engine's order; by start where a plan comes without it."""
    index = problem.job_index
    if plan.engine.order:
        return [index[plan.jobs[place].name] for place in plan.engine.order]

    def start(place: int) -> int:
        quarter = plan.jobs[place].start_quarter
        return -1 if quarter is None else quarter

    places = sorted(range(len(plan.jobs)), key=start)
    return [index[plan.jobs[place].name] for place in places]


class World:
    """The state of all draws: where each crew stands, who passed, what is booked."""

    def __init__(
        self, problem: Problem, plan: Plan, season: Season, draws: int, seed: int
    ) -> None:
        self.problem, self.season, self.draws = problem, season, draws
        self.dice = np.random.default_rng(seed)
        self.planned = plan.by_name()
        self.days = self._reach(plan)
        self.passes = np.zeros((len(problem.jobs), draws), dtype=np.int32)
        self.every = np.arange(draws)
        self.crews = {crew.id: self._crew(crew.id) for crew in problem.crews}
        self.rain = self._share_of_days(season.rain_share)
        self.rain[sorted(problem.rain_days), :] = True
        self.offices = Offices(problem, season, (self.days, draws), self.dice)
        self.called = self._hear()

    def _reach(self, plan: Plan) -> int:
        last = max((job.pass_day for job in plan.jobs), default=0)
        last = max(last, *self.season.called_in.values(), 0)
        off = {day for crew in self.problem.crews for day in crew.days_off}
        slow = len(self.problem.working_days) // 2 + 60
        return max(last, *off, *self.problem.rain_days, 0) + slow

    def _share_of_days(self, share: float) -> Array:
        if not share:
            return np.zeros((self.days + 1, self.draws), dtype=bool)
        return self.dice.random((self.days + 1, self.draws), dtype=np.float32) < share

    def _crew(self, crew_id: str) -> dict[str, Array]:
        crew = self.problem.crews[self.problem.crew_index[crew_id]]
        off = self._share_of_days(self.season.absence_share)
        off[sorted(crew.days_off), :] = True
        place = self.problem.subdivision_index[crew.at]
        free = np.full(self.draws, float(crew.free_from_quarter))
        return {
            "off": off,
            "free": free,
            "gap_from": free.copy(),
            "gap_to": np.full(self.draws, -1.0),
            "at": np.full(self.draws, place),
        }

    def _hear(self) -> dict[Name, Array]:
        """Pass days of what is called in: its visit is booked, its result is drawn."""
        heard = {}
        lots = self.problem.lots if self.season.called_in else ()
        for job in (one for lot in lots for one in called_in(lot, self.season)):
            visit = max(0, self.season.called_in[job.name])
            first = np.full(self.draws, visit)
            heard[job.name] = self.offices.until_passed(job, first)[0].astype(np.int32)
        return heard

    def live_through(self, index: int) -> None:
        job = self.problem.jobs[index]
        end = np.zeros(self.draws)
        if job.is_open:
            end = self._work(index, job)
        self.passes[index] = self._inspect(job, end)

    def _opens(self, index: int, job: Job) -> Array:
        """The quarter from which builder and the phase before let the work start."""
        slip = np.zeros(self.draws, dtype=np.int64)
        if self.season.slip_share:
            slips = self.dice.random(self.draws) < self.season.slip_share
            by = self.dice.integers(1, self.season.slip_days + 1, self.draws)
            slip = np.where(slips, by, 0)
        ready = max(0, job.phase.ready_day)
        day = ready + (slip if job.phase.ready_day > 0 else 0 * slip)
        before = self._before(index)
        if before is not None:
            builder = self.problem.jobs[before].phase.builder_days_after_pass
            gate = self.passes[before] + 1 + builder
            day = np.maximum(day, gate + (slip if builder else 0))
        for called in called_in(job.lot, self.season):
            visit = max(0, self.season.called_in[called.name])
            # The builder needs no longer than between that visit and his ready day.
            said = max(0, ready - visit - 1)
            builder = min(said, called.phase.builder_days_after_pass)
            gate = self.called[called.name] + 1 + builder
            day = np.maximum(day, gate + (slip if builder else 0))
        return DAY * day

    def _before(self, index: int) -> int | None:
        jobs = self.problem.jobs
        same = index > 0 and jobs[index - 1].lot.id == jobs[index].lot.id
        return index - 1 if same else None

    def _work(self, index: int, job: Job) -> Array:
        planned = self.planned[job.name]
        crew_id = planned.crew or ""
        crew = self.crews[crew_id]
        takes = self.problem.crews[self.problem.crew_index[crew_id]].quarters(
            job.phase.crew_quarters
        )
        opens = self._opens(index, job)
        if pin := self.problem.pin_of.get(job.name):
            opens = np.maximum(opens, DAY * pin.day)
        real = takes * self._ratios(self.season.spread(job))
        blocked = crew["off"]
        if job.phase.phase in self.problem.rain_exposed_phases:
            blocked = blocked | self.rain
        place = self.problem.subdivision_index[job.lot.subdivision]
        free = self._after_drive(crew, place)
        start = self._fitting(np.maximum(opens, free), takes, blocked)
        end = self._finish(start, real, blocked)
        early = self._in_gap(crew, opens, takes, real, blocked)
        self._move_on(crew, start, end, early, planned.start_quarter or 0, place)
        return np.where(early >= 0, early, end)

    def _ratios(self, spread: Spread | Sampled) -> Array:
        if isinstance(spread, Sampled):
            return self.dice.choice(np.array(spread.ratios), self.draws)
        if not spread.sigma:
            return np.full(self.draws, spread.median)
        logs = spread.sigma * self.dice.standard_normal(self.draws)
        return spread.median * np.exp(logs)

    def _after_drive(self, crew: dict[str, Array], place: int) -> Array:
        """When each draw's crew is there: driven behind the work or next morning."""
        table = np.array(self.problem.move_quarters)
        lost = np.where(crew["at"] == place, 0, table[crew["at"], place])
        morning = np.ceil(crew["free"] / DAY - 1e-9) * DAY
        there = np.minimum(crew["free"] + lost, morning)
        return np.where(crew["at"] == place, crew["free"], there)

    def _fitting(self, start: Array, takes: int, blocked: Array) -> Array:
        """Later where the planned length would run into a blocked day."""
        if not blocked.any():
            return start
        start = start.copy()
        for _ in range(60):
            moved = False
            first = np.floor(start / DAY).astype(np.int64)
            last = np.ceil((start + takes) / DAY - 1e-9).astype(np.int64) - 1
            for step in range(int((last - first).max()) + 1):
                day = np.minimum(first + step, self.days)
                hit = blocked[day, self.every] & (first + step <= last)
                hit &= first + step < self.days
                if hit.any():
                    start = np.where(hit, DAY * (day + 1), start)
                    moved = True
                    break
            if not moved:
                break
        return start

    def _finish(self, start: Array, real: Array, blocked: Array) -> Array:
        """The end of the work; what meets a blocked day goes on behind it."""
        if not blocked.any():
            return start + real
        now, rest = start.copy(), real.copy()
        while (working := rest > 1e-9).any():
            day = np.floor(now / DAY + 1e-9).astype(np.int64)
            night = DAY * (day + 1)
            wait = blocked[np.minimum(day, self.days), self.every] & working
            wait &= day < self.days
            done = np.where(wait, 0.0, np.minimum(rest, night - now))
            now = np.where(wait, night, now + done)
            rest = rest - done
        return now

    def _in_gap(
        self,
        crew: dict[str, Array],
        opens: Array,
        takes: int,
        real: Array,
        blocked: Array,
    ) -> Array:
        """Ends of the draws in which the work fits a wait before; -1 elsewhere."""
        none = np.full(self.draws, -1.0)
        open_gap = crew["gap_to"] - crew["gap_from"] >= takes + 1
        if not (self.season.fill_waits and open_gap.any()):
            return none
        # One quarter for the drive there.
        start = self._fitting(np.maximum(opens, crew["gap_from"] + 1), takes, blocked)
        end = self._finish(start, real, blocked)
        return np.where(open_gap & (end + 1 <= crew["gap_to"]), end, none)

    def _move_on(
        self,
        crew: dict[str, Array],
        start: Array,
        end: Array,
        early: Array,
        planned_start: int,
        place: int,
    ) -> None:
        """Note where each draw's crew stands now and the wait it may still use."""
        in_gap = early >= 0
        crew["gap_from"] = np.where(in_gap, early, crew["gap_from"])
        # Only a wait that the plan did not mean is filled.
        since = np.maximum(crew["free"], planned_start)
        larger = start - since > np.maximum(crew["gap_to"] - crew["gap_from"], 0)
        new_gap = ~in_gap & larger
        crew["gap_from"] = np.where(new_gap, since, crew["gap_from"])
        crew["gap_to"] = np.where(new_gap, start, crew["gap_to"])
        crew["free"] = np.where(in_gap, crew["free"], end)
        crew["at"] = np.where(in_gap, crew["at"], place)

    def _inspect(self, job: Job, end: Array) -> Array:
        if not job.phase.inspected:
            return np.ceil(end / DAY - 1e-9).astype(np.int32) - 1
        day, failures = self.offices.until_passed(
            job, self.offices.first_visit(job, end)
        )
        planned = self.planned[job.name]
        if planned.crew is not None:
            crew = self.crews[planned.crew]
            crew["free"] = crew["free"] + failures * self.season.rework_quarters
        return day.astype(np.int32)
