"""What-ifs: a change that is not so, kept with its draft and put into its problem.

A change is JSON: {"kind", "code", "params"} of `core.what_if`, where a day is a date.
"""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from tracker.errors import Refused

from .adapter import Joined
from .adapter.calendar import Calendar
from .core.errors import BadProblem
from .core.what_if import changed

What = Mapping[str, Any]


def dated(facts: dict[str, Any], calendar: Calendar) -> dict[str, Any]:
    """The facts of a remedy with a date for the number of its day."""
    params = dict(facts["params"])
    if "day" in params:
        params["day"] = calendar.date_of(params["day"]).isoformat()
    return {**facts, "params": params}


def supposed(joined: Joined, what: What) -> Joined:
    """The problem as it would be. Raises Refused where the change is out of date."""
    params = dict(what["params"])
    try:
        if "day" in params:
            day = date.fromisoformat(params["day"])
            params["day"] = joined.calendar.number_of(day)
        problem = changed(joined.problem, what["code"], params)
    except (BadProblem, ValueError, TypeError):
        raise Refused("what_if_gone") from None
    return replace(joined, problem=problem)
