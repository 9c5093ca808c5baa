"""Why a job passes no earlier: the facts that bind it, from the pass backwards."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import replace
from functools import cached_property

from .links import FIELDS, Link
from .marks_past import Past, past_links
from .plain import after_drive, blocked_day
from .plan import Plan, PlannedJob
from .problem import QUARTERS, Crew, Job, Jurisdiction, Problem

__all__ = ["FIELDS", "Chains", "Link", "soonest_pass"]

STEPS = 4  # a chain is cut behind so many phases
HALF_DAY = QUARTERS // 2


class Chains:
    """Binding facts of any job of one plan; `past` is what is known of before today."""

    def __init__(
        self,
        problem: Problem,
        plan: Plan,
        past: Mapping[tuple[str, str], Past] | None = None,
    ) -> None:
        self.problem, self.past = problem, past or {}
        self.planned = plan.by_name()
        self.lines: dict[str, list[PlannedJob]] = defaultdict(list)
        self.booked: dict[tuple[str, int], int] = defaultdict(int)
        for job in plan.jobs:
            if job.crew is not None:
                self.lines[job.crew].append(job)
            if job.inspection_day is not None:
                rules = self.rules(self.job(job.name))
                self.booked[rules.id, job.inspection_day] += 1
        for line in self.lines.values():
            line.sort(key=lambda job: job.start_quarter or 0)

    def job(self, name: tuple[str, str]) -> Job:
        return self.problem.jobs[self.problem.job_index[name]]

    def crew(self, name: str | None) -> Crew:
        return self.problem.crews[self.problem.crew_index[name or ""]]

    def rules(self, job: Job) -> Jurisdiction:
        place = self.problem.subdivision_index[job.lot.subdivision]
        line = self.problem.subdivisions[place].jurisdiction
        return self.problem.jurisdictions[self.problem.jurisdiction_index[line]]

    @cached_property
    def soonest(self) -> Mapping[tuple[str, str], int]:
        return soonest_pass(self.problem, self)

    def of(self, name: tuple[str, str]) -> tuple[Link, ...]:
        """All that binds the job, and the phases ahead of it where they bind.

        The past binds where no plan from today on could be in time.
        """
        gone = self.soonest[name] > self.job(name).phase.need_by_day
        return self._of(name, STEPS, gone)

    def _of(self, name: tuple[str, str], steps: int, gone: bool) -> tuple[Link, ...]:
        job, planned = self.job(name), self.planned[name]
        links = [*self._visit(job, planned)]
        if job.is_open:
            links = [*self._start(job, planned), *links]
            before = self.before(job)
            if steps > 1 and before and any(one.kind == "gate" for one in links):
                links = [*self._ahead(before, steps - 1, gone), *links]
        if gone and not (job.is_open and self._waits(job)):
            past = self.past.get(name, Past())
            links = [*past_links(job.phase.need_by_day, past), *links]
        return tuple(links)

    def _ahead(self, before: Job, steps: int, gone: bool) -> list[Link]:
        """What binds the phase before; its past is said with its name."""
        return [
            replace(link, phase=before.phase.phase)
            if link.kind.startswith("past_") and not link.phase
            else link
            for link in self._of(before.name, steps, gone)
        ]

    def _waits(self, job: Job) -> bool:
        """Is it a day to come that holds it, not today?"""
        day, _ = self.opens(job)
        return day > 0

    def before(self, job: Job) -> Job | None:
        """The phase before on the lot, when it has not passed yet."""
        found = None
        for phase in job.lot.phases:
            if phase.phase == job.phase.phase:
                return found
            if (job.lot.id, phase.phase) in self.planned:
                found = Job(job.lot, phase)
        return found

    def _visit(self, job: Job, planned: PlannedJob) -> list[Link]:
        if planned.inspection_day is None:
            return []
        rules, day, links = self.rules(job), planned.inspection_day, []
        end = planned.end_quarter if job.is_open else 0
        worked = max(0, end - 1) // QUARTERS
        call = max(0, -(-(end - rules.cutoff_quarter) // QUARTERS))
        if call > worked:
            links.append(Link("cutoff", who=rules.id, day=worked))
        if rules.lead_days:
            links.append(Link("lead", who=rules.id, number=rules.lead_days))
        asked = call + rules.lead_days
        waited = range(asked, day)
        full = tuple(
            one
            for one in waited
            if self.problem.inspects(rules, one)
            and self.booked[rules.id, one] >= rules.daily_cap
        )
        shut = [one for one in waited if not self.problem.inspects(rules, one)]
        closed = [d for d in shut if self.problem.weekday(d) in rules.weekdays]
        if len(closed) < len(shut):
            weekdays = tuple(sorted(rules.weekdays))
            links.append(Link("visit_weekday", who=rules.id, days=weekdays))
        if closed:
            links.append(Link("closed", who=rules.id, days=tuple(closed)))
        if full:
            links.append(Link("slot_full", who=rules.id, days=full))
        return links

    def opens(self, job: Job) -> tuple[int, Link | None]:
        """The first day on which all but the crew lets the job start, and why.

        None where nothing but today holds it.
        """
        day: int = 0
        why: Link | None = None
        if job.phase.ready_day > day:
            day = job.phase.ready_day
            why = Link("ready", day=day, lot=job.lot.id, phase=job.phase.phase)
        if before := self.before(job):
            wait = before.phase.builder_days_after_pass
            gate = self.planned[before.name].pass_day + 1 + wait
            if gate and gate >= day:
                day = gate
                why = Link("gate", phase=before.phase.phase, day=day, number=wait)
        pin = self.problem.pin_of.get(job.name)
        if pin and pin.day >= day:
            day = pin.day
            why = Link("pin", who=pin.crew, day=day, lot=pin.lot, phase=pin.phase)
        return day, why

    def _start(self, job: Job, planned: PlannedJob) -> list[Link]:
        day, why = self.opens(job)
        start, links = planned.start_quarter or 0, [why] if why else []
        crew = self.crew(planned.crew)
        line = self.lines[crew.id]
        place = line.index(planned)
        at, free = crew.at, crew.free_from_quarter
        if place:
            last = line[place - 1]
            at, free = self.job(last.name).lot.subdivision, last.end_quarter
            if free > QUARTERS * day:
                since = self._busy_since(line, place - 1)
                busy = (since, (free - 1) // QUARTERS)
                links.append(
                    Link(
                        "crew_busy",
                        who=crew.id,
                        day=busy[0],
                        until=busy[1],
                        lot=last.lot,
                        phase=last.phase,
                    )
                )
        there = after_drive(self.problem, job, at, free)
        if there > max(free, QUARTERS * day):
            links.append(Link("drive", who=crew.id, lot=at))
        links.extend(self._blocked(job, crew, max(there, QUARTERS * day), start))
        if start // QUARTERS > day:
            links.extend(self._next_crew(job, day))
        return links

    def _busy_since(self, line: list[PlannedJob], place: int) -> int:
        """The day from which the crew works without an idle half-day."""
        while place:
            idle = (line[place].start_quarter or 0) - line[place - 1].end_quarter
            if idle >= HALF_DAY:
                break
            place -= 1
        return (line[place].start_quarter or 0) // QUARTERS

    def _blocked(self, job: Job, crew: Crew, free: int, start: int) -> list[Link]:
        """Days off and rain that push the start from `free` to `start`."""
        takes = crew.quarters(job.phase.crew_quarters)
        off: list[int] = []
        wet: list[int] = []
        while free < start:
            day = blocked_day(self.problem, crew, job, free, takes)
            if day is None:
                break
            (off if day in crew.days_off else wet).append(day)
            free = QUARTERS * (day + 1)
        links = []
        if off:
            links.append(Link("crew_off", who=crew.id, days=tuple(off)))
        if wet:
            links.append(Link("rain", days=tuple(wet)))
        if free < start and job.name in self.problem.told_of:
            links.append(Link("promised", day=start // QUARTERS))
        return links

    def _next_crew(self, job: Job, day: int) -> list[Link]:
        """The first of the other crews with an idle spell long enough."""
        found = []
        for crew in self.problem.crews:
            if job.phase.phase not in crew.phases:
                continue
            if self.planned[job.name].crew != crew.id:
                found.append((self._idle_from(job, crew, QUARTERS * day), crew.id))
        if not found:
            return []
        when, who = min(found)
        return [Link("next_crew", who=who, day=when // QUARTERS)]

    def _idle_from(self, job: Job, crew: Crew, start: int) -> int:
        takes = crew.quarters(job.phase.crew_quarters)
        spells = [(p.start_quarter or 0, p.end_quarter) for p in self.lines[crew.id]]
        start = max(start, crew.free_from_quarter)
        while True:
            off = blocked_day(self.problem, crew, job, start, takes)
            if off is not None:
                start = QUARTERS * (off + 1)
                continue
            clash = [e for s, e in spells if s < start + takes and e > start]
            if not clash:
                return start
            start = max(clash)


def soonest_pass(problem: Problem, chains: Chains) -> Mapping[tuple[str, str], int]:
    """Per job the pass day if every crew were free and no slot taken.

    Later than need-by means: no plan of crews can meet it.
    """
    found: dict[tuple[str, str], int] = {}
    for job in problem.jobs:
        end = 0
        if job.is_open:
            day = max(0, job.phase.ready_day)
            if before := chains.before(job):
                wait = before.phase.builder_days_after_pass
                day = max(day, found[before.name] + 1 + wait)
            able = [c for c in problem.crews if job.phase.phase in c.phases]
            end = min(_free_end(problem, crew, job, day) for crew in able)
        if not job.phase.inspected:
            found[job.name] = (end - 1) // QUARTERS
            continue
        rules = chains.rules(job)
        visit = max(0, -(-(end - rules.cutoff_quarter) // QUARTERS)) + rules.lead_days
        while not problem.inspects(rules, visit):
            visit += 1
        found[job.name] = visit
    return found


def _free_end(problem: Problem, crew: Crew, job: Job, day: int) -> int:
    takes = crew.quarters(job.phase.crew_quarters)
    start = max(QUARTERS * day, crew.free_from_quarter)
    while (off := blocked_day(problem, crew, job, start, takes)) is not None:
        start = QUARTERS * (off + 1)
    return start + takes
