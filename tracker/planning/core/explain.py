"""Each late job in one sentence: when it passes, how late, and what binds it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from .chain import Chains, Link, soonest_pass
from .plan import Plan
from .problem import Problem

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri")
PHASE_NAMES = {"topout": "top out"}


@dataclass(frozen=True)
class Why:
    """A late job with the facts that bind it and the sentence made of them."""

    lot: str
    phase: str
    pass_day: int
    days_late: int
    possible: bool  # could it be on time were every crew free?
    links: tuple[Link, ...]
    sentence: str


def explain(
    problem: Problem, plan: Plan, names: Iterable[tuple[str, str]] | None = None
) -> tuple[Why, ...]:
    """The late jobs, the dearest first; or the jobs of `names`, late or not."""
    chains = Chains(problem, plan)
    soonest = soonest_pass(problem, chains)
    wanted = None if names is None else set(names)
    found: list[tuple[int, int, Why]] = []
    for job in problem.jobs:
        planned = chains.planned[job.name]
        late = planned.pass_day - job.phase.need_by_day
        if (late <= 0) if wanted is None else (job.name not in wanted):
            continue
        links = chains.of(job.name)
        possible = soonest[job.name] <= job.phase.need_by_day
        words = sentence(problem, job.name, planned.pass_day, late, links)
        if late > 0 and not possible:
            day = said_day(problem, soonest[job.name])
            words += f" Even with every crew free it could not pass before {day}."
        price = late * job.phase.priority
        why = Why(*job.name, planned.pass_day, max(0, late), possible, links, words)
        found.append((-price, len(found), why))
    return tuple(why for _, _, why in sorted(found, key=lambda one: one[:2]))


def sentences(problem: Problem, plan: Plan) -> list[str]:
    whys = explain(problem, plan)
    return [why.sentence for why in whys] or ["Nothing is late."]


def calendar_day(problem: Problem, day: int) -> date:
    """The date of a working day; behind the list Monday to Friday go on."""
    listed = problem.working_days
    if day < len(listed):
        return listed[max(0, day)]
    when = listed[-1]
    for _ in range(day - len(listed) + 1):
        when += timedelta(days=3 if when.weekday() == 4 else 1)
    return when


def said_day(problem: Problem, day: int) -> str:
    when = calendar_day(problem, day)
    return f"{WEEKDAYS[when.weekday()]} {when.day} {when:%b}"


def said_phase(phase: str) -> str:
    return PHASE_NAMES.get(phase, phase)


def sentence(
    problem: Problem,
    name: tuple[str, str],
    pass_day: int,
    late: int,
    links: Iterable[Link],
) -> str:
    """One sentence from the binding facts, in their order."""
    days = "1 day" if late == 1 else f"{late} days"
    head = f"Lot {name[0]} {said_phase(name[1])} passes {said_day(problem, pass_day)}"
    head += f", {days} late" if late > 0 else ""
    reasons = [text for link in links if (text := said_link(problem, link))]
    return f"{head}: {', '.join(dict.fromkeys(reasons))}." if reasons else f"{head}."


def said_link(problem: Problem, link: Link) -> str:
    """The words for one binding fact."""
    day = said_day(problem, max(0, link.day))
    match link.kind:
        case "ready":
            return f"the builder's part is due {day}"
        case "gate":
            phase, wait = said_phase(link.phase), link.number
            needs = f" and the builder needs {_number(wait)} after it" if wait else ""
            return f"{phase} must have passed{needs}, so it can start {day}"
        case "pin":
            return f"it is pinned to crew {link.who} on {day}"
        case "promised":
            return f"the crew was told {day}"
        case "crew_busy":
            until = said_day(problem, link.until)
            if link.until - link.day > 1:
                return f"crew {link.who} is booked solid from {day} to {until}"
            work = f"lot {link.lot} {said_phase(link.phase)}"
            return f"crew {link.who} is on {work} until {until}"
        case "next_crew":
            return f"the next other crew, {link.who}, is free {day}"
        case "crew_off":
            return f"crew {link.who} is off {_days(problem, link.days)}"
        case "rain":
            return f"rain stops the work {_days(problem, link.days)}"
        case "drive":
            return f"crew {link.who} drives from {link.lot}"
        case "cutoff":
            return f"the work ends {day} after the cut-off of {link.who}"
        case "lead":
            return f"{link.who} wants {_number(link.number)} notice"
        case "visit_weekday":
            listed = _and([WEEKDAYS[one] for one in link.days])
            return f"{link.who} inspects {listed}"
        case "slot_full":
            return f"{link.who} is full on {_days(problem, link.days)}"
    return ""


def _number(days: int) -> str:
    return "1 day" if days == 1 else f"{days} days"


def _and(words: list[str]) -> str:
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def _days(problem: Problem, days: tuple[int, ...]) -> str:
    said = [said_day(problem, day) for day in days]
    return _and(said) if len(said) < 4 else f"{said[0]} to {said[-1]}"
