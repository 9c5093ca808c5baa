"""The facts of chains and remedies in English, for the command line."""

from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from typing import Any

from .links import Link
from .problem import Problem

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri")
PHASE_NAMES = {"topout": "top out"}
REMEDIES = {
    "one_more_crew": "One more crew for {phase}",
    "day_off_worked": "Crew {crew} works on {day}",
    "overtime_day": "A day of overtime on lot {lot} {phase}",
    "no_pin": "No pin of lot {lot} {phase} on crew {crew}, {day}",
    "no_pins": "No pins at all",
    "builder_sooner": "The builder is a day sooner at lot {lot}",
    "one_more_slot": "{office} takes one inspection a day more",
    "every_weekday": "{office} inspects every day",
}

PAST_WORDS = {
    "past_due": "it was needed by {day} already",
    "past_ready": "it was ready only {day}",
    "past_unsent": "it has been ready since {day} and no crew has been there yet",
    "past_not_begun": "a crew was told {day} and has not begun",
    "past_begun": "it was ready {since} and work began only {day}",
    "past_worked": "the work ended only {day}",
    "past_waited": "it was ready {since} and the work ended only {day}",
    "past_readied": "it was ready only {since} and the work ended {day}",
    "past_uncalled": "the work was done {day} and nobody called it in",
    "past_unproven": "the work was done {day} and not called in, for {number} things"
    " are still to be proven or corrected",
    "past_failed": "it failed on {day} and was not called in again",
    "past_corrections": "it failed on {day} and {number} of its corrections are open",
}

PINS = {
    "pin_told": "pin of lot {lot} {phase} on crew {crew}, day {day}",
    "pin_job": "lot {lot} {phase}",
    "pin_twice": "{pin} contradicts {other}.",
    "pin_done": "{pin}: the work is done already.",
    "pin_not_qualified": "{pin}: crew {crew} is not qualified for {phase}.",
    "pin_before_ready": "{pin}: the lot is ready on day {ready} only.",
    "pin_crew_busy": "{pin}: crew {crew} is free from quarter {free_quarter} only.",
    "pin_drive": "{pin}: crew {crew} cannot be there in time on that day.",
    "pin_off": "{pin}: crew {crew} is off on day {off}.",
    "pin_rain": "{pin}: crew {crew} is rained off on day {off}.",
    "pin_gate": "{pin} contradicts {other}: it opens the gate on day {opens}"
    " at the earliest.",
    "pin_both": "{pin} contradicts {other}: the crew cannot do both.",
    "pin_missed": "No plan was found that keeps the {pin}.",
}


def said_pin(fact: Mapping[str, Any]) -> str:
    """The words for a pin that cannot be kept, or for a part of them."""
    shown = {
        key: said_pin(value) if isinstance(value, Mapping) else value
        for key, value in fact.items()
    }
    return PINS[fact["code"]].format(**shown)


def calendar_day(problem: Problem, day: int) -> date:
    """The date of a working day; before and behind the list Monday to Friday go on."""
    listed = problem.working_days
    if day < 0:
        weeks, rest = divmod(listed[0].weekday() + day, 5)
        return listed[0] + timedelta(days=7 * weeks + rest - listed[0].weekday())
    if day < len(listed):
        return listed[day]
    when = listed[-1]
    for _ in range(day - len(listed) + 1):
        when += timedelta(days=3 if when.weekday() == 4 else 1)
    return when


def said_day(problem: Problem, day: int) -> str:
    when = calendar_day(problem, day)
    return f"{WEEKDAYS[when.weekday()]} {when.day} {when:%b}"


def said_phase(phase: str) -> str:
    return PHASE_NAMES.get(phase, phase)


def said_why(
    problem: Problem,
    name: tuple[str, str],
    pass_day: int,
    late: int,
    links: Iterable[Link],
    soonest: int,
) -> str:
    """One sentence from the binding facts, in their order.

    A second one follows when no plan of crews could be on time: `soonest` says when.
    """
    days = "1 day" if late == 1 else f"{late} days"
    head = f"Lot {name[0]} {said_phase(name[1])} passes {said_day(problem, pass_day)}"
    head += f", {days} late" if late > 0 else ""
    reasons = [text for link in links if (text := said_link(problem, link))]
    said = f"{head}: {', '.join(dict.fromkeys(reasons))}." if reasons else f"{head}."
    if late > 0 and soonest > pass_day - late:
        day = said_day(problem, soonest)
        said += f" Even with every crew free it could not pass before {day}."
    return said


def said_link(problem: Problem, link: Link) -> str:
    """The words for one binding fact."""
    if link.kind in PAST_WORDS:
        return _said_past(problem, link)
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
        case "closed":
            return f"{link.who} gives no visit on {_days(problem, link.days)}"
        case "slot_full":
            return f"{link.who} is full on {_days(problem, link.days)}"
    return ""


def _said_past(problem: Problem, link: Link) -> str:
    of = f"{said_phase(link.phase)}: " if link.phase else ""
    return of + PAST_WORDS[link.kind].format(
        day=said_day(problem, link.day),
        since=said_day(problem, link.since),
        number=link.number,
    )


def _number(days: int) -> str:
    return "1 day" if days == 1 else f"{days} days"


def _and(words: list[str]) -> str:
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def _days(problem: Problem, days: tuple[int, ...]) -> str:
    said = [said_day(problem, day) for day in days]
    return _and(said) if len(said) < 4 else f"{said[0]} to {said[-1]}"


def said_remedy(problem: Problem, code: str, params: Mapping[str, Any]) -> str:
    """The words for one remedy; days of `params` are working days."""
    fields = dict(params)
    if "day" in fields:
        fields["day"] = said_day(problem, fields["day"])
    if "phase" in fields:
        fields["phase"] = said_phase(fields["phase"])
    return REMEDIES[code].format(**fields)
