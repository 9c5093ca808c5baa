"""Inspections asked for, and what came of them."""

import uuid

from django.db import models

from phases.models import CheckItem, PhaseKind
from tracker.sites.models import InspectionKind, Jurisdiction, Lot


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
    visit = models.UUIDField(
        null=True, db_index=True, help_text="Shared by kinds asked together."
    )
    against_rules = models.CharField(
        max_length=200,
        blank=True,
        help_text="What the rules said of a date that the office gave all the same.",
    )
    call_in_by = models.DateTimeField(
        null=True, help_text="When the cover date wanted it called in, as known then."
    )
    sequence = models.PositiveIntegerField(
        default=0, help_text="Counts its changes, for calendars."
    )
    changed_at = models.DateTimeField(null=True)
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
    passed_parts = models.JSONField(
        default=list, blank=True, help_text='What passed: "item:7", "system:gas".'
    )
    first_visit = models.BooleanField(
        default=False, help_text="The first word on the work itself, good or bad."
    )
    recorded_by = models.CharField(max_length=120)
    recorded_at = models.DateTimeField()

    class Meta:
        ordering = ["on", "recorded_at"]

    def __str__(self) -> str:
        return f"{self.kind} {self.lot} {self.result}"


class Finding(models.Model):
    """One thing an inspector named: his words, and the demand that it was about."""

    result = models.ForeignKey(
        InspectionResult, on_delete=models.CASCADE, related_name="findings"
    )
    correction = models.UUIDField(unique=True)
    words = models.CharField(max_length=400)
    item = models.ForeignKey(
        CheckItem, on_delete=models.SET_NULL, null=True, related_name="findings"
    )
    demand = models.CharField(
        max_length=120, blank=True, help_text="Row of the catalogue behind the item."
    )
    owed_by = models.CharField(max_length=40, default="us")

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return self.words


class WalkHint(models.Model):
    """A catalogue row that failed inspections: offered as a place to look on walks."""

    OFFERED, TAKEN, DECLINED = "offered", "taken", "declined"

    phase_kind = models.ForeignKey(PhaseKind, on_delete=models.CASCADE)
    demand = models.CharField(max_length=120)
    text_en = models.CharField(max_length=400)
    text_es = models.CharField(max_length=400)
    state = models.CharField(max_length=8, default=OFFERED)
    offered_at = models.DateTimeField()
    decided_by = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["phase_kind", "demand"]
        constraints = [
            models.UniqueConstraint(
                fields=["phase_kind", "demand"], name="one_hint_a_demand"
            )
        ]

    def __str__(self) -> str:
        return self.text_en


class VisitFee(models.Model):
    """What a visit cost, why, by which rule, and who pays it."""

    lot = models.ForeignKey(Lot, on_delete=models.PROTECT, related_name="visit_fees")
    jurisdiction = models.ForeignKey(Jurisdiction, on_delete=models.PROTECT)
    result = models.OneToOneField(
        InspectionResult, on_delete=models.PROTECT, null=True, related_name="fee"
    )
    request = models.ForeignKey(
        InspectionRequest, on_delete=models.PROTECT, null=True, related_name="fees"
    )
    reason = models.CharField(max_length=16)
    rule = models.CharField(max_length=200, blank=True)
    why = models.JSONField(default=dict, help_text="The rule, for tracker.words.")
    amount = models.DecimalField(
        max_digits=8, decimal_places=2, null=True, help_text="Empty: ask the office."
    )
    pays = models.CharField(max_length=40, default="us")
    note = models.CharField(max_length=400, blank=True)
    pay_first = models.BooleanField(default=False)
    charged_on = models.DateField()
    paid_on = models.DateField(null=True)
    noted_by = models.CharField(max_length=120)

    class Meta:
        ordering = ["charged_on", "pk"]

    def __str__(self) -> str:
        return f"{self.jurisdiction} {self.amount} ({self.reason})"
