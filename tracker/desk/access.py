"""Who may open a page. An object that is not yours is a 404 of its own query."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse

from tracker.people.models import Member

View = Callable[..., HttpResponse]


def _for(allowed: Callable[[Member], bool]) -> Callable[[View], View]:
    def guard(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            if not allowed(request.user):
                raise PermissionDenied
            return view(request, *args, **kwargs)

        return login_required(guarded)

    return guard


everybody = _for(lambda member: member.is_active)
leads = _for(lambda member: member.is_office or member.is_lead)
office = _for(lambda member: member.is_office)
owner = _for(lambda member: member.is_owner)
