"""What passed phases let us bill, what was billed, and what crews earn."""

from decimal import Decimal

from django.db import models
from django.db.models import Q
from simple_history.models import HistoricalRecords

from tracker.people.models import Crew
from tracker.sites.models import Builder, Lot, Option, Plan

from .kinds import PhaseKind
from .lot_phases import LotPhase

EVENTS = [(e, e) for e in ("pass", "cover", "closing")]


class DrawTerm(models.Model):
    """What a builder pays for a phase, and which event earns it.

    Without plan it holds for every plan that has no term of its own; with option it
    is paid on top for lots that chose the option.
    """

    builder = models.ForeignKey(
        Builder, on_delete=models.PROTECT, related_name="draw_terms"
    )
    kind = models.ForeignKey(PhaseKind, on_delete=models.PROTECT)
    plan = models.ForeignKey(Plan, on_delete=models.PROTECT, null=True, blank=True)
    option = models.ForeignKey(Option, on_delete=models.PROTECT, null=True, blank=True)
    amount = models.DecimalField(max_digits=10, decimal_places=2)
    earned_on = models.CharField(max_length=8, choices=EVENTS, default="pass")
    history = HistoricalRecords()

    class Meta:
        ordering = ["builder", "kind", "plan", "option"]
        constraints = [
            models.CheckConstraint(
                condition=Q(amount__gte=0), name="draw_not_negative"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.builder} {self.kind} {self.plan or 'every plan'}"


class PurchaseOrder(models.Model):
    """The builder's purchase-order number for a phase of a lot."""

    lot_phase = models.OneToOneField(
        LotPhase, on_delete=models.CASCADE, related_name="purchase_order"
    )
    number = models.CharField(max_length=60)

    def __str__(self) -> str:
        return self.number


class Invoice(models.Model):
    """A bill to a builder; its lines are the charges that name it."""

    builder = models.ForeignKey(Builder, on_delete=models.PROTECT)
    number = models.CharField(max_length=40)
    date = models.DateField()
    paid_on = models.DateField(null=True, blank=True)
    made_by = models.CharField(max_length=120)
    made_at = models.DateTimeField()
    history = HistoricalRecords()

    class Meta:
        ordering = ["-date", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["builder", "number"], name="one_invoice_a_number"
            )
        ]

    def __str__(self) -> str:
        return self.number


class Charge(models.Model):
    """Money earned on a lot: a draw when its event came, an extra, a backcharge.

    The amount is fixed when it is earned. `invoice` is set once: nothing is billed
    twice. A charge whose event was taken back is voided, or answered by a credit
    when it was billed already.
    """

    DRAW, EXTRA, BACKCHARGE, CREDIT = "draw", "extra", "backcharge", "credit"

    lot = models.ForeignKey(Lot, on_delete=models.PROTECT, related_name="charges")
    lot_phase = models.ForeignKey(
        LotPhase, on_delete=models.PROTECT, null=True, related_name="charges"
    )
    term = models.ForeignKey(DrawTerm, on_delete=models.PROTECT, null=True)
    sort = models.CharField(max_length=10)
    text = models.CharField(max_length=300)
    amount = models.DecimalField(max_digits=10, decimal_places=2)
    event = models.CharField(max_length=8, blank=True)
    earned_on = models.DateField()
    signer = models.CharField(max_length=120, blank=True)
    photo = models.CharField(max_length=64, blank=True)
    correction = models.UUIDField(null=True, unique=True)
    credits = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, related_name="credited_by"
    )
    invoice = models.ForeignKey(
        Invoice, on_delete=models.PROTECT, null=True, related_name="lines"
    )
    voided_at = models.DateTimeField(null=True)
    taken_back_at = models.DateTimeField(
        null=True, help_text="Billed, then answered by a credit."
    )
    made_by = models.CharField(max_length=120)
    made_at = models.DateTimeField()

    class Meta:
        ordering = ["earned_on", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["lot_phase", "term"],
                condition=Q(voided_at=None, sort="draw", taken_back_at=None),
                name="a_draw_is_earned_once",
            ),
            models.CheckConstraint(
                condition=Q(voided_at=None) | Q(invoice=None),
                name="what_is_billed_is_not_voided",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.text} {self.amount}"


class PieceRate(models.Model):
    """What a passed phase pays a crew; the most special row that fits counts."""

    kind = models.ForeignKey(PhaseKind, on_delete=models.PROTECT)
    crew = models.ForeignKey(Crew, on_delete=models.PROTECT, null=True, blank=True)
    plan = models.ForeignKey(Plan, on_delete=models.PROTECT, null=True, blank=True)
    amount = models.DecimalField(max_digits=10, decimal_places=2)
    history = HistoricalRecords()

    class Meta:
        ordering = ["kind", "crew", "plan"]
        constraints = [
            models.CheckConstraint(
                condition=Q(amount__gte=Decimal(0)), name="piece_rate_not_negative"
            )
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.amount}"


class PiecePay(models.Model):
    """A crew's pay for one passed phase; once only."""

    lot_phase = models.OneToOneField(
        LotPhase, on_delete=models.PROTECT, related_name="piece_pay"
    )
    crew = models.ForeignKey(Crew, on_delete=models.PROTECT)
    amount = models.DecimalField(max_digits=10, decimal_places=2)
    paid_on = models.DateField()
    made_by = models.CharField(max_length=120)

    def __str__(self) -> str:
        return f"{self.crew} {self.amount}"
