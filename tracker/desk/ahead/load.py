"""Crew-days needed against crew-days there, by phase and week. Pure.

That is the season's view, by need-by dates: work is needed in the week in which it must
begin to pass by need-by, though not before it can. What a week cannot do it hands on to
the next. Crews with several skills go where work is short (a greatest flow from crews
to phases). Who is idle is said by the plan as far as it has work, and by that view only
after it.
"""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from tracker.desk.ahead.sheet import DAY, HALF, Row, Sheet, Span
from tracker.planning.core.problem import OPEN, QUARTERS, Job, Problem

WEEK = 5
MISSING = 4.0  # crew-days short or idle in a week that are worth a name


@dataclass(frozen=True)
class Cell:
    """`needed` with what was left over, `done` of it, `there` who could do it."""

    needed: float
    done: float
    there: float

    @property
    def short(self) -> float:
        return self.needed - self.done

    @property
    def is_short(self) -> bool:
        return self.short >= MISSING


@dataclass(frozen=True)
class Week:
    """`spare` are days that need-by dates ask no work of; `idle` as the plan has it.

    After the plan's last work (`planned` is false) `idle` is what is spare.
    """

    first: date
    phases: Mapping[str, Cell]
    spare: Mapping[str, float]
    idle: Mapping[str, float]
    planned: bool = False

    @property
    def needed(self) -> float:
        return sum(cell.needed for cell in self.phases.values())

    @property
    def there(self) -> float:
        return sum(cell.done for cell in self.phases.values()) + sum(
            self.spare.values()
        )

    @property
    def idle_days(self) -> float:
        return sum(self.idle.values())

    @property
    def is_idle(self) -> bool:
        return self.idle_days >= MISSING


def weeks_of(problem: Problem, weeks: int, *, sheet: Sheet | None = None) -> list[Week]:
    """The coming weeks, each Monday to Friday; week 0 is what is left of this one.

    `sheet` is the plan.
    """
    reach = max((one.end for one in sheet.strips), default=-1) if sheet else -1
    start = -problem.weekday_of_day0
    needed = _needed(problem, start)
    left: dict[str, float] = defaultdict(float)
    found = []
    for number in range(weeks):
        days = range(start + WEEK * number, start + WEEK * (number + 1))
        wants = {
            phase: needed[phase, number] + left[phase] for phase in open_phases(problem)
        }
        there = {crew.id: _days_there(crew, days) for crew in problem.crews}
        sent = _sent(problem, wants, there)
        cells = {}
        for phase, want in wants.items():
            done = sum(sent[crew, phase] for crew in there)
            able = sum(there[c.id] for c in problem.crews if phase in c.phases)
            cells[phase] = Cell(want, done, able)
            left[phase] = want - done
        spare = {
            crew: there[crew] - sum(sent[crew, phase] for phase in wants)
            for crew in there
        }
        spare = {crew: days for crew, days in spare.items() if days > 0.05}
        planned = DAY * days[0] < reach
        idle = idle_in(sheet, days) if sheet and planned else spare
        day = problem.working_days[max(0, min(days[0], len(problem.working_days) - 1))]
        found.append(Week(day, cells, spare, idle, planned))
    return found


def idle_in(sheet: Sheet, days: range) -> dict[str, float]:
    """Days on which a crew has neither work nor a drive in the plan, in half-days."""
    first = max(0, days.start)
    span = Span(first, days.stop - first)
    idle = {row.label: _idle_halves(row, span) / 2 for row in sheet.rows("crew", span)}
    return {crew: days for crew, days in idle.items() if days}


