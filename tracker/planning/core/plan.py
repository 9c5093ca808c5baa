"""The plan: for each phase not passed, who starts it when and its inspection day."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from . import reading as r
from .errors import BadPlan, BadProblem
from .problem import Problem

FORMAT = "plumb-plan/1"


@dataclass(frozen=True)
class PlannedJob:
    """`crew` and `start_quarter` are None where only an inspection is awaited.

    `inspection_day` is None where the phase is not inspected.
    """

    lot: str
    phase: str
    crew: str | None
    start_quarter: int | None
    end_quarter: int
    inspection_day: int | None

    @property
    def name(self) -> tuple[str, str]:
        return self.lot, self.phase

    @property
    def pass_day(self) -> int:
        """The day of the inspection, else the last day of the work."""
        if self.inspection_day is not None:
            return self.inspection_day
        return (self.end_quarter - 1) // 4


@dataclass(frozen=True)
class Score:
    """Smaller is better; `total` is the sum of the four weighted parts."""

    total: int
    weighted_late_days: int
    late_days: int
    late_jobs: int
    moves: int
    crew_changes: int
    day_changes: int


@dataclass(frozen=True)
class Engine:
    """The solver's own state: without it the same plan could not be found again.

    `order` and `hold` are places in the plan's `jobs`.
    """

    order: tuple[int, ...] = ()
    hold: frozenset[int] = field(default_factory=frozenset)


@dataclass(frozen=True)
class Plan:
    instance: str
    jobs: tuple[PlannedJob, ...]
    score: Score
    engine: Engine = Engine()

    def by_name(self) -> dict[tuple[str, str], PlannedJob]:
        return {job.name: job for job in self.jobs}


def score_jobs(problem: Problem, jobs: tuple[PlannedJob, ...]) -> Score:
    """The score of dated jobs by the problem's weights."""
    late = late_days = late_jobs = crew_changes = day_changes = 0
    for job, planned in zip(problem.jobs, jobs, strict=True):
        days = max(0, planned.pass_day - job.phase.need_by_day)
        late += days * job.phase.priority
        late_days += days
        late_jobs += days > 0
        told = problem.told_of.get(job.name)
        if told and planned.start_quarter is not None:
            crew_changes += told.crew != planned.crew
            day_changes += told.start_quarter // 4 != planned.start_quarter // 4
    moves = sum(1 for _ in moves_of(problem, jobs))
    weights = problem.weights
    total = weights.late_day * late + weights.move * moves
    total += weights.crew_change * crew_changes + weights.day_change * day_changes
    return Score(total, late, late_days, late_jobs, moves, crew_changes, day_changes)


def moves_of(
    problem: Problem, jobs: tuple[PlannedJob, ...]
) -> list[tuple[str, str, str, int]]:
    """Each change of subdivision: crew, from, to, quarter in which work goes on."""
    place = {lot.id: lot.subdivision for lot in problem.lots}
    at = {crew.id: crew.at for crew in problem.crews}
    found = []
    worked = [job for job in jobs if job.start_quarter is not None]
    for job in sorted(worked, key=lambda job: job.start_quarter or 0):
        crew = job.crew or ""
        if at[crew] != place[job.lot]:
            found.append((crew, at[crew], place[job.lot], job.start_quarter or 0))
            at[crew] = place[job.lot]
    return found


def write_plan(plan: Plan) -> dict[str, Any]:
    """JSON of plumb-plan/1, with score and engine state beside it.

    A plan that no engine made, such as one moved by hand, has no such state.
    """
    jobs = [
        {
            "lot": job.lot,
            "phase": job.phase,
            "crew": job.crew,
            "start_quarter": job.start_quarter,
            "end_quarter": job.end_quarter,
            "inspection_day": job.inspection_day,
        }
        for job in plan.jobs
    ]
    written: dict[str, Any] = {
        "format": FORMAT,
        "instance": plan.instance,
        "score": dict(plan.score.__dict__),
        "jobs": jobs,
    }
    if plan.engine.order:
        written["engine"] = {
            "order": list(plan.engine.order),
            "hold": sorted(plan.engine.hold),
        }
    return written


def read_plan(raw: object) -> Plan:
    """The plan in parsed JSON; keys beyond the format are read past.

    Raises BadPlan naming the job and key. Score is 0 where it is not given.
    """
    try:
        return _read_plan(raw)
    except BadProblem as error:
        raise BadPlan(str(error)) from None


def _read_plan(raw: object) -> Plan:
    if not isinstance(raw, Mapping):
        raise BadProblem("plan: expected an object.")
    raw = r.record(raw, "plan", ("format", "instance", "jobs"), raw)
    if raw["format"] != FORMAT:
        raise BadProblem(f"plan: format must be {FORMAT}, got {raw['format']!r}.")
    jobs = tuple(_read_job(one) for one in r.items(raw, "jobs", "plan"))
    r.unique((f"lot {job.lot} {job.phase}" for job in jobs), "plan")
    return Plan(
        instance=r.text(raw, "instance", "plan"),
        jobs=jobs,
        score=_read_score(raw.get("score")),
        engine=_read_engine(raw.get("engine"), len(jobs)),
    )


def _read_job(raw: object) -> PlannedJob:
    keys = ("lot", "phase", "crew", "start_quarter", "end_quarter", "inspection_day")
    if not isinstance(raw, Mapping):
        raise BadProblem(f"plan: a job must be an object, got {r.show(raw)}.")
    place = f"plan, lot {raw.get('lot', '?')} {raw.get('phase', '?')}"
    raw = r.record(raw, place, keys, raw)

    def maybe(key: str) -> int | None:
        return None if raw[key] is None else r.whole(raw, key, place, None)

    return PlannedJob(
        lot=r.text(raw, "lot", place),
        phase=r.text(raw, "phase", place),
        crew=None if raw["crew"] is None else r.text(raw, "crew", place),
        start_quarter=maybe("start_quarter"),
        end_quarter=r.whole(raw, "end_quarter", place, None),
        inspection_day=maybe("inspection_day"),
    )


def _read_score(raw: object) -> Score:
    names = tuple(Score.__dataclass_fields__)
    raw = raw if isinstance(raw, Mapping) else {}
    return Score(
        *(r.whole({n: raw.get(n, 0)}, n, "plan score", 0, 10**12) for n in names)
    )


def _read_engine(raw: object, jobs: int) -> Engine:
    if raw is None:
        return Engine()
    raw = r.record(raw, "plan engine", ("order", "hold"), ())

    def places(key: str) -> list[int]:
        values = r.items(raw, key, "plan engine")
        return [r.whole({key: v}, key, "plan engine", 0, jobs - 1) for v in values]

    order = places("order")
    if not order and not raw["hold"]:
        return Engine()  # none is as good as no state at all
    if sorted(order) != list(range(jobs)):
        raise BadProblem("plan engine: order must name each job once.")
    return Engine(tuple(order), frozenset(places("hold")))
