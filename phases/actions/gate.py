"""Overrides of the cover gate and of what blocks calling in; kept for ever."""

from datetime import datetime

from phases import rules
from phases.log import Who, writing
from phases.models import Fact, LotPhase
from tracker.errors import Refused


def override_gate(
    phase: LotPhase, *, gate: str, reason: str, who: Who, now: datetime
) -> Fact:
    """`gate` is cover (owner alone) or call_in (lead or owner), with a reason."""
    if gate == "cover":
        rules.check(rules.why_not_owner(who.member))
    elif gate == "call_in":
        member = who.member
        if member is None or not (member.is_lead or member.is_owner):
            raise Refused("not_yours")
    else:
        raise Refused("unknown_kind", value=gate)
    if not reason.strip():
        raise Refused("reason_needed")
    with writing(now=now) as log:
        return log.append(
            "gate_overridden",
            lot=phase.lot,
            phase=phase,
            who=who,
            gate=gate,
            reason=reason,
            missing=phase.gate_missing if gate == "cover" else phase.call_in_missing,
        )
