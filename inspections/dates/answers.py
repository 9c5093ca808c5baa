"""Which day a request gets, and by when to ask for a day."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from inspections.dates.malformed import Malformed
from inspections.dates.rules import Booked, Rules, Window, why_not_held
from inspections.dates.walk import (
    DAY,
    SHUT_FOR_EVER,
    days,
    last_request_day,
    next_request_day,
    nth_inspection_day,
)

TOO_FAR = "too far ahead"
LAST_MINUTE = time(23, 59)
NOTHING_BOOKED: Mapping[date, int] = {}


@dataclass(frozen=True, slots=True)
class Earliest:
    """The day a request gets; `counted_on` is None under a lead in hours."""

    counted_on: date | None
    inspect_on: date
    window: Window | None
    skipped: tuple[tuple[date, str], ...] = ()

    def as_json(self) -> dict[str, Any]:
        return {
            "counted_on": self.counted_on and self.counted_on.isoformat(),
            "inspect_on": self.inspect_on.isoformat(),
            "window": self.window and self.window.as_json(),
            "skipped": [[day.isoformat(), reason] for day, reason in self.skipped],
        }


@dataclass(frozen=True, slots=True)
class TooFarAhead:
    """The office does not book that far ahead; ask again on `first_request_on`."""

    first_request_on: date
    reason: str = TOO_FAR

    def as_json(self) -> dict[str, Any]:
        return {
            "refused": self.reason,
            "first_request_on": self.first_request_on.isoformat(),
        }


@dataclass(frozen=True, slots=True)
class CallInBy:
    """The last local minute at which a request still gets the day."""

    at: datetime

    def as_json(self) -> dict[str, Any]:
        return {"call_in_by": self.at.isoformat(timespec="minutes")}


@dataclass(frozen=True, slots=True)
class NotHeld:
    """No inspection can be held on that day, and why."""

    reason: str

    def as_json(self) -> dict[str, Any]:
        return {"refused": self.reason}


def local_time(rules: Rules, moment: datetime) -> datetime:
    """The office's wall clock; a naive moment is taken to be just that.

    A local time that comes twice in autumn is the first of the two; one that spring
    leaves out is read by the clock before the change (PEP 495, fold 0).
    """
    if moment.tzinfo is not None:
        moment = moment.astimezone(rules.zone).replace(tzinfo=None)
    return moment


def in_utc(rules: Rules, moment: datetime) -> datetime:
    if moment.tzinfo is None:
        moment = moment.replace(tzinfo=rules.zone)
    return moment.astimezone(UTC)


def earliest(
    rules: Rules,
    *,
    requested_at: datetime,
    booked: Booked = NOTHING_BOOKED,
    not_before: date | None = None,
) -> Earliest | TooFarAhead:
    """The first day (and window) that a request made at `requested_at` can get.

    `requested_at` is local when naive, any moment when aware; `not_before` is a day the
    lot cannot be ready before. A lead in days promises the day: the window named is the
    day's first. Raises `Malformed` when the rules leave no day open at all.
    """
    found = _first_day(rules, requested_at, booked, not_before)
    asked_on = local_time(rules, requested_at).date()
    if not _too_far(rules, asked_on, found.inspect_on):
        return found
    return TooFarAhead(_first_request_on(rules, found.inspect_on, booked))


def _too_far(rules: Rules, asked_on: date, day: date) -> bool:
    ahead = rules.book_ahead_days
    return ahead is not None and (day - asked_on).days > ahead


def _first_request_on(rules: Rules, wanted: date, booked: Booked) -> date:
    """The first day on which a request for `wanted`, or the next after it, is taken.

    `book_ahead_days` before `wanted`; later only where the lead alone is longer than
    that, so that asking on the day named is never refused again.
    """
    ahead = timedelta(days=rules.book_ahead_days or 0)
    asked_on = wanted - ahead
    for _ in range(SHUT_FOR_EVER):
        midnight = datetime.combine(asked_on, time.min)
        got = _first_day(rules, midnight, booked, wanted).inspect_on
        if not _too_far(rules, asked_on, got):
            return asked_on
        asked_on = max(asked_on + DAY, got - ahead)
    raise Malformed("rules.book_ahead_days", "never_taken")


def _first_day(
    rules: Rules, requested_at: datetime, booked: Booked, not_before: date | None
) -> Earliest:
    counted_on, candidate, opens_from = _first_candidate(rules, requested_at)
    start = max(candidate, not_before or candidate)
    skipped = []
    for day in days(rules, start, booked=booked):
        reason = why_not_held(rules, day, booked)
        if reason is not None:
            skipped.append((day, reason))
            continue
        window = _first_window(rules, day, opens_from)
        if window is not None:
            shown = window if rules.windows else None
            return Earliest(counted_on, day, shown, tuple(skipped))
    raise AssertionError("the walk ends only by finding a day or by Malformed")


def _first_candidate(
    rules: Rules, requested_at: datetime
) -> tuple[date | None, date, datetime | None]:
    """The day the request counts, the first day it could get, the hour it may open."""
    if rules.lead.in_hours:
        opens_from = in_utc(rules, requested_at) + timedelta(hours=rules.lead.amount)
        return None, opens_from.astimezone(rules.zone).date(), opens_from
    counted_on = _counted_on(rules, local_time(rules, requested_at))
    if rules.lead.amount == 0:
        return counted_on, nth_inspection_day(rules, counted_on, n=1), None
    after = counted_on + DAY
    return counted_on, nth_inspection_day(rules, after, n=rules.lead.amount), None


def _counted_on(rules: Rules, local: datetime) -> date:
    """After the cut-off a request is one of the next day; shut days pass it on."""
    late = rules.cutoff is not None and local.time() > rules.cutoff
    return next_request_day(rules, local.date() + DAY if late else local.date())


def _first_window(
    rules: Rules, day: date, opens_from: datetime | None
) -> Window | None:
    for window in rules.windows_on(day):
        opens = in_utc(rules, datetime.combine(day, window.opens))
        if opens_from is None or opens >= opens_from:
            return window
    return None


def latest_request(
    rules: Rules, *, inspect_on: date, booked: Booked = NOTHING_BOOKED
) -> CallInBy | NotHeld:
    """By when to ask for `inspect_on`, or why nobody can have it.

    The minute of the cut-off on the last day that still counts (23:59 without one); the
    exact minute, any day of the week, with a lead in hours.
    """
    reason = why_not_held(rules, inspect_on, booked)
    if reason is not None:
        return NotHeld(reason)
    at = _last_minute(rules, inspect_on)
    # A lead longer than the office books ahead: every request is too early or too late.
    if _too_far(rules, at.date(), inspect_on):
        return NotHeld(TOO_FAR)
    return CallInBy(at)


def _last_minute(rules: Rules, inspect_on: date) -> datetime:
    if rules.lead.in_hours:
        opens = datetime.combine(inspect_on, rules.windows_on(inspect_on)[-1].opens)
        at = in_utc(rules, opens) - timedelta(hours=rules.lead.amount)
        return local_time(rules, at).replace(second=0, microsecond=0, fold=0)
    counts_on = inspect_on
    if rules.lead.amount:
        first_of_lead = nth_inspection_day(
            rules, inspect_on, n=rules.lead.amount, step=-DAY
        )
        counts_on = first_of_lead - DAY
    return datetime.combine(
        last_request_day(rules, counts_on), rules.cutoff or LAST_MINUTE
    )
