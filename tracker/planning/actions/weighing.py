"""Reasons and promises of a plan as it is stored, such as one moved by hand."""

from typing import Any

from tracker.planning.adapter.history import read_season
from tracker.planning.adapter.keys import Keys
from tracker.planning.core.problem_json import read_problem
from tracker.planning.models import PlanVersion
from tracker.planning.queries import plan_of
from tracker.sites.models import Company

from .results import reasons, weigh


def reasons_of(version: PlanVersion) -> list[dict[str, Any]]:
    """Why its jobs are late or otherwise than told; quick enough for a page."""
    past = Keys.read(version.keys).past
    return reasons(read_problem(version.problem), plan_of(version), past)


def odds_of(version: PlanVersion, share: float) -> list[list[Any]]:
    """Its promises, by seconds of work; touches no database."""
    problem, season = read_problem(version.problem), read_season(version.season)
    return weigh(problem, plan_of(version), season, share)


def share_offered() -> float:
    """How sure a date must be to be offered to a builder."""
    return Company.get().promise_percent / 100
