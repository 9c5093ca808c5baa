"""What would help: the problem changed in one thing and really solved again."""

from collections import Counter
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import asdict, dataclass
from typing import Any

from .english import said_remedy
from .explain import Why, explain
from .plan import Plan
from .problem import Problem
from .solve import Effort, never, solve
from .what_if import changed, holidays

WEEK = range(5)
EACH = 3  # at most so many remedies of a kind


@dataclass(frozen=True)
class Remedy:
    """One change and what re-solving showed: points and weighted late days saved.

    `code` and `params` say it in any language (see english.REMEDIES); days are working
    days. `text` says it in English.
    """

    kind: str
    code: str
    params: Mapping[str, Any]
    text: str
    saves: int
    late_days_saved: int
    moves_saved: int
    plan: Plan

    def __str__(self) -> str:
        return (
            f"{self.text}: saves {self.saves} points,"
            f" {self.late_days_saved} weighted late days."
        )

    def facts(self) -> dict[str, Any]:
        """All but plan and words, as JSON."""
        return {
            "kind": self.kind,
            "code": self.code,
            "params": dict(self.params),
            "saves": self.saves,
            "late": self.late_days_saved,
            "moves": self.moves_saved,
        }


Change = tuple[str, str, dict[str, Any]]  # kind, code, params


def remedies(
    problem: Problem,
    plan: Plan,
    effort: Effort,
    *,
    fixed: Collection[tuple[str, str]] = (),
    stop: Callable[[], bool] = never,
    told: Callable[[int, int], None] = lambda done, of: None,
) -> tuple[Remedy, ...]:
    """Remedies that lower the score, the most effective first.

    Every one starts from `plan` with the same effort as the unchanged problem does, and
    what that alone would win is not counted. `told` hears how many of how many were
    tried. Pins of jobs in `fixed` are no choice of anybody.
    """
    base = solve(problem, effort, start=plan, threshold=0)
    if base.score.total > plan.score.total > 0:
        base = plan
    found = []
    wanted = list(changes(problem, plan, fixed))
    for number, (kind, code, params) in enumerate(wanted):
        if stop():
            break
        told(number, len(wanted))
        other = solve(changed(problem, code, params), effort, start=base, threshold=0)
        saves = base.score.total - other.score.total
        if saves > 0:
            late = base.score.weighted_late_days - other.score.weighted_late_days
            moves = base.score.moves - other.score.moves
            text = said_remedy(problem, code, params)
            found.append(Remedy(kind, code, params, text, saves, late, moves, other))
    return tuple(sorted(found, key=lambda one: (-one.saves, one.text)))


def changes(
    problem: Problem, plan: Plan, fixed: Collection[tuple[str, str]] = ()
) -> Iterator[Change]:
    """The changes worth trying for what is late in `plan`."""
    late = explain(problem, plan)
    for phase in dict.fromkeys(why.phase for why in late):
        yield "crew", "one_more_crew", {"phase": phase}
    yield from _days_off(problem, late)
    yield from _overtime(late)
    yield from _pins(problem, fixed)
    yield from _builder(late)
    yield from _inspectors(problem, late)


def _common(late: tuple[Why, ...], kind: str) -> list[str]:
    """Whom the facts of that kind name, the most often named first."""
    names = Counter(link.who for why in late for link in why.links if link.kind == kind)
    return [name for name, _ in names.most_common(EACH)]


def _days_off(problem: Problem, late: tuple[Why, ...]) -> Iterator[Change]:
    """A day off worked by the crews that bind most; a holiday of all is no choice."""
    shared = holidays(problem) if len(problem.crews) > 1 else frozenset()
    for name in dict.fromkeys(_common(late, "crew_busy") + _common(late, "crew_off")):
        crew = problem.crews[problem.crew_index[name]]
        needed = [why.pass_day for why in late if _names(why, name)]
        own = crew.days_off - shared
        days = [day for day in own if needed and 0 <= day <= max(needed)]
        if days:
            yield "overtime", "day_off_worked", {"crew": name, "day": max(days)}


def _overtime(late: tuple[Why, ...]) -> Iterator[Change]:
    """A day more, beside the working days, on the work that binds most."""
    binding = Counter(
        name
        for why in late
        for name in dict.fromkeys(
            [(why.lot, why.phase)]
            + [(one.lot, one.phase) for one in why.links if one.kind == "crew_busy"]
        )
    )
    for (lot, phase), _ in binding.most_common(EACH):
        yield "overtime", "overtime_day", {"lot": lot, "phase": phase}


def _names(why: Why, crew: str) -> bool:
    return any(link.who == crew for link in why.links)


def _pins(problem: Problem, fixed: Collection[tuple[str, str]]) -> Iterator[Change]:
    free = [pin for pin in problem.pins if (pin.lot, pin.phase) not in fixed]
    for pin in free[:EACH]:
        yield "pin", "no_pin", asdict(pin)
    if len(free) > 1:
        but = [[pin.lot, pin.phase] for pin in problem.pins if pin not in free]
        yield "pin", "no_pins", {"but": but} if but else {}


def _builder(late: tuple[Why, ...]) -> Iterator[Change]:
    waits = {"ready", "gate"}
    lots = [w.lot for w in late if waits & {link.kind for link in w.links}]
    for lot in list(dict.fromkeys(lots))[:EACH]:
        yield "builder", "builder_sooner", {"lot": lot}


def _inspectors(problem: Problem, late: tuple[Why, ...]) -> Iterator[Change]:
    for name in _common(late, "slot_full"):
        yield "inspection", "one_more_slot", {"office": name}
    for name in _common(late, "visit_weekday"):
        office = problem.jurisdictions[problem.jurisdiction_index[name]]
        if len(office.weekdays) < len(WEEK):
            yield "inspection", "every_weekday", {"office": name}
