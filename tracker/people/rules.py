"""Who may change whom. A reason to refuse, or None for yes."""

from tracker.errors import Refused
from tracker.people.models import Member, Role

ABOVE = (Role.OWNER, Role.OFFICE)


def why_not_manage(by: Member, member: Member, *, was: str = "") -> Refused | None:
    """The office keeps crews' people; owner and office are the owner's to keep."""
    if not by.is_office:
        return Refused("not_yours")
    if not by.is_owner and (member.role in ABOVE or was in ABOVE):
        return Refused("owner_only")
    return None


def why_not_last_owner(member: Member) -> Refused | None:
    """Somebody must be able to let the others in."""
    others = Member.objects.filter(role=Role.OWNER, is_active=True)
    if member.is_owner or others.exclude(pk=member.pk).exists():
        return None
    return Refused("last_owner")
