from django.db import models
from simple_history.models import HistoricalRecords

GLYPH_PARTS = [(p, p) for p in ("below", "floor", "wall", "roof")]


class PhaseKind(models.Model):
    """A stage of the work. Four by default; another contractor may have three."""

    code = models.SlugField(max_length=40, unique=True)
    name_en = models.CharField(max_length=60)
    name_es = models.CharField(max_length=60)
    position = models.PositiveSmallIntegerField()
    conceals_en = models.CharField(
        max_length=80, blank=True, help_text="What covers it; empty: nothing does."
    )
    conceals_es = models.CharField(max_length=80, blank=True)
    glyph_part = models.CharField(max_length=8, choices=GLYPH_PARTS)
    rain_exposed = models.BooleanField(default=False)
    crew_quarters = models.PositiveSmallIntegerField(default=4)
    history = HistoricalRecords()

    class Meta:
        ordering = ["position"]

    def __str__(self) -> str:
        return self.name_en


class ReadyPart(models.Model):
    """One thing that somebody must say is there before a phase starts."""

    kind = models.ForeignKey(PhaseKind, on_delete=models.CASCADE, related_name="parts")
    code = models.SlugField(max_length=40)
    name_en = models.CharField(max_length=80)
    name_es = models.CharField(max_length=80)
    owed_by = models.CharField(
        max_length=20, help_text="builder, us, city, utility or another trade."
    )
    position = models.PositiveSmallIntegerField(default=0)
    is_required = models.BooleanField(default=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["kind", "position"]
        constraints = [
            models.UniqueConstraint(fields=["kind", "code"], name="one_part_per_code")
        ]

    def __str__(self) -> str:
        return self.name_en


class Route(models.Model):
    """The phases a house passes, in order; the most special one that fits is used."""

    name = models.CharField(max_length=80)
    builder = models.ForeignKey(
        "sites.Builder", on_delete=models.CASCADE, null=True, blank=True
    )
    foundation = models.CharField(max_length=8, blank=True)
    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["builder", "foundation"],
                name="one_route_per_case",
            )
        ]

    def __str__(self) -> str:
        return self.name


class RouteStep(models.Model):
    route = models.ForeignKey(Route, on_delete=models.CASCADE, related_name="steps")
    kind = models.ForeignKey(PhaseKind, on_delete=models.PROTECT)
    position = models.PositiveSmallIntegerField()

    class Meta:
        ordering = ["position"]
        constraints = [
            models.UniqueConstraint(fields=["route", "kind"], name="one_step_per_kind")
        ]
