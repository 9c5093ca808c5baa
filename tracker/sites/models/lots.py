from django.db import models
from django.db.models import Q
from simple_history.models import HistoricalRecords

from .plans import Foundation, Option, Plan
from .where import Subdivision, Superintendent


class LotQuerySet(models.QuerySet):
    def visible_to(self, member) -> "LotQuerySet":
        """Office and owner see every lot, a crew those it is or was sent to."""
        if not member.is_active:
            return self.none()
        if member.sees_all:
            return self
        if member.crew_id is None:
            return self.none()
        return self.filter(
            Q(phases__crew=member.crew_id) | Q(phases__helper_rows__crew=member.crew_id)
        ).distinct()

    def open(self) -> "LotQuerySet":
        return self.filter(retired_at=None)


class Lot(models.Model):
    """One house to plumb, in one subdivision."""

    subdivision = models.ForeignKey(
        Subdivision, on_delete=models.PROTECT, related_name="lots"
    )
    label = models.CharField(max_length=60, help_text="Lot as written: 18A.")
    block = models.CharField(max_length=20, blank=True)
    unit = models.CharField(max_length=40, blank=True)
    address = models.CharField(max_length=160, blank=True)
    parcel = models.CharField(max_length=60, blank=True)
    plan = models.ForeignKey(
        Plan, on_delete=models.PROTECT, null=True, blank=True, related_name="lots"
    )
    options = models.ManyToManyField(Option, blank=True, related_name="lots")
    mirrored = models.BooleanField(default=False)
    foundation = models.CharField(
        max_length=8, choices=Foundation, blank=True, help_text="Empty: as the plan."
    )
    permit_number = models.CharField(max_length=60, blank=True)
    permit_issued_on = models.DateField(null=True, blank=True)
    permit_expires_on = models.DateField(null=True, blank=True)
    gate_code = models.CharField(max_length=40, blank=True)
    key_note = models.CharField(max_length=120, blank=True)
    superintendent = models.ForeignKey(
        Superintendent, on_delete=models.SET_NULL, null=True, blank=True
    )
    position = models.PositiveIntegerField(default=0, help_text="Place on the street.")
    map_x = models.FloatField(null=True, blank=True)
    map_y = models.FloatField(null=True, blank=True)
    closed_on = models.DateField(null=True, blank=True)
    warranty_until = models.DateField(null=True, blank=True)
    retired_at = models.DateTimeField(null=True, blank=True)
    history = HistoricalRecords()

    objects = LotQuerySet.as_manager()

    class Meta:
        ordering = ["subdivision", "position", "label", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["subdivision", "block", "label", "unit", "parcel"],
                name="one_lot_per_name",
            )
        ]

    def in_language(self, language: str) -> str:
        """`Lot 18A, Block 6`, or `Lote 18A, Manzana 6`."""
        lot, block = ("Lote", "Manzana") if language == "es" else ("Lot", "Block")
        parts = [f"{lot} {self.label}" if self.label else "", self.unit]
        if self.block:
            parts.append(f"{block} {self.block}")
        return ", ".join(p for p in parts if p) or self.address

    @property
    def name(self) -> str:
        return self.in_language("en")

    @property
    def name_es(self) -> str:
        return self.in_language("es")

    @property
    def stands_on(self) -> str:
        """Foundation of this lot: its own, else the plan's, else unknown ('')."""
        return self.foundation or (self.plan.foundation if self.plan else "")

    def __str__(self) -> str:
        return self.name


class BuilderDate(models.Model):
    """What somebody said of a date on a lot. Appended, never edited.

    `what` is ready, cover, need_by, start or closing; `phase` is a phase code or
    empty for the whole house. The latest row (by `fact`) is what we go by.
    """

    PREDICTED, REVISED, ACTUAL = "predicted", "revised", "actual"
    STATUSES = [(s, s) for s in (PREDICTED, REVISED, ACTUAL)]

    lot = models.ForeignKey(Lot, on_delete=models.CASCADE, related_name="dates")
    phase = models.CharField(max_length=40, blank=True)
    part = models.CharField(max_length=40, blank=True)
    what = models.CharField(max_length=12)
    status = models.CharField(max_length=10, choices=STATUSES)
    date = models.DateField(null=True)
    said_by = models.CharField(max_length=120)
    fact_no = models.BigIntegerField(unique=True)
    recorded_at = models.DateTimeField()

    class Meta:
        ordering = ["fact_no"]
        indexes = [models.Index(fields=["lot", "phase", "what"])]

    def __str__(self) -> str:
        return f"{self.lot} {self.phase} {self.what} {self.date}"
