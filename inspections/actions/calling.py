"""Calling an inspection in, and calling it off."""

from datetime import date, datetime
from uuid import UUID, uuid4

from inspections.models import InspectionRequest, InspectionResult
from inspections.rules import passed_kinds, phases_proved, why_not_call_in
from phases.actions.inspection_facts import append_call_cancelled, append_called_in
from phases.log import Who, writing
from phases.rules import check, why_not_lead
from tracker.errors import Refused
from tracker.sites.models import InspectionKind, Lot


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

    Unproven in-wall items refuse it until `phases.actions.gate` overrides.
    """
    check(why_not_lead(who.member))
    if kind.jurisdiction_id != lot.subdivision.jurisdiction_id:
        raise Refused("no_such", what="inspection")
    with writing(now=now) as log:
        phases = phases_proved(lot, kind)
        check(why_not_call_in(lot, kind, phases, passed=passed_kinds(lot)))
        request = InspectionRequest.objects.create(
            id=id or uuid4(),
            lot=lot,
            kind=kind,
            for_date=for_date,
            window=window,
            confirmation=confirmation,
            note=note,
            is_reinspection=InspectionResult.objects.filter(
                lot=lot, kind=kind
            ).exists(),
            asked_at=now,
            asked_by=who.name,
        )
        append_called_in(
            log,
            phases,
            inspection=kind.code,
            for_date=for_date,
            who=who,
            request=str(request.pk),
        )
        return request


def cancel_call(
    request: InspectionRequest, *, who: Who, now: datetime, reason: str
) -> InspectionRequest:
    check(why_not_lead(who.member))
    if not reason.strip():
        raise Refused("reason_needed")
    with writing(now=now) as log:
        request = InspectionRequest.objects.select_for_update().get(pk=request.pk)
        if request.status != InspectionRequest.ASKED:
            raise Refused("already_closed")
        request.status = InspectionRequest.CANCELLED
        request.note = reason[:400]
        request.save(update_fields=["status", "note"])
        append_call_cancelled(
            log,
            phases_proved(request.lot, request.kind),
            inspection=request.kind.code,
            who=who,
            request=str(request.pk),
        )
        return request