def _idle_halves(row: Row, span: Span) -> int:
    taken = {half for day in row.off for half in (2 * day, 2 * day + 1)}
    spells = [(strip.start, strip.end) for strip in row.strips]
    spells += [(drive.at, drive.at + drive.lost) for drive in row.drives if drive.lost]
    for start, end in spells:
        taken |= set(range(start // HALF, (end - 1) // HALF + 1))
    halves = DAY // HALF
    shown = range(halves * span.first, halves * span.last)
    return sum(half not in taken for half in shown)


def open_phases(problem: Problem) -> list[str]:
    order = {"underground": 0, "rough": 1, "topout": 2, "trim": 3}
    named = {job.phase.phase for job in problem.jobs if job.is_open}
    return sorted(named, key=lambda phase: order.get(phase, 9))


def _days_there(crew: Any, days: range) -> float:
    days_on = [day for day in days if day >= 0 and day not in crew.days_off]
    return float(len(days_on))


def _needed(problem: Problem, start: int) -> Mapping[tuple[str, int], float]:
    """Crew-days by phase and week."""
    found: dict[tuple[str, int], float] = defaultdict(float)
    opens: dict[str, int] = {}
    for job in problem.jobs:
        first = max(0, job.phase.ready_day, opens.get(job.lot.id, 0))
        takes = (
            job.phase.crew_quarters / mean_speed(problem, job.phase.phase) / QUARTERS
        )
        lead = _lead(problem, job)
        if job.phase.status == OPEN:
            begin = max(first, int(job.phase.need_by_day - lead - takes))
            found[job.phase.phase, (begin - start) // WEEK] += takes
            first = begin + int(takes) + 1
        wait = job.phase.builder_days_after_pass
        opens[job.lot.id] = first + lead + wait
    return found


def mean_speed(problem: Problem, phase: str) -> float:
    speeds = [crew.speed for crew in problem.crews if phase in crew.phases]
    return sum(speeds) / len(speeds) if speeds else 1.0


def _lead(problem: Problem, job: Job) -> int:
    """Days from the end of the work to its pass, as a rule."""
    if not job.phase.inspected:
        return 0
    place = problem.subdivisions[problem.subdivision_index[job.lot.subdivision]]
    line = problem.jurisdictions[problem.jurisdiction_index[place.jurisdiction]]
    return int(line.lead_days + WEEK / len(line.weekdays) / 2)


def _sent(
    problem: Problem, wants: Mapping[str, float], there: Mapping[str, float]
) -> dict[tuple[str, str], float]:
    """Days of each crew for each phase: a greatest flow, by augmenting paths."""
    sent: dict[tuple[str, str], float] = defaultdict(float)
    spare, open_ = dict(there), dict(wants)
    able = {crew.id: [p for p in wants if p in crew.phases] for crew in problem.crews}
    # Crews with few skills first: then almost nothing has to be taken back.
    for crew in sorted(able, key=lambda one: len(able[one])):
        while spare[crew] > 1e-9:
            path = _path(crew, able, sent, open_)
            if path is None:
                break
            move = min(spare[crew], open_[path[-1]])
            for before, after in zip(path[2::2], path[1::2], strict=False):
                move = min(move, sent[before, after])
            for place in range(0, len(path) - 1, 2):
                sent[path[place], path[place + 1]] += move
            for place in range(1, len(path) - 2, 2):
                sent[path[place + 1], path[place]] -= move
            spare[crew] -= move
            open_[path[-1]] -= move
    return sent


def _path(
    crew: str,
    able: Mapping[str, list[str]],
    sent: Mapping[tuple[str, str], float],
    open_: Mapping[str, float],
) -> list[str] | None:
    """crew, phase, crew, phase ...: ends at a phase that still wants days."""
    paths, seen = [[crew]], {crew}
    while paths:
        path = paths.pop(0)
        for phase in able[path[-1]]:
            # A crew may bear the name of a phase: phases stand at the odd places.
            if phase in path[1::2]:
                continue
            if open_[phase] > 1e-9:
                return [*path, phase]
            for other in able:
                if other not in seen and sent[other, phase] > 1e-9:
                    seen.add(other)
                    paths.append([*path, phase, other])
    return None
