from django.db import models

from tracker.people.models import Crew
from tracker.sites.models import Lot

from .kinds import PhaseKind


class LotPhaseQuerySet(models.QuerySet):
    def visible_to(self, member) -> "LotPhaseQuerySet":
        return self.filter(lot__in=Lot.objects.visible_to(member))

    def of_open_lots(self) -> "LotPhaseQuerySet":
        return self.filter(lot__retired_at=None)


class LotPhase(models.Model):
    """One phase of one lot. Everything below `position` is derived from facts.

    `phases.refresh` alone writes the derived columns, in the transaction of the fact
    that moved them and daily for what midnight changed. Reasons are
    {"code": ..., ...}; `phases.words.say` puts them into English or Spanish.
    """

    lot = models.ForeignKey(Lot, on_delete=models.CASCADE, related_name="phases")
    kind = models.ForeignKey(PhaseKind, on_delete=models.PROTECT)
    position = models.PositiveSmallIntegerField()

    crew = models.ForeignKey(Crew, on_delete=models.PROTECT, null=True, blank=True)
    planned_start = models.DateField(null=True, blank=True)
    planned_half = models.PositiveSmallIntegerField(default=0)
    planned_end = models.DateField(null=True, blank=True)

    work = models.CharField(max_length=12, default="not_ready", db_index=True)
    work_on = models.DateField(null=True, blank=True)
    work_reason = models.JSONField(default=dict)
    inspection = models.CharField(max_length=16, default="not_called", db_index=True)
    inspection_on = models.DateField(null=True, blank=True)
    inspection_reason = models.JSONField(default=dict)
    cover = models.CharField(max_length=16, default="open", db_index=True)
    cover_on = models.DateField(null=True, blank=True)
    cover_reason = models.JSONField(default=dict)

    gate_open = models.BooleanField(default=False)
    gate_missing = models.JSONField(default=list)
    call_in_missing = models.JSONField(default=list)
    ready_date = models.DateField(null=True, blank=True)
    cover_date = models.DateField(null=True, blank=True)
    need_by = models.DateField(null=True, blank=True)
    passed_on = models.DateField(null=True, blank=True)
    covered_on = models.DateField(null=True, blank=True)
    on_test = models.BooleanField(default=False)
    items_total = models.PositiveIntegerField(default=0)
    items_unproven = models.PositiveIntegerField(default=0)
    open_corrections = models.PositiveIntegerField(default=0)
    on_hold = models.BooleanField(default=False)
    word = models.CharField(max_length=20, default="open")
    refreshed_at = models.DateTimeField(null=True, blank=True)

    objects = LotPhaseQuerySet.as_manager()

    class Meta:
        ordering = ["lot", "position"]
        constraints = [
            models.UniqueConstraint(fields=["lot", "kind"], name="one_phase_of_a_kind"),
            models.UniqueConstraint(
                fields=["lot", "position"], name="one_phase_per_position"
            ),
        ]

    @property
    def helpers_list(self) -> list[Crew]:
        rows = self.helper_rows.all()
        return list({helper.crew_id: helper.crew for helper in rows}.values())

    def __str__(self) -> str:
        return f"{self.lot} {self.kind}"


class PhaseHelper(models.Model):
    """A crew lent to a lot phase for a day, or one that did the work before another.

    It sees the lot like the first.
    """

    lot_phase = models.ForeignKey(
        LotPhase, on_delete=models.CASCADE, related_name="helper_rows"
    )
    crew = models.ForeignKey(Crew, on_delete=models.CASCADE)
    on = models.DateField(
        null=True,
        help_text="The day lent for; empty: did the work before another crew.",
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["lot_phase", "crew", "on"], name="one_helper_row_a_crew_and_day"
            ),
            models.UniqueConstraint(
                fields=["lot_phase", "crew"],
                condition=models.Q(on=None),
                name="one_former_crew_row",
            ),
        ]
