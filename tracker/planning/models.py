"""Plans as versions, and what people say to the planner: pins, rain, prices."""

from datetime import datetime, timedelta
from typing import Any

from django.db import models
from django.db.models import Q
from simple_history.models import HistoricalRecords

from phases.models import LotPhase
from tracker.people.models import Crew, Member

# A worker tells every second or so; one that is silent so long has died.
SILENT = timedelta(seconds=45)


class PlanningRules(models.Model):
    """What the owner sets: one row. Weights are points of the score."""

    late_day = models.PositiveIntegerField(default=10)
    move = models.PositiveIntegerField(default=8)
    crew_change = models.PositiveIntegerField(default=12)
    day_change = models.PositiveIntegerField(default=6)
    # Of a simulated quarter (`deploy/bench season --buffers`) twice the expected days
    # take half of the late days away for an eighth more drives; more takes no more.
    buffer = models.FloatField(
        default=2.0, help_text="Times the expected days of a repeat inspection."
    )
    told_days = models.PositiveSmallIntegerField(
        default=20, help_text="Working days ahead that crews are told."
    )
    hold_days = models.PositiveSmallIntegerField(
        default=5, help_text="Working days that a hold is assumed to last."
    )
    history = HistoricalRecords()

    @classmethod
    def get(cls) -> "PlanningRules":
        return cls.objects.first() or cls()

    @property
    def weights(self) -> dict[str, int]:
        names = ("late_day", "move", "crew_change", "day_change")
        return {name: getattr(self, name) for name in names}

    def __str__(self) -> str:
        return "planning rules"


class PlanVersion(models.Model):
    """One plan: the problem it answers, its jobs, and what follows from them.

    `problem` and `plan` are the planner's own JSON; `keys` lead from its names to our
    rows. `base` is the published version it began from: where another has been
    published since, this one cannot be. `revision` counts its edits.
    """

    DRAFT, PUBLISHED, SUPERSEDED, DROPPED = "draft", "published", "superseded", "left"

    status = models.CharField(max_length=10, default=DRAFT, db_index=True)
    number = models.PositiveIntegerField(null=True, unique=True)
    base = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, related_name="drafts"
    )
    what_if: Any = models.JSONField(
        default=dict, help_text="What is not so: kind, code and params of a change."
    )
    title = models.CharField(max_length=120, blank=True)
    day0 = models.DateField()
    until = models.DateField(help_text="Crews are told work that starts by then.")
    revision = models.PositiveIntegerField(default=0)

    problem: Any = models.JSONField()
    plan: Any = models.JSONField(null=True)
    keys: Any = models.JSONField()
    notes: Any = models.JSONField(default=list)
    why: Any = models.JSONField(default=list)
    odds: Any = models.JSONField(default=list)
    remedies: Any = models.JSONField(default=list)
    levels: Any = models.JSONField(default=list)
    trouble: Any = models.JSONField(default=list)
    season: Any = models.JSONField(default=dict)

    made_by = models.ForeignKey(
        Member, on_delete=models.PROTECT, null=True, related_name="+"
    )
    made_at = models.DateTimeField()
    changed_by = models.CharField(max_length=120, blank=True)
    changed_at = models.DateTimeField(null=True)
    published_by = models.ForeignKey(
        Member, on_delete=models.PROTECT, null=True, related_name="+"
    )
    published_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["-made_at", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["status"],
                condition=Q(status="published"),
                name="one_published_plan",
            )
        ]

    def __str__(self) -> str:
        return f"plan {self.number}" if self.number else f"draft {self.pk}"


class Pin(models.Model):
    """This crew starts this lot phase on this day, whatever the planner thinks."""

    lot_phase = models.ForeignKey(
        LotPhase, on_delete=models.CASCADE, related_name="pins"
    )
    crew = models.ForeignKey(Crew, on_delete=models.CASCADE)
    day = models.DateField()
    made_by = models.CharField(max_length=120)
    made_at = models.DateTimeField()
    lifted_by = models.CharField(max_length=120, blank=True)
    lifted_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["day", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["lot_phase"],
                condition=Q(lifted_at=None),
                name="one_pin_a_phase",
            )
        ]

    def __str__(self) -> str:
        return f"{self.lot_phase} {self.crew} {self.day}"


class ExtraDay(models.Model):
    """A day of overtime that the owner gives to a lot phase: its crew needs one less.

    It counts until the phase has passed.
    """

    lot_phase = models.ForeignKey(
        LotPhase, on_delete=models.CASCADE, related_name="extra_days"
    )
    made_by = models.CharField(max_length=120)
    made_at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.lot_phase}: a day of overtime"


class RainDay(models.Model):
    """A day on which exposed work cannot be done, entered or from a forecast."""

    day = models.DateField()
    said_by = models.CharField(max_length=120)
    source = models.CharField(max_length=120, blank=True)
    said_at = models.DateTimeField()
    taken_back_at = models.DateTimeField(null=True)
    taken_back_by = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["day"]
        constraints = [
            models.UniqueConstraint(
                fields=["day"],
                condition=Q(taken_back_at=None),
                name="one_rain_day_a_day",
            )
        ]

    def __str__(self) -> str:
        return f"rain {self.day}"


class CrewNotice(models.Model):
    """What a published version, or a lending, changed for one crew; its lead reads it.

    `changes`: [{"lot", "phase", "lot_phase", "was", "now"}], dates as text or null.
    """

    version = models.ForeignKey(
        PlanVersion,
        on_delete=models.CASCADE,
        null=True,
        related_name="notices",
        help_text="Empty: of no plan; the crew is lent as a helper.",
    )
    crew = models.ForeignKey(Crew, on_delete=models.CASCADE, related_name="notices")
    changes: Any = models.JSONField()
    first_day = models.DateField(help_text="The first day that is otherwise now.")
    made_at = models.DateTimeField()
    seen_at = models.DateTimeField(null=True)
    seen_by = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["-made_at", "crew"]
        constraints = [
            models.UniqueConstraint(
                fields=["version", "crew"], name="one_notice_a_crew_and_version"
            )
        ]

    def __str__(self) -> str:
        return f"{self.crew}: {self.version or 'lent'}"


class SolveRun(models.Model):
    """One run of the planner on a draft, as its page shows it."""

    WAITING, RUNNING, DONE = "waiting", "running", "done"
    FAILED, CANCELLED = "failed", "cancelled"

    version = models.ForeignKey(
        PlanVersion, on_delete=models.CASCADE, related_name="runs"
    )
    what = models.CharField(max_length=10, default="solve")
    seconds = models.FloatField(null=True)
    iterations = models.PositiveIntegerField(null=True)
    seed = models.PositiveIntegerField(default=1)
    state = models.CharField(max_length=10, default=WAITING)
    share = models.FloatField(default=0.0)
    done = models.PositiveBigIntegerField(default=0)
    score: Any = models.JSONField(default=dict)
    trouble = models.TextField(blank=True, help_text="In the planner's own words.")
    reason: Any = models.JSONField(default=dict, help_text="A code with its fields.")
    cancel_asked = models.BooleanField(default=False)
    asked_by = models.CharField(max_length=120, blank=True)
    asked_at = models.DateTimeField()
    told_at = models.DateTimeField()

    class Meta:
        ordering = ["-asked_at", "-pk"]

    @property
    def is_open(self) -> bool:
        return self.state in (self.WAITING, self.RUNNING)

    def is_silent(self, now: datetime) -> bool:
        """Nobody has said anything for so long that the worker must have died."""
        return self.is_open and now - self.told_at > SILENT

    def __str__(self) -> str:
        return f"{self.what} of {self.version}: {self.state}"
