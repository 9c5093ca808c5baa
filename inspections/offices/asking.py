"""Dealing with an office: dates, fees, permits, and what it turns away."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from inspections.dates import (
    CallInBy,
    Earliest,
    Lead,
    NotHeld,
    Rules,
    TooFarAhead,
    earliest,
    is_open,
    latest_request,
)
from inspections.dates.answers import in_utc, local_time
from inspections.offices.records import DateRules, Fee, OfficeRecord, Promise
from inspections.pipe_tests.verdicts import Reason, because, named

# How each rule is called when the office is asked for it.
NAMES: Mapping[str, str] = {
    "lead": "how soon it comes",
    "cutoff": "its cut-off",
    "inspection_weekdays": "its inspection days",
    "request_weekdays": "the days on which it takes requests",
    "hours": "its hours",
}


@dataclass(frozen=True, slots=True)
class AskByPhone:
    """The office does not publish what a date needs; no date is guessed."""

    unknown: tuple[str, ...]

    @property
    def sentence(self) -> str:
        names = " and ".join(NAMES.get(key, key) for key in self.unknown)
        return f"Ask the office by phone: it does not publish {names}."


@dataclass(frozen=True, slots=True)
class Within:
    """A latest date only. Asked on `ask_on`, the lot is ready and on test from
    `ready_from`, the first day on which the inspector may stand there.
    """

    ask_on: date
    ready_from: date
    latest_on: date


def unknown_for_a_date(given: DateRules) -> tuple[str, ...]:
    """Keys without which these rules give no date."""
    rules, within = given.rules, given.within
    in_hours = (within.unit == "hours") if within else rules.lead.in_hours
    needed = {"lead", "inspection_weekdays", "request_weekdays"}
    if within and in_hours:
        needed = set()  # hours run on any clock; closed days only bring it forward
    elif in_hours and not rules.windows:
        needed.add("hours")
    elif within is None and not in_hours:
        needed.add("cutoff")
    return tuple(key for key in NAMES if key in needed & given.unknown)


def when(
    office: OfficeRecord,
    *,
    kind: str = "",
    requested_at: datetime,
    booked: Mapping[date, int] | None = None,
    not_before: date | None = None,
) -> Earliest | TooFarAhead | Within | AskByPhone:
    """The day that a request gets, or what else can honestly be said of it."""
    given = office.date_rules(kind)
    missing = unknown_for_a_date(given)
    if missing:
        return AskByPhone(missing)
    if given.within is not None:
        return _within(given, given.within, requested_at, not_before)
    return earliest(
        given.rules,
        requested_at=requested_at,
        booked=booked or {},
        not_before=not_before,
    )


def by_when(
    office: OfficeRecord,
    *,
    kind: str = "",
    inspect_on: date,
    booked: Mapping[date, int] | None = None,
) -> CallInBy | NotHeld | AskByPhone:
    """The last minute to call in for `inspect_on`; under a promise, the last one that
    keeps its latest date there.
    """
    given = office.date_rules(kind)
    missing = unknown_for_a_date(given)
    if missing:
        return AskByPhone(missing)
    rules = given.rules
    if given.within is not None:
        rules = replace(rules, lead=Lead(given.within.unit, given.within.amount))
    return latest_request(rules, inspect_on=inspect_on, booked=booked or {})


def _within(
    given: DateRules, within: Promise, requested_at: datetime, not_before: date | None
) -> Within:
    """Asked at once, or on the first later day on which nobody comes too early."""
    asked_at = local_time(given.rules, requested_at)
    while True:
        span = _promised(given, within, asked_at)
        if not_before is None or span.ready_from >= not_before:
            return span
        tomorrow = asked_at.date() + timedelta(days=1)
        asked_at = datetime.combine(tomorrow, datetime.min.time())


def _promised(given: DateRules, within: Promise, asked_at: datetime) -> Within:
    rules, asked_on = given.rules, asked_at.date()
    if within.unit == "inspection_days":
        first, latest = (
            _day_after(rules, asked_at, n) for n in (within.first, within.amount)
        )
        return Within(asked_on, first, max(first, latest))
    until = in_utc(rules, asked_at) + timedelta(hours=within.amount)
    first, latest = asked_on, until.astimezone(rules.zone).date()
    if "inspection_weekdays" not in given.unknown:
        always = replace(rules, request_weekdays=rules.inspection_weekdays, cutoff=None)
        first = _day_after(always, asked_at, 0)
        while latest > first and not is_open(rules, latest):
            latest -= timedelta(days=1)
    return Within(asked_on, first, max(first, latest))


def _day_after(rules: Rules, asked_at: datetime, n: int) -> date:
    """The n-th inspection day after the one on which a request counts."""
    plain = replace(
        rules, lead=Lead("inspection_days", n), cap_per_day=None, book_ahead_days=None
    )
    answer = earliest(plain, requested_at=asked_at)
    assert isinstance(answer, Earliest)
    return answer.inspect_on


def why_not_ask(
    office: OfficeRecord,
    *,
    today: date,
    by: str = "",
    fees_due: bool = False,
    permit_expires_on: date | None = None,
    hold: bool = False,
) -> str | None:
    """Why the office would turn the request away. `by` is what the caller is ("licensed
    plumber"), checked only where the office says who may ask.
    """
    blocks = office.turned_away_when
    pay_first = office.reinspection is not None and office.reinspection.pay_first
    if fees_due and (pay_first or "fees_due" in blocks):
        return "a fee is due: the office takes no request before it is paid"
    expired = permit_expires_on is not None and permit_expires_on < today
    if expired and "permit_expired" in blocks:
        return f"the permit expired on {permit_expires_on}"
    if hold and "hold" in blocks:
        return "the office has a hold on this permit"
    if office.who_may_ask and by not in office.who_may_ask:
        return f"only {' or '.join(sorted(office.who_may_ask))} may ask"
    return None


def why_not_cancel(
    office: OfficeRecord, *, inspect_on: date, now: datetime
) -> str | None:
    """Why an inspection can no longer be cancelled without counting as a visit."""
    if office.cancel_by is None:
        return None
    last = datetime.combine(inspect_on, office.cancel_by)
    if local_time(office.usual.rules, now) < last:
        return None
    return f"cancelling ended on {inspect_on} at {office.cancel_by:%H:%M}"


def permit_expires(
    office: OfficeRecord,
    *,
    issued_on: date,
    inspected: Iterable[tuple[date, bool]] = (),
) -> date | None:
    """The permit's last day, from its issue and (date, passed) of inspections; None
    where the office does not say. An inspection after the last day renews nothing.
    """
    life = office.permit
    if life is None:
        return None
    expires = issued_on + timedelta(days=life.days)
    for on, passed in sorted(inspected):
        renews = life.renewed_by == "inspection" or (
            life.renewed_by == "approved_inspection" and passed
        )
        if renews and on <= expires:
            expires = max(expires, on + timedelta(days=life.days))
    return expires


def reinspection_fee(office: OfficeRecord, *, reason: str, visit: int) -> Fee | None:
    """The fee that the `visit`-th visit brings when it ends for `reason`, if any."""
    rule = office.reinspection
    if rule is None or reason not in rule.reasons or visit < rule.from_visit:
        return None
    return Fee(rule.amount, rule.pay_first)


def visits_left(office: OfficeRecord, *, made: int) -> int | None:
    """Visits for a task before its penalty; None where the office sets no limit."""
    if office.visit_limit is None:
        return None
    return max(0, office.visit_limit.visits - made)


def why_test_refused(
    office: OfficeRecord, *, system: str, medium: str, plastic: bool
) -> Reason | None:
    """Why this office does not accept a test of a system with a medium."""
    for refused in office.tests_refused:
        same = (refused.system, refused.medium) == (system, medium)
        if same and (refused.material == "any" or plastic):
            what = {"system": named(system), "medium": named(medium)}
            if refused.material == "plastic":
                return because("office_plastic", **what)
            return because("office", **what)
    return None


def rides_with(office: OfficeRecord, kind: str) -> frozenset[str]:
    """The other kinds that must be asked for on the same visit."""
    together: set[str] = set()
    for group in office.ride_together:
        if kind in group:
            together |= group
    return frozenset(together - {kind})


def first_to_pass(
    office: OfficeRecord, kind: str, *, passed: Collection[str]
) -> tuple[str, ...]:
    """Kinds that must pass before this one may be asked for, still open."""
    needed = office.must_pass_first.get(kind, ())
    return tuple(first for first in needed if first not in passed)
