"""Calling an inspection in, and calling it off."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID, uuid4

from inspections.actions.fees import charge_for_cancelling
from inspections.calls import ready_on
from inspections.dates import Earliest, TooFarAhead, why_closed
from inspections.models import InspectionRequest
from inspections.offices import when
from inspections.rules import phases_proved, why_not_call_in
from inspections.standing import LotStanding, standing_of
from inspections.timing import Deadline, deadline
from phases.actions.inspection_facts import append_call_cancelled, append_called_in
from phases.log import Log, Who, writing
from phases.rules import check, why_not_lead
from tracker.errors import Refused
from tracker.sites.models import InspectionKind, Lot


@dataclass(frozen=True)
class Told:
    """What the office said on the phone; its word stands above its published rules."""

    window: str = ""
    confirmation: str = ""
    note: str = ""

    @property
    def anything(self) -> bool:
        return bool(self.confirmation.strip() or self.note.strip())


def call_in(
    lot: Lot,
    kind: InspectionKind,
    *,
    for_date: date,
    who: Who,
    now: datetime,
    window: str = "",
    confirmation: str = "",
    note: str = "",
    id: UUID | None = None,
) -> InspectionRequest:
    """Record that an inspection was asked for. Raises Refused with the reason.

    Unproven in-wall items refuse it until `phases.actions.gate` overrides. A date that
    the office's rules do not give is refused unless the office gave it: then its
    confirmation number or a note of what it said must be there.
    """
    told = Told(window, confirmation, note)
    ids = [id] if id else []
    (request,) = call_in_visit(
        lot, [kind], for_date=for_date, who=who, now=now, told=told, ids=ids
    )
    return request


def call_in_visit(
    lot: Lot,
    kinds: Sequence[InspectionKind],
    *,
    for_date: date,
    who: Who,
    now: datetime,
    told: Told = Told(),
    ids: Sequence[UUID] = (),
) -> list[InspectionRequest]:
    """Ask for several kinds in one call; all of them or none are recorded."""
    check(why_not_lead(who.member))
    if not kinds:
        raise Refused("no_such", what="inspection")
    for kind in kinds:
        if kind.jurisdiction_id != lot.subdivision.jurisdiction_id:
            raise Refused("no_such", what="inspection")
    with writing(now=now) as log:
        asked_at = who.happened_at or now
        standing = standing_of(lot, now=asked_at)
        codes = [kind.code for kind in kinds]
        for kind in kinds:
            check(why_not_call_in(standing, kind, member=who.member, together=codes))
        visit = uuid4()
        made = []
        for place, kind in enumerate(kinds):
            request = _request(standing, kind, for_date, who, now, told)
            request.visit = visit
            request.id = ids[place] if place < len(ids) else request.id
            request.save(force_insert=True)
            _append(log, request, standing, who=who if not place else _again(who))
            # The next kind of the visit finds one place of the day less.
            taken = standing.booked.get(for_date, 0)
            standing.booked[for_date] = taken + 1
            made.append(request)
        return made


def _again(who: Who) -> Who:
    # An op id marks one fact only; the further ones of the same call carry none.
    return Who(member=who.member, device=who.device, happened_at=who.happened_at)


def _request(
    standing: LotStanding,
    kind: InspectionKind,
    for_date: date,
    who: Who,
    now: datetime,
    told: Told,
) -> InspectionRequest:
    asked_at = who.happened_at or now
    against = why_not_date(standing, kind, for_date=for_date, asked_at=asked_at)
    if against is not None and not told.anything:
        raise against
    return InspectionRequest(
        id=uuid4(),
        lot=standing.lot,
        kind=kind,
        for_date=for_date,
        window=told.window[:40],
        confirmation=told.confirmation[:60],
        note=told.note[:400],
        is_reinspection=kind.code in standing.latest,
        against_rules=str(against or "")[:200],
        call_in_by=_call_in_by(standing, kind),
        asked_at=asked_at,
        asked_by=who.name,
        changed_at=now,
    )


def why_not_date(
    standing: LotStanding, kind: InspectionKind, *, for_date: date, asked_at: datetime
) -> Refused | None:
    """Why the office's own rules would not give this date to a call made now.

    None where the rules are not known: then only the office can say.
    """
    if for_date < standing.today:
        return Refused("date_past", date=for_date.isoformat())
    phases = [p for p in standing.proved_by(kind) if p.passed_on is None]
    ready = ready_on(phases, standing.today)
    if ready is not None and any(p.planned_end for p in phases) and for_date < ready:
        return Refused("ready_later", date=ready.isoformat())
    if standing.office is None:
        return None
    office = standing.office.record
    found = when(
        office,
        kind=kind.code,
        requested_at=asked_at,
        booked=standing.booked,
        not_before=for_date,
    )
    if isinstance(found, TooFarAhead):
        day = found.first_request_on
        return Refused("too_far_ahead", date=day.isoformat())
    if not isinstance(found, Earliest) or found.inspect_on == for_date:
        return None
    why = why_closed(office.date_rules(kind.code).rules, for_date)
    code = f"day_{why.replace(' ', '_')}" if why else _early(standing, kind, for_date)
    return Refused(
        "date_not_given", why={"code": code}, date=found.inspect_on.isoformat()
    )


def _early(standing: LotStanding, kind: InspectionKind, for_date: date) -> str:
    assert standing.office is not None
    cap = standing.office.record.date_rules(kind.code).rules.cap_per_day
    full = cap is not None and standing.booked.get(for_date, 0) >= cap
    return "day_full" if full else "day_too_soon"


def _call_in_by(standing: LotStanding, kind: InspectionKind) -> datetime | None:
    covers = [p.cover_date for p in standing.proved_by(kind) if p.cover_date]
    if standing.office is None or not covers:
        return None
    found = deadline(
        standing.office.record,
        kind.code,
        covers={**standing.covers, kind.code: min(covers)},
        after=standing.after,
        booked=standing.booked,
    )
    return found.call_in_by if isinstance(found, Deadline) else None


def _append(
    log: Log, request: InspectionRequest, standing: LotStanding, *, who: Who
) -> None:
    append_called_in(
        log,
        standing.proved_by(request.kind),
        inspection=request.kind.code,
        for_date=request.for_date,
        who=who,
        request=str(request.pk),
    )


def move_call(
    request: InspectionRequest,
    *,
    for_date: date,
    who: Who,
    now: datetime,
    told: Told,
) -> InspectionRequest:
    """The office gave another day or window, or its confirmation came later."""
    check(why_not_lead(who.member))
    with writing(now=now) as log:
        request = _locked(request)
        if request.status != InspectionRequest.ASKED:
            raise Refused("already_closed")
        moved = request.for_date != for_date
        if moved and not told.anything:
            raise Refused("reason_needed")
        request.for_date = for_date
        request.window = told.window[:40]
        request.confirmation = told.confirmation[:60] or request.confirmation
        request.note = told.note[:400] or request.note
        request.sequence += 1
        request.changed_at = now
        request.save()
        if moved:
            append_called_in(
                log,
                phases_proved(request.lot, request.kind),
                inspection=request.kind.code,
                for_date=for_date,
                who=who,
                request=str(request.pk),
            )
        return request


def cancel_call(
    request: InspectionRequest, *, who: Who, now: datetime, reason: str
) -> InspectionRequest:
    """Call it off; after the office's hour for it a fee may come of it."""
    check(why_not_lead(who.member))
    if not reason.strip():
        raise Refused("reason_needed")
    with writing(now=now) as log:
        request = _locked(request)
        if request.status != InspectionRequest.ASKED:
            raise Refused("already_closed")
        request.status = InspectionRequest.CANCELLED
        request.note = reason[:400]
        request.sequence += 1
        request.changed_at = now
        request.save(update_fields=["status", "note", "sequence", "changed_at"])
        append_call_cancelled(
            log,
            phases_proved(request.lot, request.kind),
            inspection=request.kind.code,
            who=who,
            request=str(request.pk),
        )
        charge_for_cancelling(request, who=who, now=now)
        return request


def _locked(request: InspectionRequest) -> InspectionRequest:
    return InspectionRequest.objects.select_related("lot__subdivision", "kind").get(
        pk=request.pk
    )
