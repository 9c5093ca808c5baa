import uuid

from django.db import models

from tracker.people.models import Crew, Member
from tracker.sites.models import Lot

from .lot_phases import LotPhase


class CheckItem(models.Model):
    """One thing to prove on a lot: a demand of the stub-out list, or added by hand.

    `spec` is the demand as shown to the crew (texts, target, tolerance ...), and
    `version` counts its changes; answers keep the version they were given on.
    `state` and what follows are derived from the entries.
    """

    OPEN, PROVEN, FAILED = "open", "proven", "failed"
    NOT_DONE, CONFLICT, REJECTED = "not_done", "conflict", "rejected"

    lot_phase = models.ForeignKey(
        LotPhase, on_delete=models.CASCADE, related_name="items"
    )
    key = models.CharField(max_length=120)
    room_key = models.CharField(max_length=40, blank=True)
    walk_order = models.PositiveIntegerField(default=0)
    proof = models.CharField(max_length=10, default="tick")
    photos_needed = models.PositiveSmallIntegerField(default=0)
    concealed = models.BooleanField(default=True)
    spec = models.JSONField(default=dict)
    version = models.PositiveIntegerField(default=1)
    removed_at = models.DateTimeField(null=True, blank=True)
    removed_reason = models.CharField(max_length=200, blank=True)

    state = models.CharField(max_length=10, default=OPEN)
    answer = models.JSONField(default=dict)
    answered_version = models.PositiveIntegerField(null=True)
    answered_at = models.DateTimeField(null=True)
    proven_by = models.ForeignKey(
        Member, on_delete=models.PROTECT, null=True, related_name="+"
    )

    class Meta:
        ordering = ["lot_phase", "walk_order", "key"]
        constraints = [
            models.UniqueConstraint(
                fields=["lot_phase", "key"], name="one_item_per_demand"
            )
        ]

    def __str__(self) -> str:
        return self.spec.get("text_en", self.key)


class ItemSpec(models.Model):
    """What an item asked for at one version, kept for the answers given on it."""

    item = models.ForeignKey(CheckItem, on_delete=models.CASCADE, related_name="specs")
    version = models.PositiveIntegerField()
    spec = models.JSONField()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["item", "version"], name="one_spec_per_version"
            )
        ]


class Correction(models.Model):
    """Something to put right, found on a walk, by the inspector, or by a change."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    lot = models.ForeignKey(Lot, on_delete=models.CASCADE, related_name="corrections")
    lot_phase = models.ForeignKey(
        LotPhase, on_delete=models.CASCADE, null=True, related_name="corrections"
    )
    item = models.ForeignKey(
        CheckItem, on_delete=models.SET_NULL, null=True, related_name="corrections"
    )
    room_key = models.CharField(max_length=40, blank=True)
    text = models.CharField(max_length=400)
    text_es = models.CharField(max_length=400, blank=True)
    source = models.CharField(max_length=12, default="walk")
    billable = models.BooleanField(
        default=False, help_text="Work that a later change of the design asks for."
    )
    owed_by = models.CharField(max_length=40, default="us")
    crew = models.ForeignKey(Crew, on_delete=models.PROTECT, null=True)
    photo = models.CharField(max_length=64, blank=True)
    due_on = models.DateField(null=True)
    state = models.CharField(max_length=10, default="open")
    opened_at = models.DateTimeField()
    opened_by = models.CharField(max_length=120)
    done_at = models.DateTimeField(null=True)
    closed_at = models.DateTimeField(null=True)
    closed_by = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["due_on", "opened_at"]
        indexes = [models.Index(fields=["lot", "state"])]

    @property
    def is_ours(self) -> bool:
        return self.owed_by == "us"

    def __str__(self) -> str:
        return self.text


class Hold(models.Model):
    """The lot waits for somebody else; who, since when."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    lot = models.ForeignKey(Lot, on_delete=models.CASCADE, related_name="holds")
    lot_phase = models.ForeignKey(
        LotPhase, on_delete=models.CASCADE, null=True, related_name="holds"
    )
    owed_by = models.CharField(max_length=40)
    text = models.CharField(max_length=400)
    since = models.DateField()
    set_by = models.CharField(max_length=120)
    lifted_on = models.DateField(null=True)
    lifted_by = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["since"]
        indexes = [models.Index(fields=["lot", "lifted_on"])]

    def __str__(self) -> str:
        return f"{self.owed_by}: {self.text}"
