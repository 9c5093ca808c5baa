"""What is to be called in: each kind of each lot, with its dates and what it lacks."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from inspections.dates import TooFarAhead
from inspections.models import InspectionRequest, InspectionResult, PipeTest
from inspections.offices import AskByPhone, visits_left
from inspections.rules import (
    Reason,
    may_ride,
    must_ride,
    stands,
    tests_of,
    turned_away,
    undone,
    unproven,
)
from inspections.standing import DONE, UNDER_WAY, LotStanding
from inspections.timing import (
    Booked,
    Deadline,
    First,
    cut_off,
    deadline,
    first_day,
)
from phases.models import LotPhase
from phases.state.view import NO_PASS
from tracker.people.models import Member
from tracker.sites.models import InspectionKind

DAY = timedelta(days=1)


@dataclass(frozen=True)
class Call:
    """One kind of inspection that a lot still needs.

    `first` is the day that a call now would get, `call_by` the last minute for it;
    `deadline` is the last call that still meets the cover date. `missing` empty and
    `request` None: it can be called in.
    """

    standing: LotStanding
    kind: InspectionKind
    phases: list[LotPhase]
    missing: list[Reason]
    first: First | TooFarAhead | AskByPhone | None
    call_by: datetime | None
    deadline: Deadline | AskByPhone | None
    cover: date | None
    tests: dict[str, PipeTest | None]
    rides: list[str]
    must_ride: list[str]
    request: InspectionRequest | None
    last: InspectionResult | None
    now: datetime

    @property
    def ready(self) -> bool:
        return not self.missing and self.request is None

    @property
    def again(self) -> bool:
        """The inspector has been there and has to come again."""
        return self.last is not None and self.last.result in (*NO_PASS, "partly_passed")

    @property
    def passed_systems(self) -> list[str]:
        """Systems that passed in a partial and need not be seen again."""
        return [word for word in self.kind.on_test if word not in self.tests]

    @property
    def again_rule(self) -> list[Reason]:
        """What the office's own rule says of coming again: the fee, the visits left."""
        if not self.again or self.last is None or self.standing.office is None:
            return []
        said: list[Reason] = []
        fees = [fee for fee in self.standing.fees if fee.result_id == self.last.pk]
        for fee in fees:
            amount = f"{fee.amount:.2f}" if fee.amount is not None else "?"
            code = "fee_paid" if fee.paid_on else "fee_of_visit"
            first = {"code": "fee_first"} if fee.pay_first and not fee.paid_on else ""
            said.append(
                {
                    "code": code,
                    "amount": amount,
                    "pays": payer(fee.pays),
                    "first": first,
                }
            )
        record = self.standing.office.record
        made = self.standing.visits_made(self.kind.code)
        left = visits_left(record, made=made)
        if left is not None and record.visit_limit is not None:
            penalty = record.visit_limit.penalty
            said.append({"code": "visits_left", "count": left, "penalty": penalty})
        return said

    @property
    def phase(self) -> LotPhase:
        """The phase it is spoken of: the one that covers first, else the last."""
        dated = [p for p in self.phases if p.cover_date == self.cover and self.cover]
        return (dated or self.phases)[-1]

    @property
    def systems(self) -> list[dict[str, Any]]:
        """Systems that must be up, and how each stands: recorded, or said by a lead."""
        said = any(phase.on_test for phase in self.phases)
        return [
            {"system": word, "up": stands(test) if test is not None else said}
            for word, test in self.tests.items()
        ]

    @property
    def by_phone(self) -> AskByPhone | None:
        return self.first if isinstance(self.first, AskByPhone) else None

    @property
    def inspect_on(self) -> date | None:
        return self.first.inspect_on if isinstance(self.first, First) else None

    @property
    def cover_too_early(self) -> bool:
        """The first inspection that can be had comes on the cover date or later."""
        on = self.request.for_date if self.request else self.inspect_on
        return self.cover is not None and on is not None and on >= self.cover


def payer(code: str) -> Reason | str:
    """Who pays a fee, as a reason; another trade's own name stays as it is."""
    known = ("us", "builder", "another trade")
    return {"code": f"pays_{code.replace(' ', '_')}"} if code in known else code


