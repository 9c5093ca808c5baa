"""By when to call in so that a phase passes before it is covered. Pure, no Django.

Dates are the office's local days; moments are aware.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from inspections.dates import CallInBy, Earliest, NotHeld, TooFarAhead
from inspections.dates.answers import LAST_MINUTE
from inspections.dates.walk import last_request_day
from inspections.offices import AskByPhone, OfficeRecord, Within, by_when, when

DAY = timedelta(days=1)
# A result is known by then; a call that waits for it is made on a later day.
RESULT_BY = time(17)
# Beyond this many shut or full days before a cover date the office must be asked.
LOOK_BACK = 60

Booked = Mapping[date, int]
After = Mapping[str, Collection[str]]


@dataclass(frozen=True, slots=True)
class Deadline:
    """The last inspection day that still helps, and the last minute to ask for it."""

    kind: str
    inspect_on: date
    call_in_by: datetime


@dataclass(frozen=True, slots=True)
class First:
    """The first day on which an inspection can be held; `ready_from` is the day from
    which the lot must be ready and on test.
    """

    kind: str
    inspect_on: date
    ready_from: date
    window: tuple[str, str] | None = None


def deadline(
    office: OfficeRecord,
    kind: str,
    *,
    covers: Mapping[str, date],
    after: After,
    booked: Booked,
) -> Deadline | AskByPhone | None:
    """When `kind` must be called in to be held before its cover date.

    `covers` are the cover dates of the kinds still to pass, as far as they are said
    (that of `kind` must be), and `after` names what each of them needs first: where
    another kind with a cover date waits for this one, this one has to pass before that
    one's last call. None where no day before the cover date can be had.
    """
    before = covers[kind]
    for dependent, needs in after.items():
        if kind not in needs or dependent == kind or dependent not in covers:
            continue
        later = deadline(
            office,
            dependent,
            covers=covers,
            after={code: rest for code, rest in after.items() if code != kind},
            booked=booked,
        )
        if isinstance(later, Deadline):
            before = min(before, later.call_in_by.date())
    return _last_day(office, kind, before=before, booked=booked)


def _last_day(
    office: OfficeRecord, kind: str, *, before: date, booked: Booked
) -> Deadline | AskByPhone | None:
    for back in range(1, LOOK_BACK):
        day = before - back * DAY
        found = by_when(office, kind=kind, inspect_on=day, booked=booked)
        if isinstance(found, AskByPhone):
            return found
        if isinstance(found, CallInBy):
            return Deadline(kind, day, _last_call(office, kind, day, found.at))
        assert isinstance(found, NotHeld)
    return None


def first_day(
    office: OfficeRecord,
    kind: str,
    *,
    now: datetime,
    ready_on: date | None,
    after: After,
    booked: Booked,
) -> First | TooFarAhead | AskByPhone:
    """The first day for `kind` when called in now, or as soon as what must pass first
    has passed. `ready_on` is a day before which the lot cannot be ready.

    An office that only promises a latest date is taken at its latest.
    """
    asked_at, ready = now, ready_on
    zone = office.date_rules(kind).rules.zone
    for needed in after.get(kind, ()):
        if needed not in after or needed == kind:
            continue
        rest = {code: needs for code, needs in after.items() if code != kind}
        first = first_day(
            office, needed, now=now, ready_on=ready_on, after=rest, booked=booked
        )
        if not isinstance(first, First):
            return first
        told = datetime.combine(first.inspect_on, RESULT_BY, tzinfo=zone)
        asked_at = max(asked_at, told)
    return _first(office, kind, asked_at=asked_at, ready_on=ready, booked=booked)


def _first(
    office: OfficeRecord,
    kind: str,
    *,
    asked_at: datetime,
    ready_on: date | None,
    booked: Booked,
) -> First | TooFarAhead | AskByPhone:
    found = when(
        office, kind=kind, requested_at=asked_at, booked=booked, not_before=ready_on
    )
    if isinstance(found, Earliest):
        span = found.window
        window = (f"{span.opens:%H:%M}", f"{span.closes:%H:%M}") if span else None
        return First(kind, found.inspect_on, found.inspect_on, window)
    if isinstance(found, Within):
        return First(kind, found.latest_on, found.ready_from)
    return found


def cut_off(
    office: OfficeRecord, kind: str, *, inspect_on: date, booked: Booked
) -> datetime | None:
    """The last minute at which a call still gets `inspect_on`; None: not known."""
    found = by_when(office, kind=kind, inspect_on=inspect_on, booked=booked)
    if not isinstance(found, CallInBy):
        return None
    return _last_call(office, kind, inspect_on, found.at)


def _last_call(
    office: OfficeRecord, kind: str, inspect_on: date, at: datetime
) -> datetime:
    """`at`, or the end of the last day before it on which the office takes requests:
    a lead in hours may run back into a weekend, when nobody picks up the phone.
    Where that day is too early to book, `at` is all there is.
    """
    rules = office.date_rules(kind).rules
    day = last_request_day(rules, at.date())
    ahead = rules.book_ahead_days
    bookable = ahead is None or (inspect_on - day).days <= ahead
    if day < at.date() and bookable:
        at = datetime.combine(day, LAST_MINUTE)
    return at.replace(tzinfo=rules.zone)
