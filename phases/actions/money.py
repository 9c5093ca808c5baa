"""Charges: earned by events, priced extras, billed once, paid; and crews' pay."""

from collections.abc import Iterable
from datetime import date, datetime
from decimal import Decimal

from phases import rules
from phases.log import Who, writing
from phases.models import (
    Charge,
    Correction,
    Invoice,
    LotPhase,
    PiecePay,
    PieceRate,
    PurchaseOrder,
)
from tracker.errors import Refused
from tracker.sites.models import Builder, Lot

MOST = Decimal("9999999.99")


def price_extra(
    lot: Lot,
    *,
    sort: str,
    text: str,
    amount: Decimal,
    signer: str,
    on: date,
    who: Who,
    now: datetime,
    phase: LotPhase | None = None,
    correction: Correction | None = None,
    also: Iterable[Correction] = (),
    photo: str = "",
) -> Charge:
    """An extra (we bill it) or a backcharge (somebody else pays what he broke).

    `also` are further changes that the one price covers: none of them is priced again.
    """
    rules.check(rules.why_not_office(who.member))
    if sort not in (Charge.EXTRA, Charge.BACKCHARGE):
        raise Refused("unknown_kind", value=sort)
    if not (Decimal(0) < amount <= MOST):
        raise Refused("bad_value", field="amount", value=amount)
    if not text.strip() or not signer.strip():
        raise Refused("signer_needed")
    with writing(now=now) as log:
        if correction and Charge.objects.filter(correction=correction.pk).exists():
            raise Refused("already_priced")
        covered = _covered(lot, also)
        charge = Charge.objects.create(
            lot=lot,
            lot_phase=phase,
            sort=sort,
            text=text[:300],
            amount=amount,
            earned_on=on,
            signer=signer,
            photo=photo,
            correction=correction.pk if correction else None,
            made_by=who.name,
            made_at=now,
        )
        log.append(
            "extra_priced",
            lot=lot,
            phase=phase,
            who=who,
            charge=charge.pk,
            amount=str(amount),
            **({"also": covered} if covered else {}),
        )
        return charge


def waive_changes(
    lot: Lot, changes: Iterable[Correction], *, reason: str, who: Who, now: datetime
) -> None:
    """Changes that nobody will be billed for; who decided it and why is kept."""
    rules.check(rules.why_not_office(who.member))
    if not reason.strip():
        raise Refused("reason_needed")
    with writing(now=now) as log:
        covered = _covered(lot, changes)
        if not covered:
            raise Refused("nothing_to_bill")
        log.append(
            "extra_waived", lot=lot, who=who, reason=reason[:300], changes=covered
        )


def _covered(lot: Lot, changes: Iterable[Correction]) -> list[str]:
    """Take changes off the list of what has no price; their ids."""
    ids = [change.pk for change in changes]
    rows = Correction.objects.filter(pk__in=ids, lot=lot, billable=True)
    if rows.count() != len(ids) or Charge.objects.filter(correction__in=ids).exists():
        raise Refused("already_priced")
    rows.update(billable=False)
    return [str(pk) for pk in ids]


def bill(
    builder: Builder,
    charges: Iterable[Charge],
    *,
    number: str,
    on: date,
    who: Who,
    now: datetime,
) -> Invoice:
    """One invoice of these charges. A charge that is billed already refuses it all."""
    rules.check(rules.why_not_office(who.member))
    ids = [charge.pk for charge in charges]
    if not ids:
        raise Refused("nothing_to_bill")
    if not number.strip():
        raise Refused("bad_value", field="number", value=number)
    with writing(now=now) as log:
        if Invoice.objects.filter(builder=builder, number=number).exists():
            raise Refused("number_taken", number=number)
        invoice = Invoice.objects.create(
            builder=builder, number=number, date=on, made_by=who.name, made_at=now
        )
        rows = Charge.objects.filter(
            pk__in=ids, invoice=None, voided_at=None, lot__subdivision__builder=builder
        )
        if rows.update(invoice=invoice) != len(set(ids)):
            raise Refused("already_billed")
        for charge in Charge.objects.filter(invoice=invoice).select_related("lot"):
            log.append(
                "billed", lot=charge.lot, who=who, charge=charge.pk, invoice=number
            )
        return invoice


def record_payment(invoice: Invoice, *, on: date, who: Who, now: datetime) -> Invoice:
    rules.check(rules.why_not_office(who.member))
    with writing(now=now):
        invoice = Invoice.objects.get(pk=invoice.pk)
        if invoice.paid_on is not None:
            raise Refused("already_closed")
        invoice.paid_on = on
        invoice.save(update_fields=["paid_on"])
        return invoice


def set_purchase_order(
    phase: LotPhase, *, number: str, who: Who, now: datetime
) -> PurchaseOrder:
    rules.check(rules.why_not_office(who.member))
    with writing(now=now) as log:
        order, _ = PurchaseOrder.objects.update_or_create(
            lot_phase=phase, defaults={"number": number[:60]}
        )
        log.append(
            "purchase_order", lot=phase.lot, phase=phase, who=who, number=number[:60]
        )
        return order


def piece_rate(phase: LotPhase, rates: Iterable[PieceRate]) -> Decimal | None:
    """What the phase pays its crew: a row for crew and plan before a general one."""
    best: tuple[int, Decimal] | None = None
    for rate in rates:
        if rate.kind_id != phase.kind_id:
            continue
        if rate.crew_id not in (None, phase.crew_id):
            continue
        if rate.plan_id not in (None, phase.lot.plan_id):
            continue
        rank = 2 * (rate.crew_id is not None) + (rate.plan_id is not None)
        if best is None or rank > best[0]:
            best = (rank, rate.amount)
    return best[1] if best else None


def why_not_pay(phase: LotPhase) -> Refused | None:
    """A crew is paid for a passed phase with no correction open."""
    if phase.passed_on is None:
        return Refused("not_passed_yet")
    if phase.open_corrections:
        return Refused("corrections_open", count=phase.open_corrections)
    if phase.crew_id is None:
        return Refused("no_such", what="crew")
    return None


def pay_piece(phase: LotPhase, *, on: date, who: Who, now: datetime) -> PiecePay:
    rules.check(rules.why_not_office(who.member))
    with writing(now=now) as log:
        phase = LotPhase.objects.select_related("lot", "crew").get(pk=phase.pk)
        rules.check(why_not_pay(phase))
        if PiecePay.objects.filter(lot_phase=phase).exists():
            raise Refused("already_paid")
        amount = piece_rate(phase, PieceRate.objects.all())
        if amount is None:
            raise Refused("no_such", what="piece rate")
        log.append(
            "piece_paid", lot=phase.lot, phase=phase, who=who, amount=str(amount)
        )
        return PiecePay.objects.create(
            lot_phase=phase,
            crew_id=phase.crew_id,
            amount=amount,
            paid_on=on,
            made_by=who.name,
        )
