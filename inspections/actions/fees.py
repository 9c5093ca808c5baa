"""What a visit costs: the office's rule, who pays and why, and when it was paid."""

from datetime import date, datetime
from decimal import Decimal

from inspections.models import InspectionRequest, InspectionResult, VisitFee
from inspections.office import office_of_lot
from inspections.offices import reinspection_fee, visits_left, why_not_cancel
from phases.loaded import local_date
from phases.log import Who, writing
from phases.rules import check, why_not_office
from tracker.errors import Refused
from tracker.sites.models import InspectionKind, Lot
from tracker.words import say

VISITED = ("passed", "partly_passed", "failed", "not_ready", "no_access", "not_on_test")


def visits_made(lot: Lot, kind: InspectionKind) -> int:
    """How often the inspector has been there for this kind."""
    return InspectionResult.objects.filter(
        lot=lot, kind=kind, result__in=VISITED
    ).count()


def charge_for_visit(row: InspectionResult, *, pays: str, who: Who) -> VisitFee | None:
    """The fee that the office's own rule puts on this result, if any."""
    office = office_of_lot(row.lot)
    if office is None or row.result not in VISITED:
        return None
    made = visits_made(row.lot, row.kind)
    fee = reinspection_fee(office.record, reason=row.result, visit=made)
    limit, penalty = office.record.visit_limit, ""
    if visits_left(office.record, made=made) == 0 and row.result != "passed":
        assert limit is not None
        penalty = f"; {limit.penalty}"
    elif fee is None:
        return None
    what = {"code": f"result_{row.result}"}
    why = {"code": "fee_rule", "visit": made, "what": what, "penalty": penalty}
    return VisitFee.objects.create(
        lot=row.lot,
        jurisdiction=row.kind.jurisdiction,
        result=row,
        request=row.request,
        reason=row.result,
        rule=say(why)[:200],
        why=why,
        amount=fee.amount if fee else None,
        pays=pays,
        pay_first=bool(fee and fee.pay_first),
        charged_on=row.on,
        noted_by=who.name,
    )


def charge_for_cancelling(
    request: InspectionRequest, *, who: Who, now: datetime
) -> VisitFee | None:
    """Cancelled after the office's hour for it: it may count as a visit."""
    office = office_of_lot(request.lot)
    if office is None:
        return None
    cancel_by = office.record.cancel_by
    late = why_not_cancel(office.record, inspect_on=request.for_date, now=now)
    made = visits_made(request.lot, request.kind) + 1
    fee = reinspection_fee(office.record, reason="cancelled", visit=made)
    if late is None or fee is None or cancel_by is None:
        return None
    return VisitFee.objects.create(
        lot=request.lot,
        jurisdiction=request.kind.jurisdiction,
        request=request,
        reason="cancelled",
        rule=late[:200],
        why={"code": "fee_late", "by": f"{request.for_date} {cancel_by:%H:%M}"},
        amount=fee.amount,
        pay_first=fee.pay_first,
        charged_on=local_date(now, request.lot),
        noted_by=who.name,
    )


def change_fee(
    fee: VisitFee,
    *,
    amount: Decimal | None,
    pays: str,
    note: str,
    who: Who,
    now: datetime,
) -> VisitFee:
    """The office said another amount, or somebody else has to pay; with the reason."""
    check(why_not_office(who.member))
    if not note.strip():
        raise Refused("reason_needed")
    if not pays.strip() or (amount is not None and amount < 0):
        raise Refused("bad_value", field="fee", value=f"{amount} {pays}")
    with writing(now=now) as log:
        fee = VisitFee.objects.select_related("lot").get(pk=fee.pk)
        before = [str(fee.amount), fee.pays]
        fee.amount, fee.pays, fee.note = amount, pays[:40], note[:400]
        fee.save(update_fields=["amount", "pays", "note"])
        log.append(
            "visit_fee",
            lot=fee.lot,
            who=who,
            fee=fee.pk,
            before=before,
            after=[str(amount), fee.pays],
            note=fee.note,
        )
        return fee


def pay_fee(fee: VisitFee, *, on: date, who: Who, now: datetime) -> VisitFee:
    check(why_not_office(who.member))
    with writing(now=now) as log:
        fee = VisitFee.objects.select_related("lot").get(pk=fee.pk)
        if fee.paid_on is not None:
            raise Refused("already_closed")
        fee.paid_on = on
        fee.save(update_fields=["paid_on"])
        log.append(
            "visit_fee_paid", lot=fee.lot, who=who, fee=fee.pk, on=on.isoformat()
        )
        return fee
