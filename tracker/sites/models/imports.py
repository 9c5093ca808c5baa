from django.core.serializers.json import DjangoJSONEncoder
from django.db import models
from django.db.models import Q

from .lots import Lot
from .where import Builder


class LotImport(models.Model):
    """A lot list that somebody handed in: looked at, applied, perhaps undone."""

    builder = models.ForeignKey(
        Builder, on_delete=models.PROTECT, related_name="imports"
    )
    file = models.FileField(upload_to="lists/")
    file_name = models.CharField(max_length=160)
    sha256 = models.CharField(max_length=64)
    uploaded_by = models.CharField(max_length=120, blank=True)
    uploaded_at = models.DateTimeField()
    sheet = models.CharField(max_length=120, blank=True)
    mapping = models.JSONField(
        default=dict, blank=True, help_text="Header text to field: a person's word."
    )
    joins = models.JSONField(
        default=dict, blank=True, help_text="Spelling to the name it stands for."
    )
    otherwise = models.CharField(
        max_length=160, blank=True, help_text="Subdivision of rows that name none."
    )
    counts = models.JSONField(default=dict, blank=True)
    # A long list is applied, or undone, by the worker; empty again when that is done.
    asked_by = models.CharField(max_length=60, blank=True, help_text="Sign-in name.")
    asked_at = models.DateTimeField(null=True)
    failed = models.JSONField(
        default=dict, blank=True, help_text="Code and values of why it could not."
    )
    applied_by = models.CharField(max_length=120, blank=True)
    applied_at = models.DateTimeField(null=True)
    undone_by = models.CharField(max_length=120, blank=True)
    undone_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["-uploaded_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(undone_at=None) | Q(applied_at__isnull=False),
                name="only_an_applied_import_is_undone",
            )
        ]

    def __str__(self) -> str:
        return self.file_name

    @property
    def in_work(self) -> bool:
        return self.asked_at is not None


class LotImportRow(models.Model):
    """What an applied import did with one row of the list."""

    lot_import = models.ForeignKey(
        LotImport, on_delete=models.CASCADE, related_name="rows"
    )
    row = models.PositiveIntegerField()
    status = models.CharField(max_length=9)
    lot = models.ForeignKey(
        Lot, on_delete=models.PROTECT, null=True, related_name="import_rows"
    )
    # What the row said, and what the lot was before it: for the undo.
    said = models.JSONField(default=dict, encoder=DjangoJSONEncoder)
    before = models.JSONField(default=dict, encoder=DjangoJSONEncoder)
    # The lot's newest fact when the import was done; a later one is work built on it.
    last_fact = models.BigIntegerField(default=0)

    class Meta:
        ordering = ["row"]
        constraints = [
            models.UniqueConstraint(
                fields=["lot_import", "row"], name="one_entry_per_row_of_a_list"
            )
        ]

    def __str__(self) -> str:
        return f"row {self.row}: {self.status}"
