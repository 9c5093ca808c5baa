"""Tests on the pipe as they stand now, and the frost that may come to them."""

import uuid

from django.db import models

from phases.models import LotPhase
from tracker.sites.models import Subdivision


class PipeTest(models.Model):
    """One test of one system of a lot phase. Derived from its facts, never edited.

    `readings` are the fields of `inspections.pipe_tests.TestRecord`; the verdict is
    what the code book says of them. A test done again is a new row.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    lot_phase = models.ForeignKey(
        LotPhase, on_delete=models.CASCADE, related_name="pipe_tests"
    )
    system = models.CharField(max_length=16)
    medium = models.CharField(max_length=16)
    readings = models.JSONField(default=dict)
    outcome = models.CharField(max_length=8)
    sentence = models.TextField()
    said = models.JSONField(default=list)  # the sentence as reasons
    caution = models.TextField(blank=True)
    cautions = models.JSONField(default=list)
    provenance = models.JSONField(default=list)

    put_up_at = models.DateTimeField()
    put_up_by = models.CharField(max_length=120)
    is_up = models.BooleanField(default=True)
    photo = models.CharField(max_length=64, blank=True)
    inspected_at = models.DateTimeField(null=True)
    down_at = models.DateTimeField(null=True)
    down_by = models.CharField(max_length=120, blank=True)
    test_again = models.CharField(max_length=80, blank=True)
    caps_left = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["put_up_at"]
        indexes = [models.Index(fields=["lot_phase", "system"])]

    def __str__(self) -> str:
        return f"{self.system} {self.medium} {self.outcome}"


class Forecast(models.Model):
    """The coldest hour forecast for a subdivision on a day, in F."""

    subdivision = models.ForeignKey(Subdivision, on_delete=models.CASCADE)
    on = models.DateField()
    low_f = models.FloatField()
    said_by = models.CharField(max_length=120)
    said_at = models.DateTimeField()

    class Meta:
        ordering = ["on"]
        constraints = [
            models.UniqueConstraint(
                fields=["subdivision", "on"], name="one_forecast_a_day"
            )
        ]

    def __str__(self) -> str:
        return f"{self.subdivision} {self.on} {self.low_f:g} F"
