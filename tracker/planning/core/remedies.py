"""What would help: the problem changed in one thing and really solved again."""

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from .chain import Chains
from .explain import Why, explain, said_day, said_phase
from .plan import Plan
from .problem import Crew, Jurisdiction, Lot, Problem
from .solve import Effort, never, solve

EACH = 3  # at most so many remedies of a kind


@dataclass(frozen=True)
class Remedy:
    """One change and what re-solving showed: points and weighted late days saved."""

    kind: str
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


Change = tuple[str, str, Problem]


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
    for kind, text, changed in changes(problem, plan):
        if stop():
            break
        other = solve(changed, effort, start=base, threshold=0)
        saves = base.score.total - other.score.total
        if saves > 0:
            late = base.score.weighted_late_days - other.score.weighted_late_days
            moves = base.score.moves - other.score.moves
            found.append(Remedy(kind, text, saves, late, moves, other))
    return tuple(sorted(found, key=lambda one: (-one.saves, one.text)))


def changes(problem: Problem, plan: Plan) -> Iterator[Change]:
    """The changes worth trying for what is late in `plan`."""
    late = explain(problem, plan)
    chains = Chains(problem, plan)
    yield from _one_more_crew(problem, late)
    yield from _overtime(problem, late)
    yield from _pins(problem)
    yield from _builder(problem, late, chains)
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
            id=f"one more for {said_phase(phase)}",
            phases=frozenset((phase,)),
            speed=1.0,
            days_off=_holidays(problem),
            at=places.most_common(1)[0][0],
            free_from_quarter=0,
        )
        crews = (*problem.crews, crew)
        text = f"One more crew for {said_phase(phase)}"
        yield "crew", text, replace(problem, crews=crews)


def _holidays(problem: Problem) -> frozenset[int]:
    """Days on which every crew is off."""
    if not problem.crews:
        return frozenset()
    return frozenset.intersection(*(crew.days_off for crew in problem.crews))


def _overtime(problem: Problem, late: tuple[Why, ...]) -> Iterator[Change]:
    """A day off worked by the crew that binds most."""
    for name in _common(late, "crew_busy") + _common(late, "crew_off"):
        place = problem.crew_index[name]
        crew = problem.crews[place]
        needed = [why.pass_day for why in late if _names(why, name)]
        days = sorted(day for day in crew.days_off if needed and day <= max(needed))
        if not days:
            continue
        day = days[-1]
        more = replace(crew, days_off=crew.days_off - {day})
        crews = (*problem.crews[:place], more, *problem.crews[place + 1 :])
        text = f"Crew {name} works on {said_day(problem, day)}"
        yield "overtime", text, replace(problem, crews=crews)


def _names(why: Why, crew: str) -> bool:
    return any(link.who == crew for link in why.links)


def _pins(problem: Problem) -> Iterator[Change]:
    for pin in problem.pins[:EACH]:
        rest = tuple(one for one in problem.pins if one != pin)
        text = (
            f"No pin of lot {pin.lot} {said_phase(pin.phase)} on crew {pin.crew},"
            f" {said_day(problem, pin.day)}"
        )
        yield "pin", text, replace(problem, pins=rest)
    if len(problem.pins) > EACH:
        yield "pin", "No pins at all", replace(problem, pins=())


def _builder(
    problem: Problem, late: tuple[Why, ...], chains: Chains
) -> Iterator[Change]:
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
        text = f"The builder is a day sooner at lot {lot.id}"
        yield "builder", text, _with_lot(problem, replace(lot, phases=phases))


def _with_lot(problem: Problem, changed: Lot) -> Problem:
    lots = tuple(changed if lot.id == changed.id else lot for lot in problem.lots)
    return replace(problem, lots=lots)


def _inspectors(problem: Problem, late: tuple[Why, ...]) -> Iterator[Change]:
    for name in _common(late, "slot_full"):
        one = problem.jurisdictions[problem.jurisdiction_index[name]]
        more = replace(one, daily_cap=one.daily_cap + 1)
        text = f"{name} takes one inspection a day more"
        yield "inspection", text, _with_rules(problem, more)
    for name in _common(late, "visit_weekday"):
        one = problem.jurisdictions[problem.jurisdiction_index[name]]
        if len(one.weekdays) < 5:
            more = replace(one, weekdays=frozenset(range(5)))
            yield "inspection", f"{name} inspects every day", _with_rules(problem, more)


def _with_rules(problem: Problem, changed: Jurisdiction) -> Problem:
    rules = tuple(
        changed if one.id == changed.id else one for one in problem.jurisdictions
    )
    return replace(problem, jurisdictions=rules)
