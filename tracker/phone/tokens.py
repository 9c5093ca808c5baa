"""Who asks: a phone by its bearer token, or the office by its session."""

from django.utils import timezone
from rest_framework import authentication, exceptions, permissions
from rest_framework.request import Request

from tracker.people.models import Device, Member
from tracker.phone.enrolment import hashed

MOST_WAITING = 1_000_000


class DeviceToken(authentication.BaseAuthentication):
    """`Authorization: Bearer <token>`; request.auth is the Device."""

    closed_too = False

    def authenticate(self, request: Request) -> tuple[Member, Device] | None:
        scheme, _, token = request.headers.get("Authorization", "").partition(" ")
        if scheme.lower() != "bearer":
            return None
        device = (
            Device.objects.select_related("member__crew")
            .filter(token_hash=hashed(token.strip()))
            .first()
        )
        if device is None or not (device.is_live or self.closed_too):
            raise exceptions.AuthenticationFailed("Unknown or revoked token.")
        return device.member, device

    def authenticate_header(self, request: Request) -> str:
        return 'Bearer realm="plumbrow"'


class AnyDeviceToken(DeviceToken):
    """Also a revoked phone's or a disabled person's: what it sends is set aside."""

    closed_too = True


class IsDevice(permissions.BasePermission):
    def has_permission(self, request: Request, view: object) -> bool:
        if not isinstance(request.auth, Device):
            raise exceptions.NotAuthenticated
        return True


class IsOffice(permissions.BasePermission):
    def has_permission(self, request: Request, view: object) -> bool:
        return isinstance(request.user, Member) and request.user.is_office


def seen(device: Device, *, waiting: str = "", page_version: str = "") -> None:
    """Note when a phone was last heard of, at most once a minute, and what it holds.

    `waiting` is how many entries of this person are still on it: should it be lost or
    cleared by its browser, the office knows that something is missing.
    """
    now = timezone.now()
    held = int(waiting) if waiting.isascii() and waiting.isdigit() else device.waiting
    held = min(held, MOST_WAITING)
    quiet = device.last_seen_at and (now - device.last_seen_at).total_seconds() < 60
    if quiet and held == device.waiting:
        return
    fields = {"last_seen_at": now, "waiting": held}
    if page_version:
        fields["page_version"] = page_version[:40]
    Device.objects.filter(pk=device.pk).update(**fields)