def calls_of(
    standing: LotStanding, *, now: datetime, member: Member | None = None
) -> Iterator[Call]:
    """Each kind that still has to pass and whose phases are under way or dated."""
    away = turned_away(standing, member)
    # What is asked for is looked after to its end, passed, covered or not needed.
    asked = {code: request.kind for code, request in standing.asked.items()}
    kinds = {**standing.to_pass, **asked}
    blocked = {code: _missing(standing, kind, away) for code, kind in kinds.items()}
    for code, kind in kinds.items():
        proved = standing.proved_by(kind)
        phases = [phase for phase in proved if phase.passed_on is None]
        if code in asked:
            phases = phases or proved
        elif not _is_open(phases):
            continue
        missing = list(blocked[code])
        partners = [c for c in must_ride(standing, kind) if c not in standing.asked]
        waiting = [c for c in partners if blocked.get(c)]
        if waiting:
            missing.append({"code": "ride_waits", "kinds": waiting})
        if phases:
            yield _call(standing, kind, phases, missing, partners, now)


def _is_open(phases: list[LotPhase]) -> bool:
    """None of them is covered, and one is under way or has a cover date."""
    begun = any(phase.work in UNDER_WAY or phase.cover_date for phase in phases)
    return begun and not any(phase.covered_on for phase in phases)


def _missing(
    standing: LotStanding, kind: InspectionKind, away: list[Reason]
) -> list[Reason]:
    missing = [*undone(standing, kind), *unproven(standing, kind), *away]
    first = standing.after.get(kind.code, ())
    if first:
        missing.append({"code": "kinds_first", "kinds": list(first)})
    return missing


def _call(
    standing: LotStanding,
    kind: InspectionKind,
    phases: list[LotPhase],
    missing: list[Reason],
    partners: list[str],
    now: datetime,
) -> Call:
    cover = min((p.cover_date for p in phases if p.cover_date), default=None)
    dates = _dates(standing, kind, phases, cover, now)
    if isinstance(dates["first"], TooFarAhead):
        opens = dates["first"].first_request_on
        missing.append({"code": "too_far_ahead", "date": opens.isoformat()})
    return Call(
        standing=standing,
        kind=kind,
        phases=phases,
        missing=missing,
        cover=cover,
        tests=tests_of(standing, kind),
        rides=may_ride(standing, kind),
        must_ride=partners,
        request=standing.asked.get(kind.code),
        last=standing.latest.get(kind.code),
        now=now,
        **dates,
    )


def _dates(
    standing: LotStanding,
    kind: InspectionKind,
    phases: list[LotPhase],
    cover: date | None,
    now: datetime,
) -> dict[str, Any]:
    if standing.office is None:
        return {"first": None, "call_by": None, "deadline": None}
    office, code, booked = standing.office.record, kind.code, standing.booked
    first = _first(standing, code, phases, now, booked)
    by = None
    if isinstance(first, First):
        by = cut_off(office, code, inspect_on=first.inspect_on, booked=booked)
    last = None
    if cover is not None:
        covers = {**standing.covers, code: cover}
        last = deadline(
            office, code, covers=covers, after=standing.after, booked=booked
        )
    return {"first": first, "call_by": by, "deadline": last}


def _first(
    standing: LotStanding,
    code: str,
    phases: list[LotPhase],
    now: datetime,
    booked: Booked,
) -> First | TooFarAhead | AskByPhone:
    assert standing.office is not None
    return first_day(
        standing.office.record,
        code,
        now=now,
        ready_on=ready_on(phases, standing.today),
        after=standing.after,
        booked=booked,
    )


def first_together(calls: list[Call]) -> date | None:
    """The first day on which all of these calls of one lot can be had.

    Where the office gives us so many a day, they take as many places of it.
    """
    days = []
    for call in calls:
        first, standing = call.first, call.standing
        if not isinstance(first, First) or standing.office is None:
            return None
        if standing.office.record.date_rules(call.kind.code).rules.cap_per_day:
            more = len(calls) - 1
            booked = {day: count + more for day, count in standing.booked.items()}
            first = _first(standing, call.kind.code, call.phases, call.now, booked)
        if not isinstance(first, First):
            return None
        days.append(first.inspect_on)
    return max(days, default=None)


def ready_on(phases: list[LotPhase], today: date) -> date | None:
    """The first day on which an inspector may come; None: any day from now.

    Work that is planned is ready on the day after its last planned day.
    """
    waiting = [phase for phase in phases if phase.work not in DONE]
    if not waiting:
        return None
    ends = [phase.planned_end or today for phase in waiting]
    return max(max(ends), today) + DAY
