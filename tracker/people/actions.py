"""Letting members in, changing them, and the crews they go with."""

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction

from tracker.errors import Refused
from tracker.people import rules
from tracker.people.models import Crew, Member


@transaction.atomic
def save_member(member: Member, *, by: Member, password: str = "") -> Member:
    """Save a new or changed member; an empty password leaves the one there is.

    A member of a crew needs none: the phone is let in by a code.
    """
    was = ""
    if member.pk:
        was = Member.objects.select_for_update().get(pk=member.pk).role
    _refuse(rules.why_not_manage(by, member, was=was))
    if was:
        _refuse(rules.why_not_last_owner(member))
    if password:
        try:
            validate_password(password, member)
        except ValidationError as error:
            raise Refused("bad_password", text=" ".join(error.messages)) from None
        member.set_password(password)
    elif not member.pk:
        member.set_unusable_password()
    member.save()
    return member


def save_crew(crew: Crew, *, by: Member) -> Crew:
    if not by.is_office:
        raise Refused("not_yours")
    crew.save()
    return crew


def _refuse(refused: Refused | None) -> None:
    if refused is not None:
        raise refused
