import uuid

from django.core.serializers.json import DjangoJSONEncoder
from django.db import models

from tracker.people.models import Device, Member
from tracker.sites.models import Lot, Superintendent

from .lot_phases import LotPhase


class Feed(models.Model):
    """One row: the last number given out, and which life of the database this is.

    A restore from backup gives a new epoch; phones then offer again what they sent.
    """

    epoch = models.UUIDField(default=uuid.uuid4)
    last_no = models.BigIntegerField(default=0)


class Fact(models.Model):
    """Something that happened on a lot: appended by `phases.log`, never edited.

    `no` is given out under the lock of the Feed row, so numbers are in commit order
    and a reader who has seen n has seen everything up to n. `happened_at` is what
    the phone or person claims; `recorded_at` is the server's own time.
    """

    no = models.BigIntegerField(unique=True)
    op = models.UUIDField(unique=True, null=True)
    kind = models.CharField(max_length=24)
    lot = models.ForeignKey(Lot, on_delete=models.PROTECT, related_name="facts")
    lot_phase = models.ForeignKey(
        LotPhase, on_delete=models.PROTECT, null=True, related_name="facts"
    )
    item = models.ForeignKey(
        "phases.CheckItem", on_delete=models.PROTECT, null=True, related_name="facts"
    )
    payload = models.JSONField(default=dict, encoder=DjangoJSONEncoder)
    by = models.ForeignKey(Member, on_delete=models.PROTECT, null=True)
    superintendent = models.ForeignKey(
        Superintendent, on_delete=models.PROTECT, null=True
    )
    device = models.ForeignKey(Device, on_delete=models.PROTECT, null=True)
    device_seq = models.BigIntegerField(null=True)
    happened_at = models.DateTimeField()
    recorded_at = models.DateTimeField()

    class Meta:
        ordering = ["no"]
        indexes = [
            models.Index(fields=["lot", "no"]),
            models.Index(fields=["kind", "no"]),
        ]

    @property
    def who(self) -> str:
        person = self.by or self.superintendent
        return str(person) if person else "Plumbrow"

    def __str__(self) -> str:
        return f"#{self.no} {self.kind} on {self.lot}"
