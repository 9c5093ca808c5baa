"""What binds a job, what would help and what the judge says, in the reader's words."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.template.defaultfilters import date as date_text

from phases.names import names
from tracker.desk.ahead.draw import name_of
from tracker.desk.ahead.queries import Board, kinds_by_slot
from tracker.desk.ahead.said import Sayer
from tracker.planning.adapter.calendar import Calendar
from tracker.planning.adapter.keys import Keys, Name
from tracker.planning.core.judge import Breach
from tracker.planning.models import PlanVersion, SolveRun
from tracker.words import say


@dataclass(frozen=True)
class Reason:
    """One job of the plan with its sentence; `late` 0: told otherwise than before."""

    lot: str
    pk: int | None
    phase: str
    late: int
    guessed: bool
    sentence: str


def sayer_of(board: Board, language: str) -> Sayer:
    phases = {slot: name_of(kind, slot) for slot, kind in board.kinds.items()}
    return Sayer(
        language,
        board.sheet.calendar,
        phases,
        begun=board.keys.begun,
        parts=_parts(board, names(language)),
    )


def _parts(board: Board, known: Mapping[str, str]) -> dict[Name, str]:
    """What nobody has said ready yet, by lot and phase."""
    found = {}
    for name, row in board.rows.items():
        parts = (row["work_reason"] or {}).get("parts", ())
        if parts:
            found[name] = ", ".join(known.get(part, part) for part in parts)
    return found


def reasons_of(board: Board, sayer: Sayer) -> list[Reason]:
    """Each late job, the dearest first, then what is otherwise than told."""
    priorities = {
        (lot["id"], phase["phase"]): phase["priority"]
        for lot in board.version.problem["lots"]
        for phase in lot["phases"]
    }
    moved = _moved(board, sayer)
    return [
        Reason(
            lot=row["lot"],
            pk=board.keys.lots.get(row["lot"]),
            phase=sayer.phase(row["phase"]),
            late=row["late"],
            guessed=priorities.get((row["lot"], row["phase"])) == 1,
            sentence=sayer.why(row, moved.get((row["lot"], row["phase"]))),
        )
        for row in board.version.why
    ]


def _moved(board: Board, sayer: Sayer) -> dict[Name, tuple[str, str]]:
    """Crew and day as told when the plan was made, and as they are in it."""
    told = {
        (one["lot"], one["phase"]): f"{one['crew']}, "
        + sayer.day(one["start_quarter"] // 4)
        for one in board.version.problem.get("published", ())
    }
    return {
        strip.name: (told[strip.name], f"{strip.crew}, {sayer.day(strip.start // 4)}")
        for strip in board.sheet.strips
        if strip.name in told
    }


def notes_of(board: Board, sayer: Sayer) -> dict[str, list[dict[str, Any]]]:
    """What could not be planned or was assumed, by kind, each lot with its sentence."""
    known = names(sayer.language)
    found: dict[str, list[dict[str, Any]]] = {}
    for note in board.version.notes:
        said = say({"code": f"note_{note['code']}"}, sayer.language)
        shown = {**note, "said": sayer.waits(note, known)}
        found.setdefault(said, []).append(shown)
    return found


def remedies_of(version: PlanVersion, sayer: Sayer) -> list[dict[str, Any]]:
    """What would help, as worked out; the most effective first."""
    return [{**row, "text": sayer.remedy(row)} for row in version.remedies]


def plain_sayer(version: PlanVersion, language: str) -> Sayer:
    """For a version without its board: names of phases and its days."""
    phases = {slot: name_of(kind, slot) for slot, kind in kinds_by_slot().items()}
    begun = Keys.read(version.keys).begun
    return Sayer(language, Calendar(version.day0), phases, begun=begun)


def premise_of(version: PlanVersion, language: str) -> str:
    """What a what-if supposes; empty for a plan of what is so."""
    if not version.what_if:
        return ""
    return plain_sayer(version, language).remedy(version.what_if)


def breaches_of(
    version: PlanVersion, breaches: Iterable[Breach], language: str
) -> list[dict[str, str]]:
    """What the judge says, each lot once a kind."""
    sayer = plain_sayer(version, language)
    found = {}
    for breach in breaches:
        found[breach.code, breach.lot, breach.phase] = {
            "lot": sayer.lot(breach.lot),
            "phase": sayer.phase(breach.phase),
            "said": sayer.breach(breach.code, breach.params),
        }
    return list(found.values())


def trouble_of(version: PlanVersion, sayer: Sayer) -> list[dict[str, Any]]:
    """Visits that the offices' own rules do not give."""
    return [
        {**one, "why": say(one["why"], sayer.language), "lot": sayer.lot(one["lot"])}
        for one in version.trouble
    ]


def found_of(run: SolveRun, language: str) -> list[str]:
    """What a failed run found, a sentence each; its days count from its own day 0."""
    if "found" not in run.reason:
        return []
    phases = {slot: name_of(kind, slot) for slot, kind in kinds_by_slot().items()}
    day0 = date.fromisoformat(run.reason["day0"])
    sayer = Sayer(language, Calendar(day0), phases)
    return [sayer.pin(fact) for fact in run.reason["found"]]


def day_text(value: Any) -> str:
    return str(date_text(value, "D j M"))
