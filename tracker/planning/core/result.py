"""From the engine's state to a plan."""

from .engine import columns as k
from .english import said_pin
from .errors import NoPlan
from .pins import told
from .plan import Engine, Plan, PlannedJob, Score, score_jobs
from .problem import Problem
from .state import unload


def planned_jobs(problem: Problem, live: k.Live) -> tuple[PlannedJob, ...]:
    """Every job as dated in `live`, in the order of `problem.jobs`."""
    rows = live.jobs[:, [k.CREW, k.START, k.END, k.PASS]].tolist()
    found = []
    for job, (crew, start, end, passed) in zip(problem.jobs, rows, strict=False):
        found.append(
            PlannedJob(
                lot=job.lot.id,
                phase=job.phase.phase,
                crew=problem.crews[crew].id if crew >= 0 else None,
                start_quarter=start if crew >= 0 else None,
                end_quarter=end,
                inspection_day=passed if job.phase.inspected else None,
            )
        )
    return tuple(found)


def score_now(problem: Problem, live: k.Live) -> Score:
    return score_jobs(problem, planned_jobs(problem, live))


def plan_from(problem: Problem, fixed: k.Fixed, live: k.Live) -> Plan:
    """The plan in `live`; raises NoPlan when a pin is missed."""
    jobs = planned_jobs(problem, live)
    missed = [
        {"code": "pin_missed", "pin": told(pin)}
        for pin, job in zip(
            map(problem.pin_of.get, (job.name for job in jobs)), jobs, strict=True
        )
        if pin and job.start_quarter is not None and job.start_quarter // 4 != pin.day
    ]
    if missed:
        raise NoPlan("\n".join(map(said_pin, missed)), missed)
    order = unload(fixed, live)
    held = frozenset(index for index, hold in enumerate(order.hold) if hold)
    return Plan(
        instance=problem.name,
        jobs=jobs,
        score=score_jobs(problem, jobs),
        engine=Engine(tuple(order.jobs), held),
    )
