"""Piping outlines of plans, and what lots really used of the material listed."""

from django.db import models
from simple_history.models import HistoricalRecords

from tracker.people.models import Member
from tracker.sites.models import Plan

from .lot_phases import LotPhase


class PlanOutlineQuerySet(models.QuerySet):
    def latest_first(self) -> "PlanOutlineQuerySet":
        return self.order_by("-version")

    def in_force(self) -> "PlanOutlineQuerySet":
        """Versions that somebody accepted and nobody withdrew."""
        return self.filter(accepted_at__isnull=False, withdrawn_at=None)


class PlanOutline(models.Model):
    """One version of how a plan with a set of options is piped.

    `text` is the indented text of `phases.sizing.outline`, `site` the figures of house
    and lot that differ from common practice, `extras` what an outline does not draw.
    A version is never changed: an edit adds the next one. Sizes count as checked only
    from the last version that a named person accepted.
    """

    plan = models.ForeignKey(
        Plan, on_delete=models.CASCADE, related_name="piping_outlines"
    )
    options = models.CharField(
        max_length=400, blank=True, help_text="Codes of the options, sorted: A,B."
    )
    version = models.PositiveIntegerField()
    text = models.TextField()
    site = models.JSONField(default=dict, blank=True)
    extras = models.TextField(blank=True)
    book = models.CharField(max_length=3, help_text="Book that a guess was sized for.")
    edition = models.PositiveSmallIntegerField()
    is_guess = models.BooleanField(default=False)
    made_by = models.ForeignKey(
        Member, on_delete=models.PROTECT, null=True, related_name="+"
    )
    made_at = models.DateTimeField()
    accepted_by = models.ForeignKey(
        Member, on_delete=models.PROTECT, null=True, related_name="+"
    )
    accepted_name = models.CharField(max_length=120, blank=True)
    accepted_at = models.DateTimeField(null=True)
    withdrawn_by = models.ForeignKey(
        Member, on_delete=models.PROTECT, null=True, related_name="+"
    )
    withdrawn_at = models.DateTimeField(null=True)
    withdrawn_reason = models.CharField(max_length=200, blank=True)
    history = HistoricalRecords()

    objects = PlanOutlineQuerySet.as_manager()

    class Meta:
        ordering = ["plan", "options", "-version"]
        constraints = [
            models.UniqueConstraint(
                fields=["plan", "options", "version"], name="one_outline_per_version"
            )
        ]

    @property
    def is_accepted(self) -> bool:
        return self.accepted_at is not None and self.withdrawn_at is None

    def __str__(self) -> str:
        return f"{self.plan} {self.options} v{self.version}".replace("  ", " ")


class MaterialWaste(models.Model):
    """Waste per cent of an item as the office set it, above what lots taught."""

    item = models.CharField(max_length=120, unique=True)
    percent = models.DecimalField(max_digits=5, decimal_places=1)
    set_by = models.ForeignKey(
        Member, on_delete=models.PROTECT, null=True, related_name="+"
    )
    history = HistoricalRecords()

    class Meta:
        ordering = ["item"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(percent__gte=0, percent__lte=200),
                name="waste_between_0_and_200",
            )
        ]

    def __str__(self) -> str:
        return f"{self.item} {self.percent} %"


class MaterialUse(models.Model):
    """What a lot phase really used of one item, beside what the outline says.

    Appended, never edited: the latest row of an item and size is what counts.
    """

    lot_phase = models.ForeignKey(
        LotPhase, on_delete=models.CASCADE, related_name="material_uses"
    )
    item = models.CharField(max_length=120)
    size = models.CharField(max_length=20, blank=True)
    unit = models.CharField(max_length=4)
    net = models.FloatField(help_text="Quantity before waste, as listed that day.")
    used = models.FloatField()
    entered_by = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="+")
    entered_at = models.DateTimeField()

    class Meta:
        ordering = ["lot_phase", "item", "size", "pk"]
        indexes = [models.Index(fields=["lot_phase", "item", "size"])]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(used__gte=0), name="used_not_negative"
            )
        ]

    def __str__(self) -> str:
        return f"{self.item} {self.size} {self.used:g} {self.unit}"
