"""What a run works out, apart from the database, and how its draft keeps it."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from django.db import transaction

from tracker.errors import Refused
from tracker.planning.adapter import Joined, problem_of
from tracker.planning.adapter.calendar import Calendar
from tracker.planning.adapter.history import read_season, season_json
from tracker.planning.core.choices import choices
from tracker.planning.core.explain import explain
from tracker.planning.core.odds import odds
from tracker.planning.core.plan import Plan, read_plan, write_plan
from tracker.planning.core.problem_json import read_problem
from tracker.planning.core.problem_write import write_problem
from tracker.planning.core.remedies import remedies
from tracker.planning.core.solve import Effort, Progress
from tracker.planning.exact import Disagreement
from tracker.planning.models import PlanningRules, PlanVersion
from tracker.planning.solving import shifted, solve_exactly
from tracker.sites.models import Company

ODDS = ("lot", "phase", "planned", "need_by", "p50", "p80", "p95", "promise", "on_time")
LEVELS = (0, 1, 2, 4)
Say = Callable[[Progress], None]
Stop = Callable[[], bool]


@dataclass(frozen=True)
class Prepared:
    """All that a run reads; `start` is the plan that it begins from."""

    joined: Joined
    start: Plan | None
    level: float
    share: float
    now: datetime


@dataclass(frozen=True)
class Worked:
    joined: Joined
    plan: Plan
    left: tuple[Disagreement, ...]
    why: list[dict[str, Any]]
    odds: list[list[Any]]


def prepare(version: PlanVersion, *, now: datetime) -> Prepared:
    """The problem of now; a draft goes on from itself, a new one from its base."""
    joined = problem_of(now=now)
    old = version if version.plan else version.base
    start = None
    if old is not None and old.plan and not version.premise:
        days = Calendar(old.day0).number_of(joined.calendar.day0)
        start = shifted(read_plan(old.plan), days)
    return Prepared(
        joined=joined,
        start=start,
        level=PlanningRules.get().buffer,
        share=Company.get().promise_percent / 100,
        now=now,
    )


def work_out(prepared: Prepared, effort: Effort, stop: Stop, say: Say) -> Worked:
    """Solve, explain, weigh; touches no database."""
    joined, plan, left = solve_exactly(
        prepared.joined,
        effort,
        now=prepared.now,
        start=prepared.start,
        level=prepared.level,
        stop=stop,
        progress=say,
    )
    return Worked(
        joined, plan, tuple(left), reasons(joined, plan), weigh(joined, plan, prepared)
    )


def reasons(joined: Joined, plan: Plan) -> list[dict[str, Any]]:
    """Each late job with its sentence, the dearest first."""
    return [
        {
            "lot": why.lot,
            "phase": why.phase,
            "late": why.days_late,
            "possible": why.possible,
            "sentence": why.sentence,
            "links": [_said(link.__dict__) for link in why.links],
        }
        for why in explain(joined.problem, plan)
    ]


def _said(link: dict[str, Any]) -> dict[str, Any]:
    """A link without the fields that say nothing."""
    return {key: value for key, value in link.items() if value not in ("", -1, (), 0)}


def weigh(joined: Joined, plan: Plan, prepared: Prepared) -> list[list[Any]]:
    found = odds(
        joined.problem, plan, season=joined.season, promise_share=prepared.share
    )
    return [
        [
            o.lot,
            o.phase,
            o.planned,
            o.need_by,
            o.p50,
            o.p80,
            o.p95,
            o.promise,
            o.on_time,
        ]
        for o in found
    ]


@transaction.atomic
def keep_plan(version: PlanVersion, worked: Worked, *, who: str, now: datetime) -> None:
    """Put the result into its draft, unless somebody published or left it meanwhile."""
    version = PlanVersion.objects.select_for_update().get(pk=version.pk)
    if version.status != PlanVersion.DRAFT:
        raise Refused("plan_no_draft")
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


def work_out_remedies(problem: Any, plan: Any, effort: Effort, stop: Stop) -> Any:
    """Remedies of a draft as JSON, each really solved; the most effective first."""
    found = remedies(read_problem(problem), read_plan(plan), effort, stop=stop)
    return [
        {
            "kind": one.kind,
            "text": one.text,
            "saves": one.saves,
            "late": one.late_days_saved,
            "moves": one.moves_saved,
        }
        for one in found
    ]


def work_out_levels(
    problem: Any, plan: Any, season: Any, effort: Effort
) -> list[dict[str, Any]]:
    """What each buffer wins and costs: odds, drives, late days, from one effort."""
    found = choices(
        read_problem(problem),
        effort,
        levels=LEVELS,
        start=read_plan(plan),
        season=read_season(season),
    )
    return [
        {
            "level": one.level,
            "on_time": round(100 * one.on_time),
            "safe": round(100 * one.safe),
            "moves": one.plan.score.moves,
            "late": one.plan.score.weighted_late_days,
            "changes": one.plan.score.day_changes + one.plan.score.crew_changes,
        }
        for one in found
    ]


def smaller(effort: Effort, share: float) -> Effort:
    """The same effort, less of it."""
    return replace(
        effort,
        seconds=None if effort.seconds is None else effort.seconds * share,
        iterations=None
        if effort.iterations is None
        else max(1, int(effort.iterations * share)),
    )
