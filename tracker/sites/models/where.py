from django.db import models
from simple_history.models import HistoricalRecords


class Builder(models.Model):
    """A customer who builds houses in subdivisions."""

    name = models.CharField(max_length=120, unique=True)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    notes = models.TextField(blank=True)
    shows_crew_names = models.BooleanField(
        default=False, help_text="The builder's page may name our crews."
    )
    list_mapping = models.JSONField(
        default=dict, blank=True, help_text="Saved columns of this builder's lot lists."
    )
    history = HistoricalRecords()

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Superintendent(models.Model):
    """The builder's person on site."""

    builder = models.ForeignKey(
        Builder, on_delete=models.PROTECT, related_name="superintendents"
    )
    name = models.CharField(max_length=120)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    language = models.CharField(max_length=2, default="en")
    is_active = models.BooleanField(default=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(
                fields=["builder", "name"], name="one_superintendent_per_name"
            )
        ]

    def __str__(self) -> str:
        return self.name


class Jurisdiction(models.Model):
    """The office that inspects: its date rules and its own ways, as data.

    `rules` is the date rule object of `inspections.dates`; `record` is what that
    format cannot say (fees, block until paid, tests refused ...).
    """

    name = models.CharField(max_length=120, unique=True)
    phone = models.CharField(max_length=40, blank=True)
    how_to_call = models.TextField(blank=True)
    rules = models.JSONField(default=dict, blank=True)
    record = models.JSONField(default=dict, blank=True)
    amendments = models.JSONField(
        default=list, blank=True, help_text="Local changes to the code book."
    )
    history = HistoricalRecords()

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class InspectionKind(models.Model):
    """One kind of inspection of one jurisdiction, and the phases that it proves."""

    jurisdiction = models.ForeignKey(
        Jurisdiction, on_delete=models.CASCADE, related_name="kinds"
    )
    code = models.SlugField(max_length=40)
    name_en = models.CharField(max_length=80)
    name_es = models.CharField(max_length=80)
    proves = models.JSONField(default=list, help_text="Codes of the phases it proves.")
    applies_to = models.JSONField(
        default=list,
        blank=True,
        help_text="Systems, fixtures or foundations it needs; empty: every lot.",
    )
    on_test = models.JSONField(
        default=list, blank=True, help_text="Systems that must be on test."
    )
    after = models.JSONField(
        default=list, blank=True, help_text="Codes of kinds that must pass first."
    )
    rides_with = models.JSONField(
        default=list, blank=True, help_text="Codes of kinds that may share a visit."
    )
    rules = models.JSONField(
        default=dict, blank=True, help_text="Date rules that differ for this kind."
    )
    position = models.PositiveSmallIntegerField(default=0)
    history = HistoricalRecords()

    class Meta:
        ordering = ["position", "code"]
        constraints = [
            models.UniqueConstraint(
                fields=["jurisdiction", "code"], name="one_kind_per_code"
            )
        ]

    def __str__(self) -> str:
        return self.name_en


class CodeBook(models.TextChoices):
    IPC = "IPC"
    IRC = "IRC"
    UPC = "UPC"


class Subdivision(models.Model):
    """A street or more of lots of one builder."""

    builder = models.ForeignKey(
        Builder, on_delete=models.PROTECT, related_name="subdivisions"
    )
    jurisdiction = models.ForeignKey(
        Jurisdiction,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="subdivisions",
    )
    name = models.CharField(max_length=160)
    code_book = models.CharField(max_length=3, choices=CodeBook, blank=True)
    edition = models.CharField(max_length=8, blank=True)
    time_zone = models.CharField(max_length=64, default="America/Chicago")
    address = models.CharField(max_length=200, blank=True)
    map_x = models.FloatField(default=0.0)
    map_y = models.FloatField(default=0.0)
    history = HistoricalRecords()

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(
                fields=["builder", "name"], name="one_subdivision_per_name"
            )
        ]

    def __str__(self) -> str:
        return self.name


class SubdivisionAlias(models.Model):
    """A spelling that a person has joined to a subdivision."""

    subdivision = models.ForeignKey(
        Subdivision, on_delete=models.CASCADE, related_name="aliases"
    )
    builder = models.ForeignKey(Builder, on_delete=models.CASCADE)
    spelling = models.CharField(max_length=160)
    joined_by = models.CharField(max_length=120, blank=True)
    joined_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["builder", "spelling"], name="one_meaning_per_spelling"
            )
        ]

    def __str__(self) -> str:
        return f"{self.spelling} = {self.subdivision}"
