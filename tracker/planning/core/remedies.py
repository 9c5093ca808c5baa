"""What would help: the problem changed in one thing and really solved again."""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import asdict, dataclass, replace
from typing import Any, NamedTuple

from .english import said_remedy
from .explain import Why, explain
from .plan import Plan
from .problem import QUARTERS, Crew, Jurisdiction, Lot, Problem
from .solve import Effort, never, solve

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


class Change(NamedTuple):
    """A problem that differs in one thing."""

    kind: str
    code: str
    params: dict[str, Any]
    problem: Problem


def remedies(
    problem: Problem,
    plan: Plan,
    effort: Effort,
    *,
    stop: Callable[[], bool] = never,
) -> tuple[Remedy, ...]:
    """Remedies that lower the score, the most effective first.

    Every one starts from `plan` with the same effort as the unchanged problem does, and
    what that alone would win is not counted.
    """
    base = solve(problem, effort, start=plan, threshold=0)
    if base.score.total > plan.score.total > 0:
        base = plan
    found = []
    for kind, code, params, changed in changes(problem, plan):
        if stop():
            break
        other = solve(changed, effort, start=base, threshold=0)
        saves = base.score.total - other.score.total
        if saves > 0:
            late = base.score.weighted_late_days - other.score.weighted_late_days
            moves = base.score.moves - other.score.moves
            text = said_remedy(problem, code, params)
            found.append(Remedy(kind, code, params, text, saves, late, moves, other))
    return tuple(sorted(found, key=lambda one: (-one.saves, one.text)))


def changes(problem: Problem, plan: Plan) -> Iterator[Change]:
    """The changes worth trying for what is late in `plan`."""
    late = explain(problem, plan)
    yield from _one_more_crew(problem, late)
    yield from _days_off(problem, late)
    yield from _overtime(problem, late)
    yield from _pins(problem)
    yield from _builder(problem, late)
    yield from _inspectors(problem, late)


def _common(late: tuple[Why, ...], kind: str) -> list[str]:
    """Whom the facts of that kind name, the most often named first."""
    names = Counter(link.who for why in late for link in why.links if link.kind == kind)
    return [name for name, _ in names.most_common(EACH)]


def _one_more_crew(problem: Problem, late: tuple[Why, ...]) -> Iterator[Change]:
    lots = {lot.id: lot for lot in problem.lots}
    for phase in dict.fromkeys(why.phase for why in late):
        places = Counter(
            lots[why.lot].subdivision for why in late if why.phase == phase
        )
        crew = Crew(
            id=f"one more for {phase}",
            phases=frozenset((phase,)),
            speed=1.0,
            days_off=_holidays(problem),
            at=places.most_common(1)[0][0],
            free_from_quarter=0,
        )
        crews = (*problem.crews, crew)
        more = replace(problem, crews=crews)
        yield Change("crew", "one_more_crew", {"phase": phase}, more)


def _holidays(problem: Problem) -> frozenset[int]:
    """Days on which every crew is off."""
    if not problem.crews:
        return frozenset()
    return frozenset.intersection(*(crew.days_off for crew in problem.crews))


def _days_off(problem: Problem, late: tuple[Why, ...]) -> Iterator[Change]:
    """A day off worked by the crews that bind most."""
    for name in dict.fromkeys(_common(late, "crew_busy") + _common(late, "crew_off")):
        place = problem.crew_index[name]
        crew = problem.crews[place]
        needed = [why.pass_day for why in late if _names(why, name)]
        days = sorted(day for day in crew.days_off if needed and day <= max(needed))
        if not days:
            continue
        day = days[-1]
        more = replace(crew, days_off=crew.days_off - {day})
        crews = (*problem.crews[:place], more, *problem.crews[place + 1 :])
        params = {"crew": name, "day": day}
        changed = replace(problem, crews=crews)
        yield Change("overtime", "day_off_worked", params, changed)


def _overtime(problem: Problem, late: tuple[Why, ...]) -> Iterator[Change]:
    """A day more, beside the working days, on the work that binds most."""
    binding = Counter(
        name
        for why in late
        for name in dict.fromkeys(
            [(why.lot, why.phase)]
            + [(one.lot, one.phase) for one in why.links if one.kind == "crew_busy"]
        )
    )
    lots = {lot.id: lot for lot in problem.lots}
    for (name, phase), _ in binding.most_common(EACH):
        shorter = tuple(
            replace(one, crew_quarters=max(0, one.crew_quarters - QUARTERS))
            if one.phase == phase
            else one
            for one in lots[name].phases
        )
        changed = _with_lot(problem, replace(lots[name], phases=shorter))
        params = {"lot": name, "phase": phase}
        yield Change("overtime", "overtime_day", params, changed)


def _names(why: Why, crew: str) -> bool:
    return any(link.who == crew for link in why.links)


def _pins(problem: Problem) -> Iterator[Change]:
    for pin in problem.pins[:EACH]:
        rest = tuple(one for one in problem.pins if one != pin)
        yield Change("pin", "no_pin", asdict(pin), replace(problem, pins=rest))
    if len(problem.pins) > 1:
        yield Change("pin", "no_pins", {}, replace(problem, pins=()))


def _builder(problem: Problem, late: tuple[Why, ...]) -> Iterator[Change]:
    asked = 0
    for why in late:
        kinds = {link.kind for link in why.links}
        if asked == EACH or not kinds & {"ready", "gate"}:
            continue
        asked += 1
        lot = next(lot for lot in problem.lots if lot.id == why.lot)
        phases = tuple(
            replace(
                phase,
                ready_day=phase.ready_day - 1,
                builder_days_after_pass=max(0, phase.builder_days_after_pass - 1),
            )
            for phase in lot.phases
        )
        changed = _with_lot(problem, replace(lot, phases=phases))
        yield Change("builder", "builder_sooner", {"lot": lot.id}, changed)


def _with_lot(problem: Problem, changed: Lot) -> Problem:
    lots = tuple(changed if lot.id == changed.id else lot for lot in problem.lots)
    return replace(problem, lots=lots)


def _inspectors(problem: Problem, late: tuple[Why, ...]) -> Iterator[Change]:
    for name in _common(late, "slot_full"):
        one = problem.jurisdictions[problem.jurisdiction_index[name]]
        more = replace(one, daily_cap=one.daily_cap + 1)
        changed = _with_rules(problem, more)
        yield Change("inspection", "one_more_slot", {"office": name}, changed)
    for name in _common(late, "visit_weekday"):
        one = problem.jurisdictions[problem.jurisdiction_index[name]]
        if len(one.weekdays) < 5:
            more = replace(one, weekdays=frozenset(range(5)))
            changed = _with_rules(problem, more)
            yield Change("inspection", "every_weekday", {"office": name}, changed)


def _with_rules(problem: Problem, changed: Jurisdiction) -> Problem:
    rules = tuple(
        changed if one.id == changed.id else one for one in problem.jurisdictions
    )
    return replace(problem, jurisdictions=rules)
