"""When an inspection may be called in. A reason to refuse, or None for yes."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from inspections.models import PipeTest
from inspections.offices import rides_with, why_not_ask
from inspections.pipe_tests.verdicts import FAIL
from inspections.standing import DONE, LotStanding
from phases.models import LotPhase
from tracker.errors import Refused
from tracker.people.models import Member
from tracker.sites.models import InspectionKind, Lot

Reason = dict[str, Any]

# What a kind of inspection calls a system, and what a test record calls it.
SYSTEMS = {
    "drain": "dwv",
    "sewer": "building_sewer",
    "pan": "shower_pan",
    "water": "water_supply",
    "gas": "gas",
}


def system_named(word: str) -> Reason | str:
    """A system as a reason, so that it is said in the reader's language."""
    return {"code": f"system_{word}"} if word in SYSTEMS else word


def phases_proved(lot: Lot, kind: InspectionKind) -> list[LotPhase]:
    """The lot's phases that this kind of inspection proves."""
    return list(
        lot.phases.filter(kind__code__in=kind.proves).select_related(
            "kind", "crew", "lot__subdivision"
        )
    )


def titles_of(member: Member | None) -> tuple[str, ...]:
    """What a caller is, in the words by which an office may limit who asks."""
    if member is None:
        return ("contractor",)
    licensed = ("licensed plumber", "license holder") if member.license_number else ()
    return (*licensed, "contractor", member.role)


def tests_of(standing: LotStanding, kind: InspectionKind) -> dict[str, PipeTest | None]:
    """The latest test of each system that must be on test, or None for none yet.

    What passed in a partial need not stand again.
    """
    seen = standing.passed_parts(kind.code)
    phases = {phase.pk for phase in standing.proved_by(kind)}
    latest: dict[str, PipeTest | None] = {}
    for word in kind.on_test:
        if f"system:{word}" in seen:
            continue
        system = SYSTEMS.get(word, word)
        rows = [
            test
            for test in standing.tests
            if test.lot_phase_id in phases and test.system == system
        ]
        latest[word] = rows[-1] if rows else None
    return latest


def unproven(standing: LotStanding, kind: InspectionKind) -> list[Reason]:
    """What our own proofs lack before this kind may be called in."""
    missing: list[Reason] = []
    for phase in standing.proved_by(kind):
        if phase.passed_on is not None:
            continue
        missing += [reason for reason in phase.call_in_missing if reason not in missing]
    stands = _said_on_test(standing, kind)
    for word, test in tests_of(standing, kind).items():
        if test is None:
            continue
        if not test.is_up and not stands:
            missing.append(
                {
                    "code": "test_down",
                    "system": system_named(word),
                    "by": test.down_by,
                }
            )
        elif test.is_up and test.outcome == FAIL:
            missing.append({"code": "test_failed", "system": system_named(word)})
        elif test.test_again:
            missing.append(
                {
                    "code": "test_again",
                    "system": system_named(word),
                    "why": {"code": test.test_again},
                }
            )
    return missing


def stands(test: PipeTest) -> bool:
    """It is up, holds, and meets the code as far as it was read."""
    return test.is_up and not test.test_again and test.outcome != FAIL


def _said_on_test(standing: LotStanding, kind: InspectionKind) -> bool:
    """A lead said on test, and no record of another system is what he spoke of."""
    phases = {phase.pk: phase for phase in standing.proved_by(kind)}
    recorded = any(t.is_up for t in standing.tests if t.lot_phase_id in phases)
    return not recorded and any(phase.on_test for phase in phases.values())


def undone(standing: LotStanding, kind: InspectionKind) -> list[Reason]:
    """Phases of this kind whose work nobody has said done."""
    return [
        {"code": "work_not_done", "phase": phase.kind.code}
        for phase in standing.proved_by(kind)
        if phase.work not in DONE and phase.passed_on is None
    ]


def turned_away(standing: LotStanding, member: Member | None) -> list[Reason]:
    """Why the office would take no call for this lot, each reason by itself."""
    if standing.office is None:
        return []
    office, today = standing.office.record, standing.today
    anybody = next(iter(office.who_may_ask), "")
    reasons: list[Reason] = []
    if standing.fees_due and why_not_ask(
        office, today=today, by=anybody, fees_due=True
    ):
        reasons.append({"code": "office_fee_due", "count": len(standing.fees_due)})
    ends = standing.permit_ends
    if why_not_ask(office, today=today, by=anybody, permit_expires_on=ends):
        reasons.append({"code": "office_permit_expired", "date": _said(ends)})
    if standing.office_hold and why_not_ask(office, today=today, by=anybody, hold=True):
        reasons.append({"code": "office_hold"})
    may = any(
        not why_not_ask(office, today=today, by=title) for title in titles_of(member)
    )
    if member is not None and not may:
        reasons.append({"code": "office_who", "who": sorted(office.who_may_ask)})
    return reasons


def _said(day: date | None) -> str:
    return day.isoformat() if day else ""


def must_ride(standing: LotStanding, kind: InspectionKind) -> list[str]:
    """Other kinds still to pass that the office sees on the same visit only."""
    if standing.office is None:
        return []
    together = rides_with(standing.office.record, kind.code)
    return [code for code in standing.to_pass if code in together]


def may_ride(standing: LotStanding, kind: InspectionKind) -> list[str]:
    """Other kinds still to pass that may share the visit."""
    sharing = {*kind.rides_with, *must_ride(standing, kind)}
    return [
        code
        for code, other in standing.to_pass.items()
        if code != kind.code and (code in sharing or kind.code in other.rides_with)
    ]


def why_not_call_in(
    standing: LotStanding,
    kind: InspectionKind,
    *,
    member: Member | None,
    together: Iterable[str] = (),
) -> Refused | None:
    """`together` are the codes of all kinds asked for in the same call."""
    phases = standing.proved_by(kind)
    if not phases:
        return Refused("no_such", what=f"phase for {kind.name_en}")
    missing = unproven(standing, kind)
    if missing:
        return Refused("call_in_blocked", missing=missing)
    first = [
        code
        for code in kind.after
        if code not in standing.passed and code in standing.kinds
    ]
    if first:
        return Refused("kinds_first", kinds=first)
    asked = standing.asked.get(kind.code)
    if asked is not None:
        return Refused("already_called", date=asked.for_date.isoformat())
    away = turned_away(standing, member)
    if away:
        return Refused("call_in_blocked", missing=away)
    alone = [
        code
        for code in must_ride(standing, kind)
        if code not in together and code not in standing.asked
    ]
    if alone:
        return Refused("must_ride", kinds=alone)
    return None
