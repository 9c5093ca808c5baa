"""Lots and offices as the tests of inspections need them."""

from datetime import datetime
from zoneinfo import ZoneInfo

from phases.actions.dates import say_date
from phases.actions.work import plan_phase, work_done
from phases.log import Who
from tests.factories import (
    NOW,
    make_jurisdiction,
    make_lot,
    make_plan,
    make_subdivision,
    phase_of,
    prove_phase,
)
from tracker.sites.models import InspectionKind

CENTRAL = ZoneInfo("America/Chicago")
NEXT_DAY = {
    "timezone": "America/Chicago",
    "cutoff": "15:00",
    "lead": {"unit": "inspection_days", "amount": 1},
}


def at(text):
    """A moment by the lot's own clock: "2026-03-02T09:00"."""
    return datetime.fromisoformat(text).replace(tzinfo=CENTRAL)


def office_lot(who, kinds=("ground", "rough", "topout", "final"), **office):
    """A lot with a plan under an office with these rules and record."""
    jurisdiction = make_jurisdiction(kinds=kinds, **office)
    plan = make_plan()
    street = make_subdivision(builder=plan.builder, jurisdiction=jurisdiction)
    return make_lot(subdivision=street, plan=plan, by=who.member, permit_number="P-7")


def change_kind(lot, code, **fields):
    kind = InspectionKind.objects.get(
        jurisdiction=lot.subdivision.jurisdiction, code=code
    )
    for name, value in fields.items():
        setattr(kind, name, value)
    kind.save()
    return kind


def finish(lot, who, code="topout", now=NOW):
    """All items of a phase proven and its work said done."""
    phase = phase_of(lot, code)
    prove_phase(phase, who=who, now=now)
    work_done(phase, who=who, now=now)
    return phase_of(lot, code)


def cover_on(lot, day, who, code="topout", now=NOW, status="predicted"):
    say_date(
        lot,
        phase=phase_of(lot, code),
        what="cover",
        date=day,
        status=status,
        who=who,
        now=now,
    )


def plan_for(lot, crew, start, end, who, code="topout", now=NOW):
    plan_phase(phase_of(lot, code), crew=crew, start=start, end=end, who=who, now=now)


def office_who(member):
    return Who(member=member)
