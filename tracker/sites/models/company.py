from django.db import models
from simple_history.models import HistoricalRecords


class Company(models.Model):
    """The contractor himself: one row, edited by the owner."""

    name = models.CharField(max_length=120, default="Our company")
    phone = models.CharField(max_length=40, blank=True)
    address = models.CharField(max_length=200, blank=True)
    time_zone = models.CharField(max_length=64, default="America/Chicago")
    walk_own_work = models.BooleanField(
        default=False, help_text="A lead may walk what he proved himself."
    )
    hold_alert_days = models.PositiveSmallIntegerField(default=5)
    cover_warn_days = models.PositiveSmallIntegerField(
        default=3, help_text="Days before a cover date from which it counts as due."
    )
    promise_percent = models.PositiveSmallIntegerField(default=80)
    history = HistoricalRecords()

    @classmethod
    def get(cls) -> "Company":
        return cls.objects.first() or cls()

    def __str__(self) -> str:
        return self.name
