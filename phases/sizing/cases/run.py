"""Dispatch of the `size` command; one bad case never stops the others."""

import math
from collections.abc import Callable, Mapping
from typing import Any

from ..tables import Absent
from . import drain, gas, heat, load, vent, water
from .answer import Answer
from .inputs import BadInput, Inputs, shown

CHECKS: dict[str, Callable[[Inputs], Answer]] = {
    **drain.CHECKS,
    **load.CHECKS,
    **vent.CHECKS,
    **water.CHECKS,
    **gas.CHECKS,
    **heat.CHECKS,
}


def _plain(case_id: object) -> object:
    """An id that can be printed: text, a finite number or null; else its words."""
    if case_id is None or isinstance(case_id, str | int):
        return case_id
    if isinstance(case_id, float) and math.isfinite(case_id):
        return case_id
    return shown(case_id)


def _error(case_id: object, key: str, message: str) -> dict[str, Any]:
    return {"id": case_id, "error": {"key": key, "message": message}}


def size(cases: object) -> Any:
    """Answer one case or a list of them, in the same shape and order.

    Never raises for a bad case: that one comes back with `error` (the key at fault and
    a message) or `refused` (the reference does not hold the table).
    """
    if isinstance(cases, list):
        return [size_one(case) for case in cases]
    return size_one(cases)


def size_one(case: object) -> dict[str, Any]:
    """Answer one case: id with result, error or refused."""
    if not isinstance(case, Mapping):
        return _error(None, "case", "A case is an object with id and inputs.")
    case_id = _plain(case.get("id"))
    given = case.get("inputs")
    if not isinstance(given, Mapping):
        return _error(case_id, "inputs", "inputs: give an object.")
    name = case.get("check", given.get("check"))
    if not isinstance(name, str) or name not in CHECKS:
        known = ", ".join(sorted(CHECKS))
        message = f"Check {shown(name)} is not known. Known: {known}."
        return _error(case_id, "check", message)
    inputs = Inputs({key: value for key, value in given.items() if key != "check"})
    try:
        answer = CHECKS[name](inputs)
        inputs.refuse_other_units()
    except BadInput as error:
        return _error(case_id, error.key, str(error))
    except ArithmeticError:
        return _error(case_id, "inputs", "inputs: the figures cannot be worked out.")
    except Absent as error:
        return {"id": case_id, "refused": str(error)}
    found = {"id": case_id, **answer.as_json()}
    if ignored := inputs.leftover():
        found["ignored"] = ignored
    return found
