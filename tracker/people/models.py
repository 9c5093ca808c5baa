"""Who works here: members with their roles, crews, and the phones they enrolled."""

import uuid

from django.contrib.auth.models import AbstractBaseUser, BaseUserManager
from django.db import models
from simple_history.models import HistoricalRecords


class Role(models.TextChoices):
    OWNER = "owner", "Owner"
    OFFICE = "office", "Office"
    LEAD = "lead", "Lead"
    PLUMBER = "plumber", "Plumber"


class Crew(models.Model):
    """People who go to a lot together."""

    name = models.CharField(max_length=60, unique=True)
    skills = models.JSONField(
        default=list, help_text="Codes of the phases it is qualified for."
    )
    speed = models.FloatField(default=1.0)
    home = models.ForeignKey(
        "sites.Subdivision", on_delete=models.SET_NULL, null=True, blank=True
    )
    is_active = models.BooleanField(default=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["name"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(speed__gt=0), name="crew_speed_above_zero"
            )
        ]

    def __str__(self) -> str:
        return self.name


class CrewDayOff(models.Model):
    crew = models.ForeignKey(Crew, on_delete=models.CASCADE, related_name="days_off")
    date = models.DateField()
    reason = models.CharField(max_length=80, blank=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["date"]
        constraints = [
            models.UniqueConstraint(fields=["crew", "date"], name="one_day_off_a_day")
        ]

    def __str__(self) -> str:
        return f"{self.crew} off {self.date}"


class MemberManager(BaseUserManager):
    def create_user(self, username: str, password: str | None = None, **fields):
        member = self.model(username=self.model.normalize_username(username), **fields)
        member.set_password(password)
        member.save(using=self._db)
        return member


class Member(AbstractBaseUser):
    """A person of the contractor who signs in."""

    username = models.CharField(max_length=60, unique=True)
    name = models.CharField(max_length=120)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    role = models.CharField(max_length=8, choices=Role)
    language = models.CharField(
        max_length=2, choices=[("en", "English"), ("es", "Español")], default="en"
    )
    crew = models.ForeignKey(
        Crew, on_delete=models.SET_NULL, null=True, blank=True, related_name="members"
    )
    license_number = models.CharField(max_length=40, blank=True)
    wants_email = models.BooleanField(default=False)
    wants_push = models.BooleanField(default=False)
    is_active = models.BooleanField(default=True)
    history = HistoricalRecords(excluded_fields=["password", "last_login"])

    objects = MemberManager()
    USERNAME_FIELD = "username"
    REQUIRED_FIELDS = ["name", "role"]

    class Meta:
        ordering = ["name"]

    @property
    def sees_all(self) -> bool:
        return self.is_active and self.role in (Role.OWNER, Role.OFFICE)

    @property
    def is_owner(self) -> bool:
        return self.is_active and self.role == Role.OWNER

    @property
    def is_office(self) -> bool:
        """Office work: the office, and the owner who may do it too."""
        return self.sees_all

    @property
    def is_lead(self) -> bool:
        return self.is_active and self.role == Role.LEAD

    def __str__(self) -> str:
        return self.name


class EnrolCode(models.Model):
    """A one-time code by which the office lets one phone in. Only its hash is kept."""

    code_hash = models.CharField(max_length=64, unique=True)
    member = models.ForeignKey(Member, on_delete=models.CASCADE)
    made_by = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="+")
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True)


class Device(models.Model):
    """A phone that a member enrolled. Revoking it keeps what it sent."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    member = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="devices")
    name = models.CharField(max_length=80)
    token_hash = models.CharField(max_length=64, unique=True)
    enrolled_at = models.DateTimeField()
    last_seen_at = models.DateTimeField(null=True)
    last_seq = models.BigIntegerField(default=0)
    clock_skew_seconds = models.IntegerField(default=0)
    waiting = models.PositiveIntegerField(
        default=0, help_text="Entries still on the phone when it was last heard of."
    )
    page_version = models.CharField(max_length=40, blank=True)
    revoked_at = models.DateTimeField(null=True)
    # Who revoked it; what the phone itself moves with each message is left out.
    history = HistoricalRecords(
        excluded_fields=[
            *("token_hash", "last_seen_at", "last_seq"),
            *("clock_skew_seconds", "waiting", "page_version"),
        ]
    )

    class Meta:
        ordering = ["member", "-enrolled_at"]

    @property
    def clock_is_off(self) -> bool:
        """Far enough that times are put right; less is the network's doing."""
        return abs(self.clock_skew_seconds) > 120

    @property
    def is_live(self) -> bool:
        return self.revoked_at is None and self.member.is_active

    def __str__(self) -> str:
        return f"{self.name} ({self.member})"
