"""What may be asked of a plan: what if one thing were otherwise?"""

import json
from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from tracker.desk.ahead.reasons import plain_sayer
from tracker.planning.adapter.calendar import Calendar
from tracker.planning.adapter.keys import Keys
from tracker.planning.core.problem import QUARTERS, Problem
from tracker.planning.core.problem_json import read_problem
from tracker.planning.models import PlanVersion
from tracker.planning.supposing import dated

WEEK = 5


def questions(version: PlanVersion, language: str) -> dict[str, str]:
    """Each change that could be supposed, as JSON, and its words."""
    calendar, sayer = Calendar(version.day0), plain_sayer(version, language)
    fixed = Keys.read(version.keys).begun
    found = {}
    for kind, code, params in _changes(read_problem(version.problem)):
        if code == "no_pin" and (params["lot"], params["phase"]) in fixed:
            continue
        what = dated({"kind": kind, "code": code, "params": params}, calendar)
        found[json.dumps(what, sort_keys=True)] = sayer.remedy(what)
    return found


def _changes(problem: Problem) -> Iterator[tuple[str, str, dict[str, Any]]]:
    open_jobs = [job for job in problem.jobs if job.is_open]
    for phase in dict.fromkeys(job.phase.phase for job in open_jobs):
        yield "crew", "one_more_crew", {"phase": phase}
    for office in problem.jurisdictions:
        yield "inspection", "one_more_slot", {"office": office.id}
        if len(office.weekdays) < WEEK:
            yield "inspection", "every_weekday", {"office": office.id}
    for pin in problem.pins:
        yield "pin", "no_pin", asdict(pin)
    for lot in dict.fromkeys(job.lot.id for job in open_jobs):
        yield "builder", "builder_sooner", {"lot": lot}
    for job in open_jobs:
        if job.phase.crew_quarters > QUARTERS:
            yield "overtime", "overtime_day", {"lot": job.lot.id, "phase": job.name[1]}
