"""What a run works out, apart from the database, and how its draft keeps it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from django.db import transaction

from tracker.errors import Refused
from tracker.planning.adapter import Joined, problem_of
from tracker.planning.adapter.calendar import Calendar
from tracker.planning.adapter.history import read_season, season_json
from tracker.planning.adapter.keys import Keys, Name
from tracker.planning.core.choices import choices
from tracker.planning.core.errors import BadPlan
from tracker.planning.core.explain import explain
from tracker.planning.core.marks_past import Past
from tracker.planning.core.odds import odds
from tracker.planning.core.plan import Plan, PlannedJob, read_plan, write_plan
from tracker.planning.core.problem import QUARTERS, Problem, Told
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.problem_write import write_problem
from tracker.planning.core.remedies import remedies
from tracker.planning.core.season import Season
from tracker.planning.core.solve import Effort, Progress
from tracker.planning.exact import Disagreement
from tracker.planning.models import PlanningRules, PlanVersion
from tracker.planning.solving import shifted, solve_exactly
from tracker.planning.supposing import dated, supposed
from tracker.sites.models import Company

ODDS = ("lot", "phase", "planned", "need_by", "p50", "p80", "p95", "promise", "on_time")
LEVELS = (0, 1, 2, 3, 4)  # the steps of the slider
Say = Callable[[Progress], None]
Tell = Callable[[int, int], None]  # done, of so many
Stop = Callable[[], bool]


@dataclass(frozen=True)
class Prepared:
    """All that a run reads; `start` is the plan that it begins from."""

    joined: Joined
    start: Plan | None
    level: float
    share: float
    now: datetime
    trusted: frozenset[str] = frozenset()
    supposes: bool = False


@dataclass(frozen=True)
class Worked:
    joined: Joined
    plan: Plan
    left: tuple[Disagreement, ...]
    why: list[dict[str, Any]]
    odds: list[list[Any]]


def prepare(version: PlanVersion, *, now: datetime) -> Prepared:
    """The problem of now, for a what-if as it would be; a draft goes on from itself.

    A new draft goes on from the plan it began beside; where the stored plan cannot be
    read, a new one is made.
    """
    joined = problem_of(now=now)
    office = ""
    if version.what_if:
        joined = supposed(joined, version.what_if)
        office = version.what_if["params"].get("office", "")
    return Prepared(
        joined=joined,
        start=_start(version, joined.calendar),
        level=PlanningRules.get().buffer,
        share=Company.get().promise_percent / 100,
        now=now,
        trusted=frozenset({office} - {""}),
        supposes=bool(version.what_if),
    )


def _start(version: PlanVersion, calendar: Calendar) -> Plan | None:
    old = version if version.plan else version.base
    if old is None or not old.plan:
        return None
    try:
        plan = read_plan(old.plan)
    except BadPlan:
        return None
    return shifted(plan, Calendar(old.day0).number_of(calendar.day0))


def work_out(prepared: Prepared, effort: Effort, stop: Stop, say: Say) -> Worked:
    """Solve, explain, weigh; touches no database."""
    joined, plan, left = solve_exactly(
        prepared.joined,
        effort,
        now=prepared.now,
        start=prepared.start,
        level=prepared.level,
        trusted=prepared.trusted,
        # Every gain of a what-if is shown, however small.
        threshold=0 if prepared.supposes else None,
        stop=stop,
        progress=say,
    )
    return Worked(
        joined,
        plan,
        tuple(left),
        reasons(joined.problem, plan, joined.keys.past),
        weigh(joined.problem, plan, joined.season, prepared.share),
    )


def reasons(
    problem: Problem, plan: Plan, past: Mapping[Name, Past]
) -> list[dict[str, Any]]:
    """Facts of each late job, the dearest first, then of what was told otherwise."""
    late = explain(problem, plan, past=past)
    seen = {(why.lot, why.phase) for why in late}
    planned = plan.by_name()
    moved = [
        name
        for name, told in problem.told_of.items()
        if name not in seen and _is_moved(told, planned[name])
    ]
    return [why.facts() for why in (*late, *explain(problem, plan, moved))]


def _is_moved(told: Told, job: PlannedJob) -> bool:
    day = (job.start_quarter or 0) // QUARTERS
    return (told.crew, told.start_quarter // QUARTERS) != (job.crew, day)


def weigh(
    problem: Problem, plan: Plan, season: Season, share: float
) -> list[list[Any]]:
    found = odds(problem, plan, season=season, promise_share=share)
    return [[getattr(one, name) for name in ODDS] for one in found]


@transaction.atomic
def keep_plan(version: PlanVersion, worked: Worked, *, who: str, now: datetime) -> None:
    """Put the result into its draft, unless somebody changed or left it meanwhile."""
    seen = version.revision
    version = PlanVersion.objects.select_for_update().get(pk=version.pk)
    if version.status != PlanVersion.DRAFT:
        raise Refused("plan_no_draft")
    if version.revision != seen:
        raise Refused("plan_changed", who=version.changed_by)
    joined = worked.joined
    rules = PlanningRules.get()
    version.day0 = joined.calendar.day0
    version.until = joined.calendar.date_of(rules.told_days)
    version.problem = write_problem(joined.problem)
    version.plan = write_plan(worked.plan)
    version.keys = joined.keys.as_json()
    version.notes = [dict(note) for note in joined.notes]
    version.why, version.odds, version.remedies = worked.why, worked.odds, []
    version.trouble = [
        {"lot": d.lot, "phase": d.phase, "office": d.office, "why": d.why}
        | {"date": d.day.isoformat()}
        for d in worked.left
    ]
    version.season = season_json(joined.season)
    version.revision += 1
    version.changed_by, version.changed_at = who, now
    version.save()


def work_out_remedies(
    version: PlanVersion, effort: Effort, stop: Stop, tell: Tell
) -> list[dict[str, Any]]:
    """Remedies of a version as JSON, each really solved; the most effective first."""
    problem = read_problem(version.problem)
    begun = Keys.read(version.keys).begun
    found = remedies(
        problem, read_plan(version.plan), effort, fixed=begun, stop=stop, told=tell
    )
    calendar = Calendar(version.day0)
    return [dated(one.facts(), calendar) for one in found]


def work_out_levels(
    version: PlanVersion, effort: Effort, stop: Stop, tell: Tell
) -> list[dict[str, Any]]:
    """What each buffer wins and costs: odds, drives, late days, from one effort."""
    problem, start = read_problem(version.problem), read_plan(version.plan)
    season = read_season(version.season)
    shown = []
    for number, level in enumerate(LEVELS):
        if stop():
            break
        tell(number, len(LEVELS))
        (one,) = choices(problem, effort, levels=(level,), start=start, season=season)
        shown.append(
            {
                "level": one.level,
                "on_time": round(100 * one.on_time),
                "safe": round(100 * one.safe),
                "moves": one.plan.score.moves,
                "late": one.plan.score.weighted_late_days,
                "changes": one.plan.score.day_changes + one.plan.score.crew_changes,
            }
        )
    return shown


def smaller(effort: Effort, share: float) -> Effort:
    """The same effort, less of it."""
    return replace(
        effort,
        seconds=None if effort.seconds is None else effort.seconds * share,
        iterations=None
        if effort.iterations is None
        else max(1, int(effort.iterations * share)),
    )
