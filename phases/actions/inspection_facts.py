"""What the inspections package appends to a lot phase: called in, cancelled, result.

One request may prove several phases; each of them gets its fact.
"""

from collections.abc import Iterable
from datetime import date

from phases.log import Log, Who
from phases.models import LotPhase

RESULTS = (
    "passed",
    "partly_passed",
    "failed",
    "not_ready",
    "no_access",
    "not_on_test",
    "cancelled",
)


def append_called_in(
    log: Log,
    phases: Iterable[LotPhase],
    *,
    inspection: str,
    for_date: date,
    who: Who,
    request: str,
) -> None:
    for phase in phases:
        log.append(
            "called_in",
            lot=phase.lot,
            phase=phase,
            who=who,
            inspection=inspection,
            for_date=for_date.isoformat(),
            request=request,
        )
        who = _without_op(who)


def append_call_cancelled(
    log: Log, phases: Iterable[LotPhase], *, inspection: str, who: Who, request: str
) -> None:
    for phase in phases:
        log.append(
            "call_cancelled",
            lot=phase.lot,
            phase=phase,
            who=who,
            inspection=inspection,
            request=request,
        )
        who = _without_op(who)


def append_result(
    log: Log,
    phases: Iterable[LotPhase],
    *,
    inspection: str,
    result: str,
    on: date,
    who: Who,
    **payload: object,
) -> None:
    """An inspector's result, recorded whatever our own proofs say."""
    for phase in phases:
        log.append(
            "result",
            lot=phase.lot,
            phase=phase,
            who=who,
            inspection=inspection,
            result=result,
            on=on.isoformat(),
            **payload,
        )
        who = _without_op(who)


def _without_op(who: Who) -> Who:
    # An op id marks one fact only; the further ones of the same act carry none.
    return Who(
        member=who.member,
        superintendent=who.superintendent,
        device=who.device,
        device_seq=who.device_seq,
        happened_at=who.happened_at,
    )
