"""The decoder in plain Python: slow, easy to read, and the compiled one's twin.

Jobs are dated one after the other in the given order. It shares no line with the
compiled decoder; tests hold the two against each other.
"""

from collections import Counter

from .plan import PlannedJob
from .problem import QUARTERS, Crew, Job, Problem
from .state import Order


def decode_plainly(problem: Problem, order: Order) -> tuple[PlannedJob, ...]:
    """The dates that `order` leads to, in the order of `problem.jobs`."""
    dated: dict[tuple[str, str], PlannedJob] = {}
    stands = {crew.id: (crew.at, crew.free_from_quarter) for crew in problem.crews}
    taken: Counter[tuple[str, int]] = Counter()
    for index in order.jobs:
        job = problem.jobs[index]
        if not job.is_open:
            day = visit_day(problem, job, 0, taken)
            dated[job.name] = PlannedJob(*job.name, None, None, 0, day)
            continue
        crew = problem.crews[order.crew[index]]
        start = earliest(problem, job, dated, bool(order.hold[index]))
        start = max(start, after_drive(problem, job, *stands[crew.id]))
        takes = crew.quarters(job.phase.crew_quarters)
        while (off := blocked_day(problem, crew, job, start, takes)) is not None:
            start = QUARTERS * (off + 1)
        stands[crew.id] = (job.lot.subdivision, start + takes)
        visit = visit_day(problem, job, start + takes, taken)
        dated[job.name] = PlannedJob(*job.name, crew.id, start, start + takes, visit)
    return tuple(dated[job.name] for job in problem.jobs)


def earliest(
    problem: Problem, job: Job, dated: dict[tuple[str, str], PlannedJob], hold: bool
) -> int:
    """The first quarter that builder, pin and a promised day leave."""
    day = max(0, job.phase.ready_day)
    if pin := problem.pin_of.get(job.name):
        day = max(day, pin.day)
    if hold:
        day = max(day, problem.told_of[job.name].start_quarter // QUARTERS)
    before = None
    for phase in job.lot.phases:
        if phase.phase == job.phase.phase:
            break
        before = phase
    if before and (planned := dated.get((job.lot.id, before.phase))):
        day = max(day, planned.pass_day + 1 + before.builder_days_after_pass)
    return QUARTERS * day


def after_drive(problem: Problem, job: Job, at: str, free: int) -> int:
    """When a crew free at quarter `free` in subdivision `at` is there."""
    if at == job.lot.subdivision:
        return free
    index = problem.subdivision_index
    lost = problem.move_quarters[index[at]][index[job.lot.subdivision]]
    morning = -(-free // QUARTERS) * QUARTERS
    return min(free + lost, morning)


def blocked_day(
    problem: Problem, crew: Crew, job: Job, start: int, takes: int
) -> int | None:
    """The first day from `start` on, as long as the work takes, that is not worked."""
    wet = job.phase.phase in problem.rain_exposed_phases
    for day in range(start // QUARTERS, (start + takes - 1) // QUARTERS + 1):
        if day in crew.days_off or (wet and day in problem.rain_days):
            return day
    return None


def visit_day(
    problem: Problem, job: Job, end: int, taken: Counter[tuple[str, int]]
) -> int | None:
    """The first inspection day with room, which is then taken."""
    if not job.phase.inspected:
        return None
    place = problem.subdivisions[problem.subdivision_index[job.lot.subdivision]]
    rules = problem.jurisdictions[problem.jurisdiction_index[place.jurisdiction]]
    call = 0
    while QUARTERS * call + rules.cutoff_quarter < end:
        call += 1
    day = call + rules.lead_days
    while not problem.inspects(rules, day) or (taken[rules.id, day] >= rules.daily_cap):
        day += 1
    taken[rules.id, day] += 1
    return day
