"""Links by which a builder sees his houses, and dates that wait for the office."""

import uuid
from datetime import datetime

from django.db import models
from django.db.models import F, Q

from phases.models import LotPhase
from tracker.people.models import Member
from tracker.sites.models import Builder, Lot, Subdivision, Superintendent


class LinkQuerySet(models.QuerySet):
    def live(self, *, now: datetime) -> "LinkQuerySet":
        """Neither revoked nor out of date, and its person still with the builder."""
        still_there = Q(superintendent=None) | Q(
            superintendent__is_active=True, superintendent__builder=F("builder")
        )
        return self.filter(still_there, revoked_at=None, expires_at__gt=now)


class Link(models.Model):
    """A capability: whoever has its secret address sees a builder's houses.

    Only the hash of the secret is kept. Without superintendent it is shared and only
    reads; with one it is personal, and he acts through it under his own name.
    """

    token_hash = models.CharField(max_length=64, unique=True)
    builder = models.ForeignKey(Builder, on_delete=models.PROTECT, related_name="links")
    subdivision = models.ForeignKey(
        Subdivision, on_delete=models.PROTECT, null=True, related_name="links"
    )
    superintendent = models.ForeignKey(
        Superintendent, on_delete=models.PROTECT, null=True, related_name="links"
    )
    note = models.CharField(max_length=120, blank=True)
    made_by = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    last_used_at = models.DateTimeField(null=True)
    revoked_at = models.DateTimeField(null=True)
    revoked_by = models.ForeignKey(
        Member, on_delete=models.PROTECT, null=True, related_name="+"
    )

    objects = LinkQuerySet.as_manager()

    class Meta:
        ordering = ["builder", "-made_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(expires_at__gt=F("made_at")), name="a_link_lives_a_while"
            )
        ]

    @property
    def is_personal(self) -> bool:
        return self.superintendent_id is not None

    def __str__(self) -> str:
        return f"{self.superintendent or self.builder}, {self.subdivision or 'all'}"


class DateProposal(models.Model):
    """A date that a superintendent moved although a published job leans on it.

    It counts only when the office accepts it; a later word of his replaces it.
    """

    OPEN, ACCEPTED, DECLINED = "open", "accepted", "declined"
    REPLACED = "replaced"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    lot = models.ForeignKey(Lot, on_delete=models.CASCADE, related_name="proposals")
    lot_phase = models.ForeignKey(
        LotPhase, on_delete=models.CASCADE, related_name="proposals"
    )
    job = models.ForeignKey(LotPhase, on_delete=models.CASCADE, related_name="+")
    what = models.CharField(max_length=12)
    date = models.DateField()
    was = models.DateField(null=True)
    superintendent = models.ForeignKey(Superintendent, on_delete=models.PROTECT)
    made_at = models.DateTimeField()
    state = models.CharField(max_length=10, default=OPEN, db_index=True)
    decided_at = models.DateTimeField(null=True)
    decided_by = models.ForeignKey(
        Member, on_delete=models.PROTECT, null=True, related_name="+"
    )
    reason = models.CharField(max_length=300, blank=True)

    class Meta:
        ordering = ["made_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["lot_phase", "what"],
                condition=Q(state="open"),
                name="one_open_proposal_a_date",
            )
        ]

    def __str__(self) -> str:
        return f"{self.lot_phase} {self.what} {self.date}"
