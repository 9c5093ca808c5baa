"""From a form to an action and back: the one way in which these pages write."""

from collections.abc import Callable
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django import forms
from django.contrib import messages
from django.http import HttpRequest
from django.utils import timezone

from phases.log import Who
from phases.names import names
from tracker.desk.spanish import in_language
from tracker.desk.templatetags.desk import reader_language
from tracker.errors import Refused
from tracker.sites.models import Company, Lot
from tracker.words import say


def who(request: HttpRequest) -> Who:
    return Who(member=request.user)


def office_today(now: datetime) -> date:
    """The day it is at the office."""
    return now.astimezone(ZoneInfo(Company.get().time_zone)).date()


def lot_today(lot: Lot, now: datetime) -> date:
    """The day it is on the lot (with `subdivision`)."""
    return now.astimezone(ZoneInfo(lot.subdivision.time_zone)).date()


def refusal(error: Refused) -> str:
    """What a rule said, in the reader's language, with codes by their names."""
    language = reader_language()
    return say(error.reason, language, names(language))


def act(
    request: HttpRequest,
    form: forms.Form,
    action: Callable[[datetime], object],
    *,
    said: str = "Saved.",
) -> bool:
    """Run the action where the form is right; True when it was done.

    A refusal becomes an error of the form, so that what was typed is shown again.
    """
    if not form.is_valid():
        return False
    try:
        action(timezone.now())
    except Refused as error:
        form.add_error(None, refusal(error))
        return False
    messages.success(request, in_language(said, reader_language()))
    return True
