"""What binds a job, what would help and what the judge says, in the reader's words."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.template.defaultfilters import date as date_text

from tracker.desk.ahead.draw import name_of
from tracker.desk.ahead.queries import Board
from tracker.desk.spanish import in_language
from tracker.planning.adapter.calendar import Calendar
from tracker.planning.core.judge import Breach
from tracker.planning.models import PlanVersion

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri")


@dataclass(frozen=True)
class Reason:
    lot: str
    pk: int | None
    phase: str
    late: int
    guessed: bool
    sentence: str


# One sentence a kind of breach; {day} and {other} come from the judge's text.
BREACHES = {
    "not_qualified": "The crew is not qualified for this phase.",
    "crew_not_free": "The crew is not free yet then.",
    "day_off": "The crew is off on one of these days.",
    "rain": "Rain stops this work on one of these days.",
    "overlap": "The crew is on another lot then.",
    "no_time_to_drive": "There is no time to drive between the subdivisions.",
    "before_ready": "The lot is not ready before.",
    "before_gate": "The phase before must pass first, and the builder needs his days.",
    "no_inspector": "The office does not inspect on that day.",
    "inspected_too_early": "The inspection cannot be called in that early.",
    "over_cap": "The office is full on the day of its inspection.",
    "pin_crew": "It is pinned to another crew.",
    "pin_day": "It is pinned to another day.",
}
NOTES = {
    "no_slot": "The planner knows four phases a lot; this one is not among them.",
    "out_of_order": "Later work is done although this was never said done.",
    "no_date": "Nobody has said when it is ready.",
    "no_plan": "No plan is chosen for the lot.",
    "no_office": "Nobody has said which office inspects here: what comes after waits.",
    "held": "On hold; taken to last some days more.",
    "unsaid": "The forecast has come, but nobody has said it is ready.",
    "guessed": "Nobody has said when; guessed from how long builders took before.",
    "no_crew": "No crew is qualified.",
    "pin_past": "Its pin lies in the past and binds nobody.",
}
LINKS = {
    "ready": "the builder's part is due {day}",
    "gate": "{phase} must have passed, so it can start {day}",
    "pin": "it is pinned to {who} on {day}",
    "promised": "the crew was told {day}",
    "crew_busy": "{who} is busy until {until}",
    "next_crew": "the next other crew, {who}, is free {day}",
    "crew_off": "{who} is off {days}",
    "rain": "rain stops the work {days}",
    "drive": "{who} drives from {lot}",
    "cutoff": "the work ends {day} after the cut-off of {who}",
    "lead": "{who} wants {number} days notice",
    "visit_weekday": "{who} inspects {weekdays}",
    "slot_full": "{who} is full on {days}",
}
KINDS = {
    "crew": "One more crew",
    "overtime": "Overtime",
    "pin": "Without a pin",
    "builder": "Ask the builder for a day",
    "inspection": "Another inspection slot",
}


def reasons_of(board: Board, language: str) -> list[Reason]:
    """Each late job, the dearest first, with what binds it in one sentence."""
    priorities = {
        (lot["id"], phase["phase"]): phase["priority"]
        for lot in board.version.problem["lots"]
        for phase in lot["phases"]
    }
    return [
        Reason(
            lot=row["lot"],
            pk=board.keys.lots.get(row["lot"]),
            phase=name_of(board.kinds.get(row["phase"]), row["phase"]),
            late=row["late"],
            guessed=priorities.get((row["lot"], row["phase"])) == 1,
            sentence=row["sentence"] if language == "en" else _said(board, row),
        )
        for row in board.version.why
    ]


def _said(board: Board, row: Mapping[str, Any]) -> str:
    """The sentence put together from the facts, for readers of Spanish."""
    calendar = board.sheet.calendar
    planned = next(
        strip
        for strip in board.sheet.strips
        if strip.name == (row["lot"], row["phase"])
    )
    last = planned.visit if planned.visit is not None else (planned.end - 1) // 4
    head = in_language(
        "Lot {lot}, {phase}: passes {day}, {late} days late",
        "es",
        lot=row["lot"],
        phase=name_of(board.kinds.get(row["phase"]), row["phase"]),
        day=_day(calendar, last),
        late=row["late"],
    )
    said = [_link(board, link) for link in row["links"]]
    return f"{head}: {', '.join(dict.fromkeys(said))}." if said else f"{head}."


def _link(board: Board, link: Mapping[str, Any]) -> str:
    calendar = board.sheet.calendar
    fields = {
        "who": link.get("who", ""),
        "day": _day(calendar, max(0, link.get("day", 0))),
        "until": _day(calendar, max(0, link.get("until", 0))),
        "days": ", ".join(_day(calendar, day) for day in link.get("days", ())),
        "weekdays": ", ".join(_weekday(day) for day in link.get("days", ())),
        "number": link.get("number", 0),
        "lot": link.get("lot", ""),
        "phase": name_of(board.kinds.get(link.get("phase", "")), link.get("phase", "")),
    }
    text = LINKS.get(link["kind"])
    return in_language(text, "es", **fields) if text else ""


def _weekday(number: int) -> str:
    return str(date_text(date(2024, 1, 1 + number), "D")) if 0 <= number < 5 else ""


def _day(calendar: Calendar, number: int) -> str:
    return str(date_text(calendar.date_of(number), "D j M"))


def notes_of(board: Board, language: str) -> dict[str, list[dict[str, Any]]]:
    """What could not be planned or was assumed, by its sentence."""
    names = {kind.code: name_of(kind, kind.code) for kind in board.kinds.values()}
    found: dict[str, list[dict[str, Any]]] = {}
    for note in board.version.notes:
        said = in_language(NOTES.get(note["code"], note["code"]), language)
        shown = {**note, "name": names.get(note.get("phase", ""), "")}
        found.setdefault(said, []).append(shown)
    return found


def remedies_of(board: Board, language: str) -> list[dict[str, Any]]:
    """What would help, as worked out; the most effective first."""
    return [
        {**row, "sort": in_language(KINDS.get(row["kind"], row["kind"]), language)}
        for row in board.version.remedies
    ]


def breaches_of(
    version: PlanVersion, breaches: Iterable[Breach], language: str
) -> list[dict[str, str]]:
    """The judge's words with dates for its day numbers; each lot once a kind."""
    calendar = Calendar(version.day0)
    found = {}
    for breach in breaches:
        said = in_language(BREACHES.get(breach.code, breach.text), language)
        detail = re.sub(
            r"\bday (\d+)", lambda m: _day(calendar, int(m[1])), breach.text
        )
        found[breach.code, breach.lot, breach.phase] = {
            "lot": breach.lot,
            "said": said,
            "detail": detail if language == "en" and detail != breach.text else "",
        }
    return list(found.values())
