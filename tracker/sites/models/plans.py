from django.db import models
from simple_history.models import HistoricalRecords

from .where import Builder


class Foundation(models.TextChoices):
    SLAB = "slab", "Slab"
    CRAWL = "crawl", "Crawl space"
    BASEMENT = "basement", "Basement"


class Plan(models.Model):
    """The house design. Its rooms and fixtures say what is plumbed where."""

    builder = models.ForeignKey(Builder, on_delete=models.PROTECT, related_name="plans")
    code = models.CharField(max_length=40)
    name = models.CharField(max_length=120, blank=True)
    storeys = models.PositiveSmallIntegerField(default=1)
    foundation = models.CharField(
        max_length=8, choices=Foundation, default=Foundation.SLAB
    )
    facts = models.JSONField(
        default=dict, blank=True, help_text="Whole-house facts of the catalogue."
    )
    crew_quarters = models.JSONField(
        default=dict, blank=True, help_text="Quarter days a phase takes, by phase code."
    )
    outline = models.JSONField(default=dict, blank=True)
    is_active = models.BooleanField(default=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["builder", "code"]
        constraints = [
            models.UniqueConstraint(
                fields=["builder", "code"], name="one_plan_per_code"
            )
        ]

    def __str__(self) -> str:
        return self.code


class Option(models.Model):
    """A change to the design, chosen for a lot: adds fixtures, takes some away."""

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="options")
    code = models.CharField(max_length=40)
    name = models.CharField(max_length=120)
    removes = models.ManyToManyField(
        "PlanFixture", blank=True, related_name="removed_by"
    )
    history = HistoricalRecords()

    class Meta:
        ordering = ["plan", "code"]
        constraints = [
            models.UniqueConstraint(fields=["plan", "code"], name="one_option_per_code")
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.name}"


class Room(models.Model):
    """A room of a plan (or one that an option adds), with its finish schedule.

    Thicknesses are in sixteenths of an inch, the unit that a tape shows.
    """

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="rooms")
    option = models.ForeignKey(
        Option, on_delete=models.CASCADE, null=True, blank=True, related_name="rooms"
    )
    key = models.SlugField(max_length=40)
    kind = models.CharField(max_length=40)
    name_en = models.CharField(max_length=80)
    name_es = models.CharField(max_length=80)
    floor = models.SmallIntegerField(default=1, help_text="0 is the basement.")
    position = models.PositiveSmallIntegerField(default=0)
    board = models.PositiveSmallIntegerField(default=8)
    backer = models.PositiveSmallIntegerField(default=0)
    tile = models.PositiveSmallIntegerField(default=0)
    tiled = models.CharField(max_length=4, default="wet")
    floor_finish = models.PositiveSmallIntegerField(default=12)
    stud = models.PositiveSmallIntegerField(default=56)
    stack = models.CharField(max_length=40, blank=True)
    vent = models.CharField(max_length=40, blank=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["plan", "floor", "position", "key"]
        constraints = [
            models.UniqueConstraint(fields=["plan", "key"], name="one_room_per_key")
        ]

    def __str__(self) -> str:
        return self.name_en


class PlanFixture(models.Model):
    """What gets plumbed in a room of a plan; `kind` is a code of the catalogue."""

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="fixtures")
    option = models.ForeignKey(
        Option, on_delete=models.CASCADE, null=True, blank=True, related_name="fixtures"
    )
    room = models.ForeignKey(Room, on_delete=models.CASCADE, related_name="fixtures")
    key = models.SlugField(max_length=40)
    kind = models.CharField(max_length=40)
    quantity = models.PositiveSmallIntegerField(default=1)
    place = models.CharField(max_length=20, default="wall")
    wall = models.CharField(max_length=8, blank=True)
    hand = models.CharField(max_length=8, blank=True)
    along = models.PositiveIntegerField(null=True, blank=True)
    along_from = models.CharField(max_length=8, default="left")
    beside = models.CharField(max_length=81, blank=True)
    params = models.JSONField(default=dict, blank=True)
    position = models.PositiveSmallIntegerField(default=0)
    history = HistoricalRecords()

    class Meta:
        ordering = ["room", "position", "key"]
        constraints = [
            models.UniqueConstraint(fields=["room", "key"], name="one_fixture_per_key"),
            models.CheckConstraint(
                condition=models.Q(quantity__gte=1), name="at_least_one_fixture"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.key}"


class DrawingSheet(models.Model):
    """A sheet of a plan or option: PDF or picture, dated; a newer one supersedes."""

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="sheets")
    option = models.ForeignKey(Option, on_delete=models.CASCADE, null=True, blank=True)
    title = models.CharField(max_length=120)
    dated = models.DateField()
    file = models.FileField(upload_to="sheets/")
    sha256 = models.CharField(max_length=64)
    content_type = models.CharField(max_length=60)
    uploaded_at = models.DateTimeField(auto_now_add=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["plan", "title", "-dated", "-pk"]

    def __str__(self) -> str:
        return f"{self.title} {self.dated}"
