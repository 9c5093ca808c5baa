"""Receipts of what phones sent, what was set aside, and photos on their way in."""

import json
from typing import Any

from django.core.serializers.json import DjangoJSONEncoder
from django.db import models

from tracker.people.models import Device, Member


class Operation(models.Model):
    """The receipt of one operation: written with its effect, given out for ever.

    `digest` is over what was sent, so an id cannot be used for something else.
    Receipts are never deleted: a phone may come back after any time.
    """

    APPLIED, REFUSED = "applied", "refused"

    id = models.UUIDField(primary_key=True)
    device = models.ForeignKey(Device, on_delete=models.PROTECT, related_name="ops")
    seq = models.BigIntegerField()
    kind = models.CharField(max_length=24)
    digest = models.CharField(max_length=64)
    result = models.CharField(max_length=8)
    reason = models.JSONField(default=dict, encoder=DjangoJSONEncoder)
    fact_no = models.BigIntegerField(null=True)
    sha256 = models.CharField(max_length=64, blank=True)
    claimed_at = models.DateTimeField()
    received_at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["device", "seq"])]

    def __str__(self) -> str:
        return f"{self.kind} {self.pk}: {self.result}"


class SetAside(models.Model):
    """An operation that was not applied, whole, until somebody settles it."""

    device = models.ForeignKey(Device, on_delete=models.PROTECT, related_name="+")
    digest = models.CharField(max_length=64)
    text = models.TextField(help_text="The operation as JSON, whatever it holds.")
    reason = models.JSONField(default=dict, encoder=DjangoJSONEncoder)
    set_aside_at = models.DateTimeField()
    settled_at = models.DateTimeField(null=True)
    settled_by = models.ForeignKey(
        Member, on_delete=models.PROTECT, null=True, related_name="+"
    )
    settled_how = models.CharField(max_length=400, blank=True)

    class Meta:
        ordering = ["set_aside_at", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["device", "digest"], name="set_aside_once_a_phone"
            )
        ]

    @property
    def body(self) -> Any:
        return json.loads(self.text)

    def __str__(self) -> str:
        return f"{self.reason.get('code')} from {self.device}"


class Upload(models.Model):
    """A photo on its way in, addressed by the SHA-256 of its bytes.

    `offset` is how many bytes are on disk; `part` of them lie in one file beside.
    """

    OPEN, THERE, REFUSED = "open", "there", "refused"

    sha256 = models.CharField(primary_key=True, max_length=64)
    device = models.ForeignKey(Device, on_delete=models.PROTECT, related_name="+")
    length = models.PositiveIntegerField()
    offset = models.PositiveIntegerField(default=0)
    claimed_taken_at = models.DateTimeField(null=True)
    state = models.CharField(max_length=8, default=OPEN)
    code = models.CharField(max_length=40, blank=True)
    started_at = models.DateTimeField()
    moved_at = models.DateTimeField(db_index=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(offset__lte=models.F("length")),
                name="no_more_bytes_than_the_photo_has",
            )
        ]

    def __str__(self) -> str:
        return f"{self.sha256[:12]} {self.offset}/{self.length}"
