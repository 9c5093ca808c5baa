"""A plan dated again under the offices' own date rules, in the order it was made in.

Each crew keeps its jobs and their order. Nothing begins earlier than planned; what an
office does not give so soon comes later, and with it what follows on the lot or the
crew. It goes as the plain decoder does, with the exact rules for the visits.
"""

from collections import Counter
from dataclasses import replace
from datetime import date, datetime

from .adapter import Joined
from .adapter.keys import Name
from .core.plain import after_drive, blocked_day, earliest
from .core.plan import Plan, PlannedJob, score_jobs
from .core.problem import QUARTERS, Job, Jurisdiction, Problem
from .exact import why_not_on

FARTHEST = 250  # working days to look for a visit in


def re_dated(joined: Joined, plan: Plan, *, now: datetime) -> Plan:
    """The same work by the same crews; its visits on days that the offices give."""
    problem, planned = joined.problem, plan.by_name()
    books = Books(joined, now)
    dated: dict[Name, PlannedJob] = {}
    stands = {crew.id: (crew.at, crew.free_from_quarter) for crew in problem.crews}
    for index in _order(problem, plan):
        job = problem.jobs[index]
        old = planned[job.name]
        new = replace(old, inspection_day=None)
        if old.crew is not None:
            crew = problem.crews[problem.crew_index[old.crew]]
            start = max(earliest(problem, job, dated, False), old.start_quarter or 0)
            start = max(start, after_drive(problem, job, *stands[crew.id]))
            takes = crew.quarters(job.phase.crew_quarters)
            while (off := blocked_day(problem, crew, job, start, takes)) is not None:
                start = QUARTERS * (off + 1)
            stands[crew.id] = (job.lot.subdivision, start + takes)
            new = replace(new, start_quarter=start, end_quarter=start + takes)
        if job.phase.inspected:
            new = replace(new, inspection_day=books.visit(job, new))
        dated[job.name] = new
    jobs = tuple(dated[job.name] for job in problem.jobs)
    return replace(plan, jobs=jobs, score=score_jobs(problem, jobs))


def _order(problem: Problem, plan: Plan) -> list[int]:
    """As planned: by start; what is built already comes first."""
    index = problem.job_index
    jobs = sorted(plan.jobs, key=lambda job: (_begins(job), index[job.name]))
    return [index[job.name] for job in jobs]


def _begins(job: PlannedJob) -> int:
    return -1 if job.start_quarter is None else job.start_quarter


class Books:
    """What each office has booked while the plan is gone through."""

    def __init__(self, joined: Joined, now: datetime) -> None:
        self.joined, self.now = joined, now
        self.kinds: dict[int, Counter[date]] = {
            office: Counter(days) for office, days in joined.booked.items()
        }
        self.visits: Counter[tuple[str, int]] = Counter()

    def visit(self, job: Job, planned: PlannedJob) -> int:
        """The first day that both the planner's office and the real one give."""
        problem = self.joined.problem
        office = _office(problem, job)
        call = max(0, -(-(planned.end_quarter - office.cutoff_quarter) // QUARTERS))
        first = call + office.lead_days
        for day in range(first, first + FARTHEST):
            if self._book(job, replace(planned, inspection_day=day)):
                return day
        return first + FARTHEST

    def _book(self, job: Job, planned: PlannedJob) -> bool:
        office, day = _office(self.joined.problem, job), planned.inspection_day
        assert day is not None
        if not self.joined.problem.inspects(office, day):
            return False
        if self.visits[office.id, day] >= office.daily_cap:
            return False
        visit = self.joined.visits.get(job.name)
        if visit is not None:
            # A try that fails half-way must not stay booked.
            sheet = self.kinds.setdefault(visit.jurisdiction, Counter()).copy()
            if why_not_on(self.joined, planned, visit, sheet, self.now):
                return False
            self.kinds[visit.jurisdiction] = sheet
        self.visits[office.id, day] += 1
        return True


def _office(problem: Problem, job: Job) -> Jurisdiction:
    place = problem.subdivisions[problem.subdivision_index[job.lot.subdivision]]
    return problem.jurisdictions[problem.jurisdiction_index[place.jurisdiction]]
