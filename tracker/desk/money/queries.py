"""What the money pages read, each in a fixed number of statements."""

from dataclasses import dataclass, field
from decimal import Decimal

from django.db.models import Exists, OuterRef, Q, QuerySet, Sum

from phases.actions.money import piece_rate, why_not_pay
from phases.models import (
    Charge,
    Correction,
    Invoice,
    LotPhase,
    Photo,
    PhotoUse,
    PiecePay,
    PieceRate,
)
from tracker.people.models import Crew
from tracker.sites.models import Builder, Lot

PHOTOS = 24  # to choose one from
ZERO = Decimal("0.00")


@dataclass(frozen=True)
class Balance:
    """Money of one builder: earned = billed + unbilled, paid is part of billed."""

    builder: Builder
    earned: Decimal
    billed: Decimal
    paid: Decimal

    @property
    def unbilled(self) -> Decimal:
        return self.earned - self.billed

    @property
    def owed(self) -> Decimal:
        return self.billed - self.paid


def balances() -> list[Balance]:
    """Every builder with what he owes; two statements."""
    rows = (
        Charge.objects.filter(voided_at=None)
        .values("lot__subdivision__builder")
        .annotate(
            earned=Sum("amount"),
            billed=Sum("amount", filter=Q(invoice__isnull=False)),
            paid=Sum("amount", filter=Q(invoice__paid_on__isnull=False)),
        )
        .order_by()
    )
    sums = {row["lot__subdivision__builder"]: row for row in rows}
    return [
        # SQLite adds without the cents that it stores.
        Balance(builder, *(_cents(sums.get(builder.pk, {}).get(key)) for key in KEYS))
        for builder in Builder.objects.all()
    ]


KEYS = ("earned", "billed", "paid")


def _cents(amount: Decimal | None) -> Decimal:
    return (amount or ZERO).quantize(ZERO)


def unbilled(builder: Builder) -> QuerySet[Charge]:
    """What may go on the next invoice of a builder."""
    return (
        Charge.objects.filter(
            voided_at=None, invoice=None, lot__subdivision__builder=builder
        )
        .select_related("lot__subdivision", "lot_phase__purchase_order")
        .order_by("lot__subdivision__name", "lot__position", "earned_on", "pk")
    )


def invoices(builder: Builder) -> QuerySet[Invoice]:
    return Invoice.objects.filter(builder=builder).annotate(amount=Sum("lines__amount"))


def unpriced_changes() -> QuerySet[Correction]:
    """Work that a change after the fact asks for, and nobody has priced."""
    priced = Charge.objects.filter(correction=OuterRef("pk"))
    return (
        Correction.objects.filter(~Exists(priced), billable=True)
        .select_related("lot__subdivision__builder", "lot_phase__kind")
        .order_by("lot__subdivision__name", "lot__position", "opened_at")
    )


@dataclass(frozen=True)
class ChangeGroup:
    """What one change of plan or option asks for on one lot: it gets one price."""

    lot: Lot
    rows: tuple[Correction, ...]

    @property
    def first(self) -> Correction:
        return self.rows[0]


def change_groups() -> list[ChangeGroup]:
    """Unpriced changes by lot and by the moment they were made."""
    groups: dict[tuple[int, object], list[Correction]] = {}
    for row in unpriced_changes():
        groups.setdefault((row.lot_id, row.opened_at), []).append(row)
    return [ChangeGroup(rows[0].lot, tuple(rows)) for rows in groups.values()]


def lot_photos(lot: Lot) -> list[str]:
    """Photos that were taken on a lot and have come, the newest first."""
    used = PhotoUse.objects.filter(lot=lot).order_by("-pk")
    shas = list(dict.fromkeys(used.values_list("photo_sha", flat=True)[:200]))
    come = set(Photo.objects.filter(sha256__in=shas).values_list("sha256", flat=True))
    return [sha for sha in shas if sha in come][:PHOTOS]


@dataclass
class CrewPay:
    crew: Crew
    due: list[tuple[LotPhase, Decimal]] = field(default_factory=list)
    blocked: list[tuple[LotPhase, Decimal, dict]] = field(default_factory=list)
    paid: Decimal = ZERO

    @property
    def total(self) -> Decimal:
        return sum((amount for _, amount in self.due), ZERO)


def crew_pay() -> list[CrewPay]:
    """Passed phases that are not paid yet, by crew, with why one has to wait."""
    rates = list(PieceRate.objects.all())
    pays = {crew.pk: CrewPay(crew) for crew in Crew.objects.filter(is_active=True)}
    phases = (
        LotPhase.objects.filter(piece_pay=None, crew__isnull=False)
        .exclude(passed_on=None)
        .select_related("lot__subdivision", "kind", "crew")
        .order_by("passed_on", "pk")
    )
    for phase in phases:
        amount = piece_rate(phase, rates)
        if amount is None or phase.crew_id not in pays:
            continue
        pay = pays[phase.crew_id]
        refused = why_not_pay(phase)
        if refused is None:
            pay.due.append((phase, amount))
        else:
            pay.blocked.append((phase, amount, refused.reason))
    for row in PiecePay.objects.values("crew").annotate(paid=Sum("amount")).order_by():
        if row["crew"] in pays:
            pays[row["crew"]].paid = row["paid"]
    return list(pays.values())


def charge_rows() -> QuerySet[Charge]:
    """Every charge that stands, for the CSV."""
    return (
        Charge.objects.filter(voided_at=None)
        .select_related(
            "lot__subdivision__builder",
            "lot__plan",
            "lot_phase__kind",
            "lot_phase__purchase_order",
            "invoice",
        )
        .order_by("earned_on", "pk")
    )
