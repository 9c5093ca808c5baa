from django.db import models
from simple_history.models import HistoricalRecords


class CatalogueRow(models.Model):
    """One row of the catalogue: cells of text by the columns of its table.

    `phases.catalogue` checks and reads the rows; the owner edits them here, and a
    later release adds rows but never changes one that was edited.
    """

    table = models.CharField(max_length=20)
    key = models.CharField(max_length=160)
    position = models.PositiveIntegerField(default=0)
    cells = models.JSONField(default=dict)
    edited = models.BooleanField(default=False)
    history = HistoricalRecords()

    class Meta:
        ordering = ["table", "position", "key"]
        constraints = [
            models.UniqueConstraint(fields=["table", "key"], name="one_row_per_key")
        ]

    def __str__(self) -> str:
        return f"{self.table} {self.key}"
