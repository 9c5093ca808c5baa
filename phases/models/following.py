from django.db import models

from tracker.people.models import Member


class Following(models.Model):
    """Lots that have to follow a change of the design, and how far that has come.

    The row stands before the worker is asked, and each lot leaves `waiting` in the
    transaction that brings it up to date: a worker that dies loses nothing.
    """

    PLAN, CATALOGUE, BOOK = "plan", "catalogue", "book"

    what = models.CharField(max_length=10)
    name = models.CharField(max_length=160, help_text="Plan, row or office changed.")
    by = models.ForeignKey(Member, on_delete=models.PROTECT, null=True)
    asked_at = models.DateTimeField()
    waiting = models.JSONField(
        default=list, help_text="Lots still to be brought along."
    )
    total = models.PositiveIntegerField(default=0)
    worked_at = models.DateTimeField(null=True)
    finished_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.what} {self.name}"

    @property
    def done(self) -> int:
        return self.total - len(self.waiting)
