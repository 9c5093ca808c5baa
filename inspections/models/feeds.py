"""Addresses by which a calendar program reads inspections without signing in."""

import uuid

from django.db import models
from django.db.models import Q

from tracker.people.models import Crew
from tracker.sites.models import Jurisdiction


class CalendarLink(models.Model):
    """One feed: of an office or of a crew. Only the token's hash is kept."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    token_hash = models.CharField(max_length=64, unique=True)
    jurisdiction = models.ForeignKey(Jurisdiction, on_delete=models.CASCADE, null=True)
    crew = models.ForeignKey(Crew, on_delete=models.CASCADE, null=True)
    made_by = models.CharField(max_length=120)
    made_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True)
    revoked_by = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["-made_at"]
        constraints = [
            models.CheckConstraint(
                condition=Q(jurisdiction=None, crew__isnull=False)
                | Q(jurisdiction__isnull=False, crew=None),
                name="a_feed_is_of_one_office_or_crew",
            )
        ]

    def __str__(self) -> str:
        return str(self.jurisdiction or self.crew)
