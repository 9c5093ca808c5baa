"""Readiness, the plan's word to a phase, and the work itself."""

from datetime import date, datetime

from phases import rules
from phases.log import Who, writing
from phases.models import Fact, LotPhase, PhaseHelper, ReadyPart
from tracker.errors import Refused
from tracker.people.models import Crew


def say_part(
    phase: LotPhase, part: str, *, ready: bool, who: Who, now: datetime, note: str = ""
) -> Fact:
    """Somebody says that one part of readiness is there, or that it is not."""
    if not ReadyPart.objects.filter(kind=phase.kind_id, code=part).exists():
        raise Refused("no_such", what=part)
    if who.superintendent is None:
        rules.check(rules.why_not_lead(who.member))
    with writing(now=now) as log:
        return log.append(
            "part_said",
            lot=phase.lot,
            phase=phase,
            who=who,
            part=part,
            ready=ready,
            note=note,
        )


def plan_phase(
    phase: LotPhase,
    *,
    crew: Crew,
    start: date,
    end: date,
    who: Who,
    now: datetime,
    half: int = 0,
    plan: str = "",
) -> Fact:
    """The published plan sends this crew on this half-day (0 morning, 1 afternoon)."""
    rules.check(rules.why_not_office(who.member))
    if end < start:
        raise Refused("bad_value", field="end", value=end)
    with writing(now=now) as log:
        if phase.crew_id not in (None, crew.pk):
            # Who was sent before keeps sight of what he entered.
            PhaseHelper.objects.get_or_create(
                lot_phase=phase, crew_id=phase.crew_id, on=None
            )
        return log.append(
            "planned",
            lot=phase.lot,
            phase=phase,
            who=who,
            crew=crew.pk,
            start=start.isoformat(),
            end=end.isoformat(),
            half=half,
            plan=plan,
        )


def unplan_phase(phase: LotPhase, *, who: Who, now: datetime, reason: str = "") -> Fact:
    rules.check(rules.why_not_office(who.member))
    return _append("unplanned", phase, who=who, now=now, reason=reason)


def lend_helper(
    phase: LotPhase, *, crew: Crew, on: date, who: Who, now: datetime
) -> Fact:
    """A second crew comes to help for a day; it sees the lot like the first."""
    rules.check(rules.why_not_office(who.member))
    if crew.pk == phase.crew_id:
        raise Refused("helper_is_own")
    if phase.work in ("done", "proven") or phase.passed_on:
        raise Refused("helper_too_late")
    with writing(now=now) as log:
        _, is_new = PhaseHelper.objects.get_or_create(lot_phase=phase, crew=crew, on=on)
        if not is_new:
            raise Refused("helper_is_lent")
        return log.append(
            "helper_lent",
            lot=phase.lot,
            phase=phase,
            who=who,
            crew=crew.pk,
            on=on.isoformat(),
        )


def start_work(phase: LotPhase, *, who: Who, now: datetime) -> Fact:
    rules.check(rules.why_not_work(who.member))
    return _append("started", phase, who=who, now=now)


def work_done(phase: LotPhase, *, who: Who, now: datetime) -> Fact:
    """The lead says that the work of the phase is done."""
    rules.check(rules.why_not_lead(who.member))
    return _append("work_done", phase, who=who, now=now)


def reopen_work(phase: LotPhase, *, who: Who, now: datetime, reason: str) -> Fact:
    rules.check(rules.why_not_lead(who.member))
    if not reason.strip():
        raise Refused("reason_needed")
    return _append("reopened", phase, who=who, now=now, reason=reason)


def break_off(
    phase: LotPhase, *, who: Who, now: datetime, quarters_left: int, reason: str = ""
) -> Fact:
    """Half-done work is carried over; `quarters_left` quarter days remain."""
    rules.check(rules.why_not_lead(who.member))
    if quarters_left < 0:
        raise Refused("bad_value", field="quarters_left", value=quarters_left)
    return _append(
        "broken_off",
        phase,
        who=who,
        now=now,
        quarters_left=quarters_left,
        reason=reason,
    )


def put_on_test(phase: LotPhase, *, who: Who, now: datetime, system: str = "") -> Fact:
    rules.check(rules.why_not_lead(who.member))
    return _append("on_test", phase, who=who, now=now, system=system)


def take_off_test(
    phase: LotPhase, *, who: Who, now: datetime, reason: str = ""
) -> Fact:
    rules.check(rules.why_not_lead(who.member))
    return _append("off_test", phase, who=who, now=now, reason=reason)


def _append(
    kind: str, phase: LotPhase, *, who: Who, now: datetime, **payload: object
) -> Fact:
    with writing(now=now) as log:
        return log.append(kind, lot=phase.lot, phase=phase, who=who, **payload)
