from django.db import models

from tracker.people.models import Member
from tracker.sites.models import Lot

from .facts import Fact
from .items import CheckItem


class Photo(models.Model):
    """A picture the server verified and re-encoded; addressed by the phone's hash."""

    sha256 = models.CharField(primary_key=True, max_length=64)
    file = models.FileField(upload_to="photos/")
    thumb = models.FileField(upload_to="thumbs/")
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    bytes_received = models.PositiveIntegerField()
    taken_at = models.DateTimeField(null=True)
    received_at = models.DateTimeField()
    sent_by = models.ForeignKey(Member, on_delete=models.PROTECT, null=True)

    def __str__(self) -> str:
        return self.sha256[:12]


class PhotoUse(models.Model):
    """Where a photo is shown as proof: bytes are stored once, every use is kept."""

    photo_sha = models.CharField(max_length=64, db_index=True)
    lot = models.ForeignKey(Lot, on_delete=models.CASCADE, related_name="photo_uses")
    item = models.ForeignKey(
        CheckItem, on_delete=models.CASCADE, null=True, related_name="photo_uses"
    )
    correction = models.UUIDField(null=True)
    fact = models.ForeignKey(Fact, on_delete=models.CASCADE)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["fact", "photo_sha"], name="one_use_a_fact")
        ]
