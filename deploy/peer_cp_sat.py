"""The off-the-shelf peer: the look-ahead as one plain CP-SAT model.

`python -m deploy.peer_cp_sat PROBLEM.json SECONDS` prints one line. One circuit a crew
over the jobs it may do, an optional interval for each job and crew, days off as fixed
intervals, inspection days by element and cumulative caps, lateness and moves priced.
Published plans are left out; it is run on problems without one.
"""

import json
import resource
import sys
import time
from itertools import product
from pathlib import Path
from typing import Any

from ortools.sat.python import cp_model

from tracker.planning.core.judge import judge
from tracker.planning.core.plan import Plan, PlannedJob, score_jobs, write_plan
from tracker.planning.core.problem import QUARTERS, Job, Problem
from tracker.planning.core.problem_json import read_problem

DAYS = 150  # the horizon of the reference problems and a tail


class Model:
    """Variables and rules; `ends`, `visits` and `crew_of` read a solution back."""

    def __init__(self, problem: Problem) -> None:
        self.problem, self.model = problem, cp_model.CpModel()
        self.last = QUARTERS * DAYS
        self.start: dict[int, Any] = {}
        self.end: dict[int, Any] = {}
        self.visit: dict[int, Any] = {}
        self.on: dict[tuple[int, int], Any] = {}
        self.price: list[Any] = []
        self.booked: dict[int, list[Any]] = {}
        for index, job in enumerate(problem.jobs):
            self.add_job(index, job)
        for crew in range(len(problem.crews)):
            self.add_circuit(crew)
        for line, intervals in self.booked.items():
            cap = problem.jurisdictions[line].daily_cap
            self.model.add_cumulative(intervals, [1] * len(intervals), cap)
        self.model.minimize(sum(self.price))

    def add_job(self, index: int, job: Job) -> None:
        model, problem = self.model, self.problem
        if job.is_open:
            first = QUARTERS * max(0, job.phase.ready_day)
            start = model.new_int_var(first, self.last, "")
            end = model.new_int_var(first, self.last, "")
            self.start[index], self.end[index] = start, end
            before = index - 1
            if before in self.visit and problem.jobs[before].lot.id == job.lot.id:
                wait = 1 + problem.jobs[before].phase.builder_days_after_pass
                model.add(start >= QUARTERS * (self.visit[before] + wait))
            if pin := problem.pin_of.get(job.name):
                model.add(start >= QUARTERS * pin.day)
                model.add(start < QUARTERS * (pin.day + 1))
        self.add_visit(index, job)

    def add_visit(self, index: int, job: Job) -> None:
        model, problem = self.model, self.problem
        place = problem.subdivision_index[job.lot.subdivision]
        line = problem.jurisdiction_index[problem.subdivisions[place].jurisdiction]
        rules = problem.jurisdictions[line]
        days = [day for day in range(DAYS) if problem.inspects(rules, day)]
        if not job.phase.inspected:
            visit = model.new_int_var(0, DAYS, "")
            model.add_division_equality(visit, self.end[index] - 1, QUARTERS)
        else:
            domain = cp_model.Domain.from_values(days)
            visit = model.new_int_var_from_domain(domain, "")
            end = self.end.get(index, 0)
            lead = QUARTERS * rules.lead_days
            model.add(QUARTERS * visit >= end - rules.cutoff_quarter + lead)
            model.add(visit >= rules.lead_days)
            interval = model.new_fixed_size_interval_var(visit, 1, "")
            self.booked.setdefault(line, []).append(interval)
        self.visit[index] = visit
        late = model.new_int_var(0, DAYS, "")
        model.add(late >= visit - job.phase.need_by_day)
        self.price.append(problem.weights.late_day * job.phase.priority * late)

    def add_circuit(self, crew_index: int) -> None:
        """Order, travel and moves of one crew as a circuit through its jobs."""
        model, problem = self.model, self.problem
        crew = problem.crews[crew_index]
        jobs, arcs, intervals = [], [], []
        for index in self.start:
            job = problem.jobs[index]
            pin = problem.pin_of.get(job.name)
            if job.phase.phase not in crew.phases or (pin and pin.crew != crew.id):
                continue
            on = model.new_bool_var("")
            self.on[index, crew_index] = on
            takes = crew.quarters(job.phase.crew_quarters)
            start, end = self.start[index], self.end[index]
            intervals.append(model.new_optional_interval_var(start, takes, end, on, ""))
            jobs.append(index)
            arcs.append((len(jobs), len(jobs), ~on))
            self.keep_dry(job, start, takes, on)
            model.add(start >= crew.free_from_quarter).only_enforce_if(on)
        off = [
            model.new_fixed_size_interval_var(QUARTERS * day, QUARTERS, "")
            for day in crew.days_off
        ]
        model.add_no_overlap(intervals + off)
        self.add_arcs(crew_index, jobs, arcs)

    def keep_dry(self, job: Job, start: Any, takes: int, on: Any) -> None:
        if job.phase.phase in self.problem.rain_exposed_phases:
            for day in self.problem.rain_days:
                early = self.model.new_bool_var("")
                sooner = self.model.add(start + takes <= QUARTERS * day)
                sooner.only_enforce_if([on, early])
                later = self.model.add(start >= QUARTERS * (day + 1))
                later.only_enforce_if([on, ~early])

    def add_arcs(self, crew_index: int, jobs: list[int], arcs: list[Any]) -> None:
        model, problem = self.model, self.problem
        crew = problem.crews[crew_index]
        places = [
            problem.subdivision_index[problem.jobs[index].lot.subdivision]
            for index in jobs
        ]
        at = problem.subdivision_index[crew.at]
        arcs.append((0, 0, model.new_bool_var("")))
        for number, place in enumerate(places, 1):
            first, last = model.new_bool_var(""), model.new_bool_var("")
            arcs += [(0, number, first), (number, 0, last)]
            if place != at:
                self.price.append(problem.weights.move * first)
        for a, b in product(range(len(jobs)), repeat=2):
            if a == b:
                continue
            arc = model.new_bool_var("")
            arcs.append((a + 1, b + 1, arc))
            lost = problem.move_quarters[places[a]][places[b]]
            end, start = self.end[jobs[a]], self.start[jobs[b]]
            if places[a] == places[b]:
                model.add(start >= end).only_enforce_if(arc)
                continue
            self.price.append(problem.weights.move * arc)
            self.drive(end, start, lost, arc)
        model.add_circuit(arcs)

    def drive(self, end: Any, start: Any, lost: int, arc: Any) -> None:
        """The travel time fits, or the next job starts with a working day."""
        model = self.model
        model.add(start >= end).only_enforce_if(arc)
        if not lost:
            return
        night, day = model.new_bool_var(""), model.new_int_var(0, DAYS, "")
        model.add(start >= end + lost).only_enforce_if([arc, ~night])
        model.add(QUARTERS * day >= end).only_enforce_if([arc, night])
        model.add(QUARTERS * day <= start).only_enforce_if([arc, night])

    def plan(self, solver: cp_model.CpSolver) -> Plan:
        jobs = []
        for index, job in enumerate(self.problem.jobs):
            crew = next(
                (
                    self.problem.crews[who].id
                    for (one, who), on in self.on.items()
                    if one == index and solver.boolean_value(on)
                ),
                None,
            )
            jobs.append(
                PlannedJob(
                    *job.name,
                    crew,
                    solver.value(self.start[index]) if crew else None,
                    solver.value(self.end[index]) if crew else 0,
                    solver.value(self.visit[index]) if job.phase.inspected else None,
                )
            )
        found = tuple(jobs)
        return Plan(self.problem.name, found, score_jobs(self.problem, found))


def main(path: Path, seconds: float) -> None:
    raw = json.loads(path.read_text())
    began = time.perf_counter()
    made = Model(read_problem(raw))
    for job, index in zip(
        made.problem.jobs, range(len(made.problem.jobs)), strict=True
    ):
        if job.is_open:
            made.model.add_exactly_one(
                on for (one, _), on in made.on.items() if one == index
            )
    built = time.perf_counter() - began
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 2
    status = solver.solve(made.model)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    name = solver.status_name(status)
    tail = f"{name}, bound {solver.best_objective_bound:.0f}, built in {built:.1f} s"
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        print(f"no plan in {seconds:g} s; {tail}, {peak:.0f} MB")
        return
    verdict = judge(raw, write_plan(made.plan(solver)))
    broken = f", {len(verdict.breaches)} breaches" if verdict.breaches else ""
    took = time.perf_counter() - began
    print(f"score {verdict.score} after {took:.1f} s; {tail}, {peak:.0f} MB{broken}")


if __name__ == "__main__":
    main(Path(sys.argv[1]), float(sys.argv[2]))
