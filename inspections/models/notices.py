"""What the clock noticed, and to whom it is still to be sent."""

from django.db import models

from phases.models import LotPhase
from tracker.people.models import Member
from tracker.sites.models import Jurisdiction, Lot


class NoticeQuerySet(models.QuerySet):
    def open(self) -> "NoticeQuerySet":
        return self.filter(settled_at=None)

    def visible_to(self, member: Member) -> "NoticeQuerySet":
        if member.is_office:
            return self
        return self.filter(lot__in=Lot.objects.visible_to(member))


class Notice(models.Model):
    """One thing noticed, once. `key` is what it is about, its reason, and 1 or 2.

    There are at most two of a reason for a lot phase; a third subject takes the place
    of the second on the page, and is not sent again. The row is the record; mail and
    push are sent from `deliveries` and may fail.
    """

    key = models.CharField(max_length=120, unique=True)
    reason = models.CharField(max_length=24)
    subject = models.CharField(max_length=60, blank=True)
    lot = models.ForeignKey(
        Lot, on_delete=models.CASCADE, null=True, related_name="notices"
    )
    lot_phase = models.ForeignKey(
        LotPhase, on_delete=models.CASCADE, null=True, related_name="notices"
    )
    jurisdiction = models.ForeignKey(Jurisdiction, on_delete=models.CASCADE, null=True)
    words = models.JSONField(default=dict, help_text="A reason for tracker.words.")
    due_at = models.DateTimeField(null=True)
    made_at = models.DateTimeField()
    changed_at = models.DateTimeField()
    settled_at = models.DateTimeField(null=True)

    objects = NoticeQuerySet.as_manager()

    class Meta:
        ordering = ["due_at", "made_at", "pk"]
        indexes = [models.Index(fields=["settled_at", "reason"])]

    def __str__(self) -> str:
        return self.key


class Delivery(models.Model):
    """The outbox: one notice to one member by one way, written with the notice.

    A worker takes it by setting `taken_until`; a worker that dies lets go of it then.
    `message_id` is the same on every try, so a mail server or push service that got
    it twice shows it once.
    """

    WAITING, SENT, GIVEN_UP = "waiting", "sent", "given_up"

    notice = models.ForeignKey(
        Notice, on_delete=models.CASCADE, related_name="deliveries"
    )
    member = models.ForeignKey(Member, on_delete=models.CASCADE)
    way = models.CharField(max_length=5)
    message_id = models.CharField(max_length=80, unique=True)
    state = models.CharField(max_length=8, default=WAITING, db_index=True)
    tries = models.PositiveSmallIntegerField(default=0)
    next_try_at = models.DateTimeField()
    taken_until = models.DateTimeField(null=True)
    sent_at = models.DateTimeField(null=True)
    trouble = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["notice", "member", "way"], name="one_delivery_a_way"
            )
        ]

    def __str__(self) -> str:
        return f"{self.notice} to {self.member} by {self.way}"


class PushAddress(models.Model):
    """Where a member's browser takes push messages; asked for by himself."""

    member = models.ForeignKey(
        Member, on_delete=models.CASCADE, related_name="push_addresses"
    )
    endpoint = models.URLField(max_length=500, unique=True)
    p256dh = models.CharField(max_length=120)
    auth = models.CharField(max_length=60)
    made_at = models.DateTimeField()
    gone_at = models.DateTimeField(null=True)

    def __str__(self) -> str:
        return self.endpoint


class LastLook(models.Model):
    """When a task of the clock last ran to its end, so that a stopped clock shows."""

    task = models.CharField(max_length=60, unique=True)
    at = models.DateTimeField()
    found = models.PositiveIntegerField(default=0)

    def __str__(self) -> str:
        return f"{self.task} {self.at}"
