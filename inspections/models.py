"""Inspections asked for, and what came of them."""

import uuid

from django.db import models

from tracker.sites.models import InspectionKind, Lot


class RequestQuerySet(models.QuerySet):
    def visible_to(self, member) -> "RequestQuerySet":
        return self.filter(lot__in=Lot.objects.visible_to(member))

    def waiting(self) -> "RequestQuerySet":
        """Asked for, and no result yet."""
        return self.filter(status=InspectionRequest.ASKED)


class InspectionRequest(models.Model):
    """One inspection called in to the jurisdiction's office."""

    ASKED, RESULTED, CANCELLED = "asked", "resulted", "cancelled"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    lot = models.ForeignKey(Lot, on_delete=models.PROTECT, related_name="inspections")
    kind = models.ForeignKey(InspectionKind, on_delete=models.PROTECT)
    for_date = models.DateField()
    window = models.CharField(max_length=40, blank=True)
    confirmation = models.CharField(max_length=60, blank=True)
    note = models.CharField(max_length=400, blank=True)
    is_reinspection = models.BooleanField(default=False)
    asked_at = models.DateTimeField()
    asked_by = models.CharField(max_length=120)
    status = models.CharField(max_length=10, default=ASKED, db_index=True)

    objects = RequestQuerySet.as_manager()

    class Meta:
        ordering = ["for_date", "asked_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["lot", "kind"],
                condition=models.Q(status="asked"),
                name="one_open_request_a_kind",
            )
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.lot} {self.for_date}"


class InspectionResult(models.Model):
    """What the inspector said; recorded at once, whatever our own proofs say."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    request = models.ForeignKey(
        InspectionRequest, on_delete=models.PROTECT, null=True, related_name="results"
    )
    lot = models.ForeignKey(Lot, on_delete=models.PROTECT, related_name="results")
    kind = models.ForeignKey(InspectionKind, on_delete=models.PROTECT)
    result = models.CharField(max_length=16)
    on = models.DateField()
    inspector = models.CharField(max_length=120, blank=True)
    words = models.TextField(blank=True)
    fault_of = models.CharField(max_length=40, blank=True)
    passed_parts = models.JSONField(default=list, blank=True)
    recorded_by = models.CharField(max_length=120)
    recorded_at = models.DateTimeField()

    class Meta:
        ordering = ["on", "recorded_at"]

    def __str__(self) -> str:
        return f"{self.kind} {self.lot} {self.result}"
